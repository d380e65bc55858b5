"""What comes back: the question, a view for each, its chart, and the jobs behind a figure."""
