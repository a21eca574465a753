"""Truncated: two slopes cut off by a level top chord."""

from girderply.shapes.shape import Shape
from girderply.shapes.tops import FlatTop

SHAPE = Shape("truncated", FlatTop(), free=True)
