"""Sheets for the inspector who counts, and what an inspection came to."""
