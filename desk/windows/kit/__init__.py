"""What every window is made of: fields, labels, keys, tables."""
