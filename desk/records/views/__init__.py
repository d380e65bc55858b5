"""Frozen values that are handed out to windows and paper."""
