"""The as-built record against a schedule: what is there, what is missing."""
