"""The photographs of a visit: how they come in, are read, described and looked at."""
