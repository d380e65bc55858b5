"""The queue of work beside the windows, and what other desks changed."""
