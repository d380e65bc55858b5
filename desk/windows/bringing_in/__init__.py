"""The window in which customers are brought in from another program."""
