"""Flows and measurements computed at the command line, and the ranking of causes."""
