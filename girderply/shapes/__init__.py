"""Trade shapes of a truss: one object per shape, in one file of `girderply.shapes.kinds`.

The job file, its schema, `girderply new`, the help texts and the desk take names, keys and sketches
from here; the model takes nodes and members. Nothing else compares the name of a shape.
"""
