"""Tells which model and year a vintage gas range is, and why."""
