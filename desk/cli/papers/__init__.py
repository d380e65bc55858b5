"""Every document, printed."""
