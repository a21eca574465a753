"""The comments of a new job file, by table and key; the empty key stands above the table."""

from __future__ import annotations

from typing import Final

from girderply.bases.registry import names
from girderply.shapes.all_shapes import shapes
from girderply.shapes.webs import PATTERNS

HEADER: Final = """\
# Girderply job file (TOML). Text and quantities stand in "quotes"; a # starts a comment.
# A quantity has its unit: "38 mm", "9.6 m", "1.5 in", "6 ft 3 1/2 in", "6.2 kN", "450 lbf",
# "22.5 deg" or, for a roof slope, "6:12". A plain number is in the job's unit system
# (metric: mm, kN, degrees; imperial: in, lbf, degrees).
#
# Fastening instructions only come out of this file. The truss design, the loads and the plies'
# strength are the truss designer's. Check every line against the truss designer's drawing.
"""

_SHAPE: Final = f"""\
# Shape, seen on the front face. Lengths to the outside of the timber. Trade names:
# {", ".join(shapes())}."""

_SERIES: Final = """\
# What hangs on the girder. One [[loads]] table for each single load, or for each series of equal
# loads; copy it for more. Take the values from the truss designer's reactions.
# Instead of permanent and variable a single design = "..." may stand, negative for uplift;
# uplift = "..." gives a variable uplift beside permanent and variable. Where the reactions come
# per load case: one [[basis.cases]] table per case, and cases = { G = "...", S = "..." } here."""

TEXT: Final[dict[tuple[str, str], str]] = {
    ("job", ""): "# Title block of every sheet.",
    ("job", "number"): "job number, any text",
    ("job", "title"): "title, any text",
    ("job", "revision"): "revision of this file",
    ("job", "units"): "metric or imperial: all sheets are in it",
    ("job", "truss_designer"): "who is responsible for the truss design",
    ("job", "demo"): "true: example values, every sheet says so; false for a real job",
    ("job", "assumed"): (
        "What nobody has given yet. Every sheet is stamped ASSUMED VALUES, and nothing is issued,\n"
        "while one of these is open. Put in the real value and strike its key here, or, where the\n"
        'value is right as it is, move its key to: confirmed = ["..."]'
    ),
    ("girder", ""): "# The girder: identical plies side by side; ply 1 is at the front face.",
    ("girder", "mark"): "mark on the girder",
    ("girder", "quantity"): "how many such girders",
    ("girder", "plies"): "2 to 6",
    ("girder", "ply_thickness"): "thickness of one ply",
    ("girder", "timber"): "strength class or species: girderply catalogue",
    ("girder", "timbers"): "members of a better timber",
    ("girder.shape", ""): _SHAPE,
    ("girder.shape", "kind"): "trade name",
    ("girder.shape", "span"): "out to out of the bottom chord",
    ("girder.shape", "pitch"): "slope of the top chord",
    ("girder.shape", "height"): "underside to the highest top edge",
    ("girder.shape", "flat_height"): "underside to the top edge of the flat top",
    ("girder.shape", "panels"): "panels of the bottom chord",
    ("girder.shape", "panel_lengths"): "from the left end to the right; they add up to the span",
    ("girder.shape", "heel_height"): "underside to top edge of the top chord at the left end",
    ("girder.shape", "overhang"): "horizontal, past each sloping end",
    ("girder.shape", "web_pattern"): ", ".join(PATTERNS),
    ("girder.sections", ""): "# Depths of the members in the plane of the truss.",
    ("girder.sections", "members"): "webs of another depth",
    ("[girder.bearings]", "x"): "centre of the support from the left end",
    ("[girder.bearings]", "width"): "along the girder",
    ("[loads]", ""): _SERIES,
    ("[loads]", "id"): "name, used once",
    ("[loads]", "chord"): "member: BC1 is the bottom chord, TC1 a top chord",
    ("[loads]", "face"): "front or back; top: enters all plies equally",
    ("[loads]", "at"): "first one, from the chord's hook end (left; a rafter: its heel)",
    ("[loads]", "to"): "last one, at most; a single load has no to and every",
    ("[loads]", "every"): "distance from one to the next",
    ("[loads]", "permanent"): "each, characteristic: REPLACE BY THE REAL VALUE",
    ("[loads]", "variable"): "each, characteristic: REPLACE BY THE REAL VALUE",
    ("[loads]", "plies_reached"): "plies that the bracket's nails or bolts reach",
    ("[loads]", "what"): "what hangs there",
    ("loads.bracket", ""): "# The bracket of these loads; leave the table out where there is none.",
    ("loads.bracket", "width"): "footprint along the chord",
    ("loads.bracket", "height"): "footprint across the chord, on its centreline",
    ("basis", ""): "# The standard that judges.",
    ("basis", "standard"): " or ".join(names()),
    ("basis", "service_class"): "1, 2 or 3",
    ("basis", "variable_duration"): "load duration of the variable part",
    ("fastening", ""): "# How the plies are fastened.",
    ("fastening", "rules"): "common-practice, french-36mm, north-american-built-up",
    ("fastening", "transfer_by"): "nail or bolt: what carries load from ply to ply",
    ("fastening", "order_allowance"): "added on the order list: 0.05 is 5 in 100",
}
