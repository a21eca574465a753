"""From a drawing, a building model or tables to a job: traced, named, and said what was guessed.

A reader for each format gives a `Drawing` (outlines, plates, points, words, in mm); from there on
all go the same way: which outline is what, axes, roles, panel points, the text of a job.
"""
