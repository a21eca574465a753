"""A small right job and ways to spoil one line of it."""

from __future__ import annotations

from girderply.errors import Finding, JobError
from girderply.jobfile import parse_job

BASE = """\
[job]
number = "T-7"
title = "Test girder"
revision = "B"
date = 2026-05-04
[girder]
mark = "G7"
plies = 3
ply_thickness = "38 mm"
timber = "C24"
[girder.shape]
kind = "howe"
span = "9.6 m"
pitch = "22.5 deg"
panels = 6
[girder.sections]
top_chord = "170 mm"
bottom_chord = "195 mm"
web = "95 mm"
[[girder.bearings]]
x = 70
width = "140 mm"
[[loads]]
id = "F"
chord = "BC1"
face = "front"
at = "600 mm"
to = "9 m"
every = 600
permanent = 1.1
variable = "1.6 kN"
[[loads]]
chord = "TC1"
face = "back"
at = "1200 mm"
design = "-3 kN"
plies_reached = 2
[loads.bracket]
width = "90 mm"
height = "150 mm"
bolt = "M12"
bolts = [{ along = 20, across = "-35 mm" }]
[basis]
service_class = 2
[fastening]
nail = "4.0 x 100"
"""

MEMBERS = """\
[job]
number = "T-8"
title = "Test girder"
revision = "A"
[girder]
mark = "G8"
plies = 2
ply_thickness = 45
timber = "C24"
nodes = [
  { id = "A", x = 0, y = 100 },
  { id = "B", x = 3000, y = 100 },
  { id = "C", x = 1600, y = 1500 },
]
members = [
  { id = "BC1", role = "bottom chord", nodes = ["A", "B"], depth = 195 },
  { id = "W1", role = "web", nodes = ["A", "C"], depth = 95, hook_end = "right" },
  { id = "W2", role = "web", nodes = ["C", "B"], depth = 95, compression = true, outline = [
    [0, 0], [9, 0], [5, 7.5],
  ] },
]
hook_ends = { W2 = "right" }
plates = [{ joint = "C", x = 1600, y = 1450, width = 152, height = 101, angle = "30 deg" }]
"""


def spoilt(old: str, new: str, text: str = BASE) -> str:
    """The job with its only occurrence of `old` replaced."""
    if text.count(old) != 1:
        raise ValueError(f"{old!r} stands {text.count(old)} times in the job")
    return text.replace(old, new)


def findings_of(text: str) -> tuple[Finding, ...]:
    """What is wrong with a job; empty when nothing is."""
    try:
        parse_job(text)
    except JobError as error:
        return error.findings
    return ()
