"""What the shop has learnt from its finished jobs, and the content that is in use."""
