"""What every kind of file shares: reading and writing CSV, columns, taking rows in as one act."""
