"""Snapshots that are printed or shown whole: report, visit sheet, office copy; and sealing."""
