"""What is asked about input leads to its field on the desk, and lights the part that it is of."""

from __future__ import annotations

import pytest
from inspection_records import SAMPLES

from girderply.desk.decided import decide
from girderply.desk.where import place_of
from girderply.errors import Severity
from girderply.wording import ENGLISH

HOWE, NODES, FACE = "two-ply-howe", "truncated-nodes", "four-ply-parallel"
WEBS = [f"member:W{n}" for n in range(1, 10)]
SLIPS = [
    (HOWE, 'web = "95 mm"', 'web = "59 mm"', "depth-unusual", "girder.sections.web", WEBS),
    (HOWE, 'web = "95 mm"', 'web = "220 mm"', "web-deep", "girder.sections.web", WEBS),
    (HOWE, 'bottom_chord = "195 mm"', 'bottom_chord = "95 mm"', "chords-unlike",
     "girder.sections.bottom_chord", ["member:BC1"]),
    (HOWE, 'x = "150 mm"', 'x = "510 mm"', "bearing-inside", "girder.bearings", []),
    (HOWE, 'at = "600 mm"', 'at = "60 mm"', "load-over-bearing", "loads.0", ["load:0"]),
    (HOWE, 'height = "150 mm"', 'height = "15 mm"', "bracket-size", "loads.0.bracket.height",
     ["load:0"]),
    (NODES, 'nodes = ["B", "H"], depth = 95', 'nodes = ["B", "H"], depth = 59', "depth-unusual",
     "girder.members.4.depth", ["member:W1"]),
    (NODES, 'nodes = ["C", "K"], depth = 95', 'nodes = ["C", "K"], depth = 120', "halves-differ",
     "", ["member:W3"]),
    (NODES, "[10427, 195]", "[1042.7, 195]", "", "girder.members.0", ["member:BC1"]),
    (NODES, "[10800, 0], [10800, 8.5]", "[1080, 0], [10800, 8.5]", "outline-askew",
     "girder.members.0.outline", ["member:BC1"]),
    (HOWE, 'span = "9.6 m"', 'span = "9.6 ft"', "", "", []),
    (FACE, "plies_reached = 4", "plies_reached = 1", "bolts-not-counted", "loads.1.plies_reached",
     ["load:1"]),
]  # fmt: skip


def decided(name, old, new):
    text = (SAMPLES / f"{name}.toml").read_text("utf-8")
    assert old in text
    return decide(text.replace(old, new, 1), SAMPLES, springs=False)


@pytest.mark.parametrize(("name", "old", "new", "code", "path", "lit"), SLIPS)
def test_a_question_leads_to_its_field_and_lights_its_part(name, old, new, code, path, lit):
    found = decided(name, old, new)
    places = {f.code: place_of(ENGLISH, f, found) for f in found.findings}
    assert places
    if code:
        told = ".".join(map(str, places[code]["path"]))
        assert told == path or (told.startswith(path) and path == "girder.bearings")
        assert set(lit) <= set(places[code]["lit"])
    for f in found.findings:  # whatever stops a girder leads somewhere
        if f.severity is Severity.ERROR and f.code not in ("springs-pending", "check-failed"):
            assert place_of(ENGLISH, f, found) != {"path": [], "lit": []}, f
