"""Engines, column types, keys, the server and its accounts: no table, no rule."""
