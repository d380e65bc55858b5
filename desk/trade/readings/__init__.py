"""Single readings: their kinds, what they mean, and which of them are dangerous."""
