"""Mono: one slope from a heel to a post at the high end."""

from girderply.shapes.shape import Shape
from girderply.shapes.tops import SingleTop

SHAPE = Shape("mono", SingleTop(), free=True)
