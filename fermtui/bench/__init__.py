"""Sums without a vessel, each from text options to a `Sum`. `table.py` lists them for commands, help and screens."""
