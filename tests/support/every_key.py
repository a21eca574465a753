"""For every key of the job schema: a job in which it applies, and another allowed value."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from functools import cache
from typing import Any

from job_mutations import as_text

from girderply.errors import JobError
from girderply.jobfile.fields import Table
from girderply.jobfile.findings import _table_in
from girderply.jobfile.job_form import JobFile
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

HEAD = """
[job]
number = "K-1"
title = "Every key"
revision = "A"
units = "{units}"
confirmed = ["basis.reach"]
[girder]
mark = "G1"
plies = 3
ply_thickness = "38 mm"
timber = "{timber}"
"""
BEARINGS = """
[[girder.bearings]]
x = "70 mm"
width = "140 mm"
[[girder.bearings]]
x = "5130 mm"
width = "140 mm"
"""
SHAPE = """
[girder.shape]
kind = "howe"
span = "5.2 m"
pitch = "30 deg"
heel_height = "240 mm"
panels = 4
overhang = "300 mm"
[girder.sections]
top_chord = "145 mm"
bottom_chord = "195 mm"
web = "95 mm"
"""
LOADS = """
[[loads]]
id = "T"
chord = "BC1"
face = "front"
at = "600 mm"
to = "4200 mm"
every = "600 mm"
permanent = "1.5 kN"
variable = "2 kN"
uplift = "3 kN"
what = "Truss"
bracket = { width = "90 mm", height = "140 mm", offset = "-10 mm", nail_length = "40 mm" }
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "2000 mm"
design = "9 kN"
plies_reached = 2
[loads.bracket]
width = "120 mm"
height = "150 mm"
bolt = "M12"
bolts = [{ along = "0 mm", across = "-10 mm" }]
"""
BASIS = """
[basis]
standard = "EN 1995-1-1"
service_class = 1
permanent_duration = "permanent"
variable_duration = "medium"
uplift_duration = "short"
"""
FASTENING = """
[fastening]
rules = "common-practice"
prescribed = [{ role = "web", rows = 2, pitch = "250 mm", source = "sheet 1" }]
"""
DESIGNER = """
[designer]
plies = 3
plates = 10
members = 10
"""
SCREW = """
[fastening]
screw = "S"
[[fastening.screws]]
key = "S"
source = "demo"
d = "6 mm"
d_root = "3.9 mm"
d_shank = "4.3 mm"
head = "12 mm"
length = "100 mm"
thread = "60 mm"
yield_moment = 9500
withdrawal = "11.5 N/mm2"
pull_through = "10.5 N/mm2"
density = 350
tension = "11 kN"
"""
LISTS = """
nodes = [
  { id = "A", x = 20, y = 50 }, { id = "B", x = 2980, y = 50 },
  { id = "C", x = 20, y = 840 }, { id = "D", x = 2980, y = 840 },
]
members = [
  { id = "TC1", role = "top chord", nodes = ["C", "D"], depth = 120 },
  { id = "BC1", role = "bottom chord", nodes = ["A", "B"], depth = 100, outline = [
    [0, 0], [3000, 0], [3000, 100], [0, 100] ] },
  { id = "W1", role = "web", nodes = ["A", "C"], depth = 80, compression = true },
  { id = "W2", role = "web", nodes = ["A", "D"], depth = 80 },
  { id = "W3", role = "web", nodes = ["B", "D"], depth = 80 },
]
plates = [{ joint = "B", x = 2930, y = 130, width = 120, height = 160, angle = "5 deg" }]
bearings = [{ x = 50, width = 100 }, { x = 2950, width = 100 }]
"""
CASES = """
[[basis.cases]]
id = "G"
kind = "permanent"
[[basis.cases]]
id = "S"
kind = "snow"
duration = "short"
factor = 0.5
what = "drift"
[[basis.cases]]
id = "WL"
kind = "wind"
group = "W"
[[basis.cases]]
id = "WR"
kind = "wind"
group = "W"
"""
HANG = '[[loads]]\nid = "T"\nchord = "BC1"\nface = "front"\nat = "1500 mm"\ndesign = "3 kN"\n'


def head(units: str = "metric", timber: str = "C24") -> str:
    """Title block and plies."""
    return HEAD.format(units=units, timber=timber)


def texts() -> dict[str, str]:
    """Jobs by name, each the smallest that its keys need."""
    shape = head() + BEARINGS + SHAPE
    truncated = SHAPE.replace('"howe"', '"truncated"').replace(
        "panels = 4", 'panels = 6\nweb_pattern = "howe"\nflat_height = "1100 mm"'
    )
    level = (
        SHAPE.replace('"howe"', '"parallel chord"')
        .replace('pitch = "30 deg"', 'height = "900 mm"')
        .replace('heel_height = "240 mm"', "")
        .replace('overhang = "300 mm"', "")
    )
    narrow = SHAPE.replace('web = "95 mm"', 'web = "70 mm"')
    return {
        "shape": shape + LOADS + BASIS + FASTENING + DESIGNER,
        "uneven": shape.replace("panels = 4", "panel_lengths = [1200, 1400, 1300, 1300]") + HANG,
        "level": head() + BEARINGS + level + HANG,
        "truncated": head() + BEARINGS + truncated + HANG,
        "lists": head() + LISTS + HANG.replace("BC1", "TC1"),
        "prone": head() + "split_prone = true\n" + BEARINGS + narrow + HANG,
        "screw": shape + LOADS + BASIS + SCREW,
        "drilled": shape + LOADS + BASIS + SCREW + 'drill = "4 mm"\n',
        "NDS": head("imperial", "Spruce-Pine-Fir") + BEARINGS + SHAPE + HANG,
        "fixing": shape
        + LOADS.replace(
            'nail_length = "40 mm" }',
            'fixing = { d = "4 mm", length = "80 mm", number = 20, holes = "all" } }',
        ).replace('what = "Truss"', 'what = "Truss"\nplies_reached = 2')
        + BASIS,
        "screwed": shape
        + LOADS.replace(
            'nail_length = "40 mm" }', 'fixing = { screw = "S", number = 20 } }'
        ).replace('what = "Truss"', 'what = "Truss"\nplies_reached = 2')
        + BASIS
        + SCREW,
        "cases": shape
        + HANG.replace(
            'design = "3 kN"',
            'cases = { G = "2 kN", S = "3 kN", WL = "1 kN", WR = "-4 kN" }',
        )
        + CASES,
        "worn": head("imperial", "Spruce-Pine-Fir") + "treated = false\n" + BEARINGS + SHAPE + HANG,
        "bolted": shape + LOADS + BASIS + '[fastening]\ntransfer_by = "bolt"\n',
    }


OTHER: dict[str, tuple[str, Any]] = {
    "job.units": ("shape", "imperial"),
    "job.assumed": ("shape", ["girder.timber"]),
    "job.confirmed": ("shape", ["girder.plates"]),
    "girder.mark": ("shape", "G2"),
    "girder.quantity": ("shape", 2),
    "girder.plies": ("shape", 2),
    "girder.ply_thickness": ("shape", "42 mm"),
    "girder.timber": ("shape", "C30"),
    "girder.predrilled": ("shape", True),
    "girder.split_prone": ("shape", True),
    "girder.moisture": ("NDS", "wet"),
    "girder.treated": ("worn", True),
    "girder.shape.kind": ("shape", "pratt"),
    "girder.shape.span": ("shape", "5.3 m"),
    "girder.shape.pitch": ("shape", "32 deg"),
    "girder.shape.height": ("level", "950 mm"),
    "girder.shape.heel_height": ("shape", "260 mm"),
    "girder.shape.panels": ("shape", 6),
    "girder.shape.panel_lengths": ("uneven", [1300, 1400, 1200, 1300]),
    "girder.shape.overhang": ("shape", "350 mm"),
    "girder.shape.web_pattern": ("truncated", "pratt"),
    "girder.shape.flat_height": ("truncated", "1050 mm"),
    "girder.sections.top_chord": ("shape", "170 mm"),
    "girder.sections.bottom_chord": ("shape", "220 mm"),
    "girder.sections.members": ("shape", {"W3": "120 mm"}),
    "girder.sections.web": ("shape", "120 mm"),
    "girder.nodes.id": ("lists", "Z"),
    "girder.nodes.x": ("lists", 25),
    "girder.nodes.y": ("lists", 51),
    "girder.members.id": ("lists", "TC9"),
    "girder.members.role": ("lists", "bottom chord"),
    "girder.members.nodes": ("lists", ["C", "B"]),
    "girder.members.depth": ("lists", 140),
    "girder.members.outline": ("lists", [[0, 0], [3000, 0], [3000, 100], [5, 100]]),
    "girder.members.hook_end": ("lists", "right"),
    "girder.members.compression": ("lists", False),
    "girder.timbers": ("shape", {"W3": "C30"}),
    "girder.hook_ends": ("shape", {"BC1": "right"}),
    "girder.plates.joint": ("lists", "D"),
    "girder.plates.x": ("lists", 2900),
    "girder.plates.y": ("lists", 150),
    "girder.plates.width": ("lists", 150),
    "girder.plates.height": ("lists", 180),
    "girder.plates.angle": ("lists", "0 deg"),
    "girder.bearings.x": ("shape", "100 mm"),
    "girder.bearings.width": ("shape", "120 mm"),
    "loads.id": ("shape", "S"),
    "loads.chord": ("shape", "TC1"),
    "loads.face": ("shape", "back"),
    "loads.at": ("shape", "700 mm"),
    "loads.to": ("shape", "3600 mm"),
    "loads.every": ("shape", "900 mm"),
    "loads.permanent": ("shape", "1.8 kN"),
    "loads.variable": ("shape", "2.4 kN"),
    "loads.uplift": ("shape", "4 kN"),
    "loads.design": ("shape", "11 kN"),
    "loads.plies_reached": ("shape", 1),
    "loads.cases": ("cases", {"G": "2 kN", "S": "4 kN", "WL": "1 kN", "WR": "-4 kN"}),
    "loads.what": ("shape", "Jack truss"),
    "loads.bracket.width": ("shape", "100 mm"),
    "loads.bracket.height": ("shape", "120 mm"),
    "loads.bracket.offset": ("shape", "0 mm"),
    "loads.bracket.nail_length": ("shape", "60 mm"),
    "loads.bracket.fixing.d": ("fixing", "5 mm"),
    "loads.bracket.fixing.length": ("fixing", "85 mm"),
    "loads.bracket.fixing.number": ("fixing", 14),
    "loads.bracket.fixing.screw": ("screwed", "missing"),
    "loads.bracket.fixing.holes": ("fixing", "the upper ones"),
    "loads.bracket.bolt": ("shape", "M16"),
    "loads.bracket.bolts.along": ("shape", "15 mm"),
    "loads.bracket.bolts.across": ("shape", "10 mm"),
    "designer.reactions": ("shape", ["20 kN", "20 kN"]),
    "designer.reactions_are": ("shape", "design"),
    "designer.self_weight": ("shape", True),
    "designer.plies": ("shape", 2),
    "designer.plates": ("shape", 12),
    "designer.members": ("shape", 13),
    "designer.mass": ("shape", "200 kg"),
    "designer.timber": ("shape", "C30"),
    "designer.ply_thickness": ("shape", "42 mm"),
    "designer.top_chord": ("shape", "170 mm"),
    "designer.bottom_chord": ("shape", "220 mm"),
    "designer.span": ("shape", "5.3 m"),
    "designer.length": ("shape", "6 m"),
    "designer.height": ("shape", "1.9 m"),
    "designer.heel_height": ("shape", "260 mm"),
    "designer.loads": ("shape", 9),
    "designer.permanent": ("shape", "12 kN"),
    "designer.variable": ("shape", "15 kN"),
    "designer.uplift": ("shape", "22 kN"),
    "designer.service_class": ("shape", 2),
    "designer.variable_duration": ("shape", "short"),
    "basis.standard": ("shape", "NDS 2018"),
    "basis.permanent_duration": ("shape", "long"),
    "basis.variable_duration": ("shape", "short"),
    "basis.uplift_duration": ("shape", "instantaneous"),
    "basis.reach": ("shape", "400 mm"),
    "basis.service_class": ("shape", 3),
    "basis.gamma_permanent": ("shape", 1.2),
    "basis.gamma_variable": ("shape", 1.6),
    "basis.gamma_permanent_favourable": ("shape", 0.9),
    "basis.gamma_connection": ("shape", 1.4),
    "basis.split_clause": ("prone", False),
    "basis.cases.id": ("cases", "K"),
    "basis.cases.kind": ("cases", "imposed"),
    "basis.cases.duration": ("cases", "medium"),
    "basis.cases.factor": ("cases", 0.2),
    "basis.cases.group": ("cases", "X"),
    "basis.cases.what": ("cases", "balanced"),
    "girder.members.align": ("lists", "underside"),
    "assembly.way": ("shape", "upright"),
    "assembly.faces": ("shape", "front"),
    "fastening.rules": ("shape", "french-36mm"),
    "fastening.rules_file": ("level", "missing.toml"),
    "fastening.nail": ("shape", "3.4 x 100"),
    "fastening.share_limit": ("shape", 0.02),
    "fastening.screw": ("screw", "missing"),
    "fastening.bolt": ("shape", "M16"),
    "fastening.washer": ("shape", "ISO 7094 M12"),
    "fastening.finish": ("shape", "stainless steel"),
    "fastening.bolt_finish": ("shape", "Fe/Zn 25c"),
    "fastening.transfer_by": ("shape", "bolt"),
    "fastening.design_by": ("shape", "computed shares"),
    "fastening.design_to_load": ("shape", False),
    "fastening.order_allowance": ("shape", 0.2),
    "fastening.overrides": ("shape", {"chord_centres": "200 mm"}),
    "fastening.prescribed.role": ("shape", "top chord"),
    "fastening.prescribed.members": ("shape", ["W1"]),
    "fastening.prescribed.rows": ("shape", 1),
    "fastening.prescribed.pitch": ("shape", "200 mm"),
    "fastening.prescribed.stagger": ("shape", False),
    "fastening.prescribed.nail": ("shape", "3.4 x 100"),
    "fastening.prescribed.source": ("shape", "sheet 2"),
    "fastening.screws.key": ("screw", "T"),
    "fastening.screws.source": ("screw", "demo 2"),
    "fastening.screws.d": ("screw", "6.5 mm"),
    "fastening.screws.d_root": ("screw", "4.0 mm"),
    "fastening.screws.d_shank": ("screw", "4.5 mm"),
    "fastening.screws.head": ("screw", "13 mm"),
    "fastening.screws.length": ("screw", "110 mm"),
    "fastening.screws.thread": ("screw", "70 mm"),
    "fastening.screws.yield_moment": ("screw", 10500),
    "fastening.screws.withdrawal": ("screw", "12.5 N/mm2"),
    "fastening.screws.pull_through": ("screw", "8 N/mm2"),
    "fastening.screws.density": ("screw", 385),
    "fastening.screws.tension": ("screw", "1 kN"),
    "fastening.screws.drill": ("drilled", "3.5 mm"),
    "fastening.screws.self_drilling": ("screw", True),
    "fastening.screws.thinnest": ("screw", "40 mm"),
    "fastening.screws.spacing": ("screw", "100 mm"),
    "fastening.screws.gauge": ("screw", "60 mm"),
    "fastening.screws.end": ("screw", "120 mm"),
    "fastening.screws.edge": ("screw", "45 mm"),
}
TITLE_BLOCK = (
    *("job.number", "job.title", "job.revision", "job.date", "job.prepared_by", "job.checked_by"),
    *(
        "job.owner",
        "job.logo",
        "job.client",
        "job.site",
        "job.truss_designer",
        "job.demo",
        "job.notes",
        "job.language",
        "job.paper",
        "job.consignee",
        "job.delivery",
        "job.saw",
        "job.counting",
        "job.photos",
    ),
)
"""Printed as they are; what a person reads changes with them, no number does."""

ECHO = ("job", "basis", "loads", "content_hash", "generator")


def keys(model: type[Table] = JobFile, path: str = "") -> Iterator[str]:
    """Every key of the job schema that holds a value, with its path."""
    for name, field in model.model_fields.items():
        here = f"{path}.{name}" if path else name
        inner = _table_in(field.annotation)
        if inner:
            yield from keys(inner, here)
        else:
            yield here


def changed(key: str) -> str:
    """The job of a key with its other value, in the first table that has the key or its table."""
    name, value = OTHER[key]
    data = copy.deepcopy(tomllib.loads(texts()[name]))
    _set(data, key.split("."), value)
    return as_text(data)


def _set(data: dict[str, Any], path: list[str], value: Any) -> None:
    first, *rest = path
    if not rest:
        data[first] = value
        return
    inner = data.setdefault(first, {})
    if isinstance(inner, list):
        inner = next((x for x in inner if _holds(x, rest)), inner[0])
    _set(inner, rest, value)


def _holds(data: Any, path: list[str]) -> bool:
    """Whether a table has the key at this path."""
    for part in path:
        if isinstance(data, list):
            data = data[0]
        if part not in data:
            return False
        data = data[part]
    return True


def essence(text: str) -> str:
    """What a job comes to, beyond what it says itself; or why it cannot be built."""
    try:
        made = to_contract(build_schedule(parse_job(text, folder=".")))
    except JobError as refused:
        return str(sorted((english(f.where), english(f.message)) for f in refused.findings))
    return str({k: v for k, v in made.items() if k not in ECHO})


@cache
def usual(name: str) -> str:
    """What a job of this module comes to as it is."""
    return essence(texts()[name])


def names() -> tuple[str, ...]:
    """Names of the jobs."""
    return tuple(texts())
