"""Sheets for the engineer behind the girder."""
