"""Drawings: shapes in model mm, one placement, paper mm, SVG."""
