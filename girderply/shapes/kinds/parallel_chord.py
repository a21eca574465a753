"""Parallel chord: level chords, and webs that run as the job says."""

from girderply.shapes.shape import Shape
from girderply.shapes.tops import LevelTop

SHAPE = Shape("parallel chord", LevelTop(), pattern="warren", free=True)
