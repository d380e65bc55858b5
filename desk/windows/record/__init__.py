"""The record of a customer, its places, and the forms of all that is in it."""
