"""Measure and Prove: timed fills, readings, computed measurements."""
