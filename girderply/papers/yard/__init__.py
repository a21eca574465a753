"""Sheets for the yard hand at the trestles."""
