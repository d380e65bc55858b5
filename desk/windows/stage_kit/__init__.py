"""What the stages of a visit share."""
