"""What is kept of each kind of record: one table of fields a kind, of which everything is made."""
