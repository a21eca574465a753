"""Warren: webs zigzag between level chords."""

from girderply.shapes.shape import Shape
from girderply.shapes.tops import LevelTop

SHAPE = Shape("warren", LevelTop(), pattern="warren")
