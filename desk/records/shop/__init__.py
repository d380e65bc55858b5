"""The shop's settings, how it charges, and what a visit is charged."""
