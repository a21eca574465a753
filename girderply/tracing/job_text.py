"""The text of a traced job: commented, in the unit system of the job, with what was guessed."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from girderply.bases.registry import usual
from girderply.jobfile.job import MemberSpec, PlateSpec
from girderply.jobfile.new_text import HEADER
from girderply.tracing.drawing import Guess, Options, Point
from girderply.tracing.traced import TracedGirder
from girderply.units.exact import MM_PER_IN
from girderply.units.short_text import one_line
from girderply.wording import Words, english, said

WIDTH: Final = 96
_ASSUMED: Final = """\
# What was guessed, or what nobody has said. Look at each, put it right, and strike its key here;
# where the value is right as it is, move its key to: confirmed = ["..."]"""
_LOADS: Final = """\
# What hangs on the girder: one [[loads]] table for each load or series of equal loads.
# [[loads]]
# id = "T1"                  # name, used once
# chord = "{chord}"                # the member that it hangs on
# face = "front"             # front or back; top: enters all plies equally
# at = "{at}"             # from the chord's hook end
# permanent = "0.8 kN"       # characteristic, from the truss designer's reactions
# variable = "1.2 kN"
# what = "Supported truss"
"""


def job_text(girder: TracedGirder, options: Options, source: str) -> str:
    """The whole job file.

    Args:
        girder: as traced.
        options: title block, plies and timber, where they were given.
        source: name of the file that was traced.
    """
    guesses = [*girder.guesses, *_left_open(girder, options)]
    size = MM_PER_IN if options.units == "imperial" else 1.0
    return "\n".join(
        [
            HEADER,
            f"# Traced from {one_line(source)}.",
            *(f"# {_one(note)}" for note in girder.notes),
            *_job(options, source, guesses),
            *_girder(girder, options, size),
            "",
            options.loads or _example(girder),
            *_rest(options),
        ]
    )


def table_text(lists: Iterable[str], options: Options, source: str) -> str:
    """The job of a girder given by tables; `lists` are its nodes, members, plates and bearings."""
    nothing = TracedGirder((), ())
    return "\n".join(
        [
            HEADER,
            f"# From the tables of {one_line(source)}.",
            *_job(options, source, list(_left_open(nothing, options))),
            *_head(nothing, options),
            "",
            *lists,
            "",
            options.loads,
            *_rest(options),
        ]
    )


