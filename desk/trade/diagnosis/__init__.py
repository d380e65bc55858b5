"""Where a visit stands on its list, what is left, what to check next, and when to mend."""
