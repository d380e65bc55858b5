"""The jobs of an office as columns of numbers: judged and grouped all at once."""
