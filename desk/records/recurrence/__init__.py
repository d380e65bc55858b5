"""What comes back: visits read as columns, judged, grouped and followed."""
