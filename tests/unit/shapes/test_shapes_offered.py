"""Every shape is offered everywhere, and a new one needs its file only."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from itertools import product
from pathlib import Path

import pytest
from command import girderply

from girderply.jobfile import json_schema, new_job, parse_job
from girderply.model.build_girder import build_girder
from girderply.shapes import kinds
from girderply.shapes.all_shapes import kinds_that_take, shapes
from girderply.shapes.faults import key_faults
from girderply.shapes.shape_spec import KEYS
from girderply.shapes.sketch import sketch
from girderply.wording import english
from girderply.wording.words import shape_words

FILES = sorted(p.stem for p in Path(kinds.__path__[0]).glob("[a-z]*.py"))
KINDS = list(shapes())


def test_every_file_is_a_shape_of_its_own_name():
    assert [k.replace(" ", "_") for k in KINDS] == FILES
    assert len(KINDS) >= 9


@pytest.mark.parametrize("kind", KINDS)
def test_a_shape_is_offered_by_new_the_job_file_the_schema_and_the_words(kind):
    job = parse_job(new_job(kind, "9.6 m"))
    assert job.girder.shape is not None
    assert job.girder.shape.kind == kind
    girder, _ = build_girder(job)
    assert girder.length == pytest.approx(9600.0, abs=1e-6)
    assert kind in json_schema()["$defs"]["ShapeTable"]["properties"]["kind"]["enum"]
    assert f" {kind}" in new_job(kind, "9.6 m").split("Trade names:")[1].split("[")[0].replace(
        "#", ""
    )
    assert len(english(shape_words(kind))) > 20


def test_help_of_new_names_every_shape(capsys):
    said = " ".join(re.sub(r"[│╭╰─]", " ", girderply(capsys, "new", "--help").out).split())
    assert [k for k in KINDS if k not in said] == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_sketch_shows_every_member_within_its_width(kind):
    girder, _ = build_girder(parse_job(new_job(kind, "8 m")))
    lines = sketch(shapes()[kind], width=60.0)
    xs = [x for line in lines for x, _ in line]
    ys = [y for line in lines for _, y in line]
    assert (min(xs), max(xs)) == (0.0, 60.0)
    assert min(ys) == 0.0
    assert 5.0 < max(ys) < 30.0
    chords = sum(m.role.is_chord for m in girder.members)
    assert len(lines) >= chords + 1
    assert all(math.dist(line[0], line[-1]) > 0.5 for line in lines)


def test_sketches_of_two_shapes_differ():
    drawn = [sketch(shape) for shape in shapes().values()]
    assert len(set(drawn)) >= len(drawn) - 1  # warren is the parallel chord's usual pattern


@pytest.mark.parametrize(("kind", "key"), list(product(KINDS, KEYS)))
def test_every_key_is_needed_taken_or_refused_by_name(kind, key):
    shape = shapes()[kind]
    least = {group[0] for group in shape.needs} | {"kind", "span"}
    codes = [(f.code, f.where) for f in key_faults(shape, least | {key})]
    other = any(key in group and key != group[0] for group in shape.needs)
    if key not in shape.takes:
        assert codes == [("not-for-shape", f"girder.shape.{key}")]
    elif other:  # two of one group
        assert [c for c, _ in codes] == [codes[0][0]]
        assert "-or-" in codes[0][0]
    else:
        assert codes == []
    missing = [f.code for f in key_faults(shape, least - {key})]
    assert len(missing) == (key in {g[0] for g in shape.needs})


def test_who_takes_a_flat_height_and_a_pattern():
    """Asked of the shapes in words of the trade: only what is cut off has a flat height."""
    assert kinds_that_take("flat_height") == ("truncated",)
    assert kinds_that_take("web_pattern") == ("mono", "parallel chord", "truncated")
    assert "warren" not in kinds_that_take("pitch")


LEAN_TO = """
from girderply.shapes.shape import Shape, high_post
from girderply.shapes.tops import SingleTop

SHAPE = Shape("lean to", SingleTop(), panels=(2,), webs=high_post)
"""

ASK = """
import json, sys
from girderply.shapes import kinds
kinds.__path__.append(sys.argv[1])
from girderply.cli.new import SHAPES
from girderply.jobfile import json_schema, new_job, parse_job
from girderply.model.build_girder import build_girder
from girderply.shapes.all_shapes import shapes
from girderply.shapes.sketch import sketch
girder, _ = build_girder(parse_job(new_job("lean to", "4 m")))
print(json.dumps({
    "help": "lean to" in SHAPES,
    "schema": "lean to" in json_schema()["$defs"]["ShapeTable"]["properties"]["kind"]["enum"],
    "members": [m.id for m in girder.members],
    "sketch": len(sketch(shapes()["lean to"])),
}))
"""


def test_a_new_shape_is_one_file(tmp_path):
    (tmp_path / "lean_to.py").write_text(LEAN_TO, "utf-8")
    made = subprocess.run(
        [sys.executable, "-c", ASK, str(tmp_path)], capture_output=True, text=True, check=True
    )
    assert json.loads(made.stdout) == {
        "help": True,
        "schema": True,
        "members": ["TC1", "BC1", "W1"],
        "sketch": 3,
    }


def test_nothing_outside_compares_the_name_of_a_shape():
    """Names of shapes in the code of other rooms: each would be a list that can be forgotten."""
    root = Path(kinds.__path__[0]).parents[1]
    names = re.compile(r"[\"'](" + "|".join(KINDS) + r")[\"']")
    found = [
        f"{path.relative_to(root)}: {line.strip()}"
        for path in sorted(root.rglob("*.py"))
        if "shapes" not in path.relative_to(root).parts
        for line in path.read_text("utf-8").splitlines()
        if names.search(line)
    ]
    assert [line for line in found if '"howe".' not in line] == []
