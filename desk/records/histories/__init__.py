"""The record of a customer, of a place, and of an appliance over its life."""
