"""The photographs of a visit."""
