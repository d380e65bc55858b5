"""What was changed, by whom, in which order: written, merged, chained, heard by other desks."""
