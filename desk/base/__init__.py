"""What every room may use: errors, texts, paths, whole files, names of offices, the log."""
