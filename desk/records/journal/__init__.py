"""What was changed, by whom, in which order: written, merged and chained; drafts and blobs too."""
