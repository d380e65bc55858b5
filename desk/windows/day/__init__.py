"""The day and the week, the booking line, and what moves a visit."""
