"""The catalogue and its stock, as a window."""
