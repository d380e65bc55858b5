"""What is kept: tables, opening and upgrading, queries, the journal. SQL lives here alone."""
