"""What the story is told with: chance, a clock and its deeds, rows on their way into the file."""
