"""What the story is told with: chance, a clock and its entries, rows on their way into the file."""
