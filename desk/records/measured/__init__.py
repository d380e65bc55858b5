"""Flows, readings and computed measurements of a visit."""