def quoted(text: str) -> str:
    """A TOML basic string."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _left_open(girder: TracedGirder, options: Options) -> Iterator[Guess]:
    usual = said("tracing.why_usual")
    if not (options.plies or girder.plies):
        yield Guess("girder.plies", "2", usual)
    if not (options.ply_thickness or girder.thickness):
        yield Guess("girder.ply_thickness", _thickness(girder, options), usual)
    if not (options.timber or girder.timber):
        yield Guess("girder.timber", _timber(girder, options), usual)


def all_guesses(girder: TracedGirder, options: Options) -> list[Guess]:
    """Everything that nobody said, of the drawing and of the job."""
    return [*girder.guesses, *_left_open(girder, options)]


def _thickness(girder: TracedGirder, options: Options) -> str:
    if options.ply_thickness or girder.thickness is None:
        usual = "1.5 in" if options.units == "imperial" else "38 mm"
        return options.ply_thickness or usual
    return f"{round(girder.thickness, 3):g} mm"


def _timber(girder: TracedGirder, options: Options) -> str:
    usual = "Spruce-Pine-Fir" if options.units == "imperial" else "C24"
    return options.timber or girder.timber or usual


def _job(options: Options, source: str, guesses: Sequence[Guess]) -> Iterator[str]:
    yield ""
    yield "# Title block of every sheet."
    yield "[job]"
    yield f"number = {quoted(options.number or 'new')}"
    yield f"title = {quoted(f'Traced from {one_line(source)}'[:200])}"
    yield 'revision = "0"'
    yield f"units = {quoted(options.units)}"
    yield 'truss_designer = ""'
    if guesses:
        yield _ASSUMED
        yield "assumed = ["
        for key in dict.fromkeys(g.job_key for g in guesses):
            mine = (g for g in guesses if g.job_key == key)
            yield from (
                f"  # {g.key}: {one_line(english(g.value))} ({one_line(english(g.why))})"
                for g in mine
            )
            yield f"  {quoted(key)},"
        yield "]"


def _one(words: Words) -> str:
    """The job file has its comments in English, as its keys are."""
    return one_line(english(words))


def _head(girder: TracedGirder, options: Options) -> Iterator[str]:
    yield ""
    yield "# The girder: identical plies side by side; ply 1 is at the front face."
    yield "[girder]"
    yield f"mark = {quoted(options.mark or 'G1')}"
    yield f"plies = {options.plies or girder.plies or 2}"
    yield f"ply_thickness = {quoted(_thickness(girder, options))}"
    yield f"timber = {quoted(_timber(girder, options))}"
    if girder.timbers and not options.timber:
        own = (f"{quoted(name)} = {quoted(timber)}" for name, timber in girder.timbers.items())
        yield f"timbers = {{ {', '.join(own)} }}"


def _girder(girder: TracedGirder, options: Options, size: float) -> Iterator[str]:
    yield from _head(girder, options)
    if girder.bearings:
        boxes = (f"{{ x = {n(b.x, size)}, width = {n(b.width, size)} }}" for b in girder.bearings)
        yield f"bearings = [{', '.join(boxes)}]"
    yield ""
    yield from lists_text(girder, size)
    if girder.plates:
        yield ""
        yield "# Nail plates, on both faces of every ply."
        yield "plates = ["
        yield from (_plate(plate, size) for plate in girder.plates)
        yield "]"


def lists_text(girder: TracedGirder, size: float) -> Iterator[str]:
    """Nodes and members as the lines of a job file; `size` is mm in one unit of the job."""
    unit = "in" if size != 1.0 else "mm"
    yield f"# Panel points: x from the left end, y up, in {unit}."
    yield "nodes = ["
    for p in girder.nodes:
        yield f"  {{ id = {quoted(p.id)}, x = {n(p.x, size)}, y = {n(p.y, size)} }},"
    yield "]"
    yield ""
    yield "# Members, outlined as they are drawn. Without an outline: cut by the usual rules."
    yield "members = ["
    for m in girder.members:
        outline = () if girder.blank else girder.outlines.get(m.id, ())
        yield from _member(m, outline, size)
    yield "]"


def _plate(plate: PlateSpec, size: float) -> str:
    values = {
        "x": plate.centre[0],
        "y": plate.centre[1],
        "width": plate.width,
        "height": plate.height,
    }
    parts = [f"{key} = {n(value, size)}" for key, value in values.items()]
    if plate.angle:
        parts.append(f"angle = {quoted(f'{math.degrees(plate.angle):.10g} deg')}")
    return f"  {{ joint = {quoted(plate.joint)}, {', '.join(parts)} }},"


def _member(m: MemberSpec, outline: Sequence[Point], size: float) -> Iterator[str]:
    parts = [
        f"id = {quoted(m.id)}",
        f"role = {quoted(str(m.role))}",
        f"nodes = [{', '.join(map(quoted, m.nodes))}]",
        f"depth = {n(m.depth, size)}",
    ]
    if m.hook_end is not None:
        parts.append(f"hook_end = {quoted(m.hook_end)}")
    if m.compression is not None:
        parts.append(f"compression = {str(m.compression).lower()}")
    line = f"  {{ {', '.join(parts)}"
    if not outline:
        yield f"{line} }},"
        return
    yield f"{line}, outline = ["
    yield from _wrapped(f"[{n(x, size)}, {n(y, size)}]," for x, y in outline)
    yield "  ] },"


def _wrapped(items: Iterable[str]) -> Iterator[str]:
    line = "   "
    for item in items:
        if len(line) + len(item) >= WIDTH:
            yield line
            line = "   "
        line += f" {item}"
    yield line


def _example(girder: TracedGirder) -> str:
    chord = next(m.id for m in girder.members if m.role.value == "bottom chord")
    return _LOADS.format(chord=chord, at="1200 mm")


def _rest(options: Options) -> Iterator[str]:
    imperial = options.units == "imperial"
    yield "# The standard that judges, and how the plies are fastened."
    yield "[basis]"
    yield f'standard = "{usual(options.units)}"'
    yield ""
    yield "[fastening]"
    yield f'rules = "{"north-american-built-up" if imperial else "common-practice"}"'
    yield ""


def n(mm: float, size: float) -> str:
    """A number in the job's unit: mm to a millionth, inches to a hundredth of that."""
    return f"{round(mm / size, 8 if size != 1.0 else 6) + 0.0:.12g}"
