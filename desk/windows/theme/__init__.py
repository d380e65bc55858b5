"""What every window is drawn with: colours by their meaning, sizes of letters, spaces."""
