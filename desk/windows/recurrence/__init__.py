"""What comes back, as a window."""
