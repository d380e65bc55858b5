"""The counter: find, the day, the record that is open, a new call."""
