"""Customers, premises and appliances: their ties, duplicates, and withdrawing."""
