"""What the trade computes: pure functions and frozen dataclasses; no Qt, no database."""
