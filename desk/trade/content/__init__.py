"""Checklists, causes and cautions: values, loading, rules, and the shop's own laid over them."""
