"""Check: the guided list, its drawings, and what is left."""
