"""Quantities in (pint, where a job is read) and quantities out (plain text, no pint)."""
