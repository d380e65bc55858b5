"""Engines, column types, keys, locations and cells of CSV: no table, no rule."""
