"""Finished pages: looked at, printed, saved, and laid into a letter."""
