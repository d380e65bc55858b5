"""The shop's own checks: seen, written, tried and taken back."""
