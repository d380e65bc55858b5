"""What every room may use: errors, texts, paths, files, and the log of mistakes."""
