"""Pipes: the pressure that a run takes, and pressures as they are read."""
