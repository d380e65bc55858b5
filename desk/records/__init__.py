"""What is kept, and the only door to it, `records.actions`. SQL lives here alone."""
