"""Deeds and looks, by the window that hands them in."""
