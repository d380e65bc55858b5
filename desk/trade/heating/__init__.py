"""Heat that goes into the water, and the gas that makes it."""
