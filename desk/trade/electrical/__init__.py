"""Readings of a meter: contacts, sensors and pulses."""
