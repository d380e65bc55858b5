"""The one box: its index, what is indexed, and how near a word is to another."""
