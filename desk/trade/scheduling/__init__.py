"""What the counter reckons of days: bookings as typed, lengths, overlaps, months."""
