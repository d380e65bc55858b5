"""Migrations and what they stand on, frozen: what they did once they do for ever.

They import nothing of the program, which is free to rename and to change what it has. The program
offers this folder as ``drawoff_migrations`` (``desk/base/paths.py``).
"""
