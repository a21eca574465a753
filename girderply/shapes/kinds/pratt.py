"""Pratt: ties rise inwards from the feet of the verticals, two rafters over a level chord."""

from girderply.shapes.shape import Shape
from girderply.shapes.tops import Top

SHAPE = Shape("pratt", Top(), pattern="pratt")
