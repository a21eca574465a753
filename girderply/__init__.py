"""Girderply: the fastening of multi-ply timber girder trusses, decided, proved and drawn."""

__version__ = "0.1.0"
