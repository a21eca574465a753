"""What the tablet page knows about a girder: plain lists and texts, ready for JSON.

Lengths that are drawn are in mm; lengths that are read are texts in the job's own units.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing.seen import points_to_clench
from girderply.inspection.record import SCHEMA
from girderply.inspection.result_words import named
from girderply.model.girder import Array, Member
from girderply.papers.page.sheet_words import check_words, finding_words, near_marks
from girderply.papers.tablet.after import After
from girderply.papers.tablet.page_words import words
from girderply.schedule import cautions
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice, figures

Plain = dict[str, Any]
RECORD = SCHEMA
STATES = ("good", "missing", "misplaced", "overdriven", "split", "wrong-size", "loose")
BOLT_ONLY = ("loose",)
_STEP = {"metric": (5.0, 1.0), "imperial": (6.35, 1.5875)}  # mm: of positions, of gaps


def tablet_data(voice: Voice, schedule: Schedule, after: After | None = None) -> Plain:
    """Everything that the page's script needs, in a fixed order.

    Args:
        voice: that tells it.
        schedule: the finished schedule of one girder, with what was to be added after `after`.
        after: what was seen before, where the page goes on from a record.

    Returns:
        Strings, numbers, lists and dictionaries only.
    """
    said = words(voice)
    return {
        **_identity(schedule),
        "language": voice.language,
        "words": said,
        "units": _units(voice, schedule),
        "blind": schedule.job.info.counting == "blind",
        "photos": schedule.job.info.photos == "asked",
        "failed": schedule.failed,
        "stamp": voice.told(cautions.not_for_assembly()),
        "wrong": _wrong(voice, schedule),
        "cautions": _cautions(voice, schedule),
        "states": list(STATES),
        "bolt_only": list(BOLT_ONLY),
        "members": [_member(m) for m in _used(schedule)],
        "plates": [
            {"outline": _points(p.outline), "assumed": p.assumed} for p in schedule.girder.plates
        ],
        "bearings": [[_mm(b.x), _mm(b.width)] for b in schedule.girder.bearings],
        "brackets": _brackets(schedule),
        "stages": [_stage(voice, schedule, s, after) for s in schedule.stages],
        "groups": groups(schedule, after),
        "marks": _marks(voice, schedule, after),
        "after": after.as_data() if after else None,
    }


def _identity(schedule: Schedule) -> Plain:
    info = schedule.job.info
    return {
        "schema": RECORD,
        "job": info.number,
        "title": info.title,
        "mark": schedule.girder.mark,
        "revision": info.revision,
        "dated": info.date,
        "content_hash": schedule.content_hash,
        "quantity": schedule.girder.quantity,
    }


def _units(voice: Voice, schedule: Schedule) -> Plain:
    """The unit that lengths are typed in, its size in mm, and the steps of the large buttons."""
    show = Printed(schedule.job.info.units, voice)
    place, small = _STEP[show.system]
    return {
        "unit": "in" if show.imperial else "mm",
        "size": 25.4 if show.imperial else 1.0,
        "sixteenths": show.imperial,
        "decimal": voice.told(figures(".")),
        "step": place,
        "small_step": small,
        "stations": show.unit("length"),
        "tolerance": near_marks(voice, schedule),
    }


def _wrong(voice: Voice, schedule: Schedule) -> list[str]:
    """Failed checks and errors in words; a finding that speaks of a check stands for it."""
    show = Printed(schedule.job.info.units, voice)
    errors = [f for f in schedule.findings if f.severity == "error"]
    told, checks = {f.where for f in errors}, {c.id for c in schedule.checks}
    lines = [check_words(voice, c, show) for c in schedule.checks if not c.ok and c.id not in told]
    return lines + [finding_words(voice, f, where=f.where not in checks) for f in errors]


def _cautions(voice: Voice, schedule: Schedule) -> list[str]:
    demo = [cautions.demo()] if schedule.job.info.demo else []
    assumed = [cautions.plates_assumed()] if schedule.plates_assumed else []
    return [
        voice.told(words) for words in (*demo, *assumed, *cautions.scope(schedule.job.assembly))
    ]


def _mm(value: float) -> float:
    """Rounded to a tenth of a millimetre; never a negative zero."""
    return round(float(value), 1) + 0.0


def _points(outline: Array) -> list[list[float]]:
    return [[_mm(x), _mm(y)] for x, y in outline.tolist()]


def _used(schedule: Schedule) -> tuple[Member, ...]:
    return schedule.girder.members


def _member(m: Member) -> Plain:
    return {
        "id": m.id,
        "chord": m.role.is_chord,
        "depth": _mm(m.depth),
        "hook": [_mm(m.hook[0]), _mm(m.hook[1])],
        "far": [_mm(m.far[0]), _mm(m.far[1])],
        "outline": _points(m.outline),
    }


def _brackets(schedule: Schedule) -> list[Plain]:
    return [
        {"id": load.id, "face": str(load.face), "outline": _points(load.footprint)}
        for load in schedule.girder.loads
        if load.footprint is not None
    ]


def _stage(voice: Voice, schedule: Schedule, stage: Stage, after: After | None) -> Plain:
    added = after is not None and stage.number in after.stages
    places = after.places(voice, schedule, stage.number) if after and added else {}
    lines = [named(name, words) for name, words in places.items()] or stage.action
    f = schedule.fasteners
    mine = f.stage == stage.number
    nails = [schedule.nails[spec] for spec in dict.fromkeys(f.spec[mine & f.driven].tolist())]
    return {
        "number": stage.number,
        "title": voice.told(stage.title),
        "face": _most_heads(schedule, stage.number) if added else stage.face_up,
        "added": added,
        "action": list(map(voice.told, lines)),
        "places": places,
        "hold_point": voice.told(stage.hold_point),
        "clench": int(points_to_clench(schedule, stage).sum()),
        "sizes": [{"key": n.key, "d_mm": n.d, "length_mm": n.length} for n in nails],
        "bolts": bool((mine & f.bolted).any()),
        "bent": int((mine & f.clench).sum()),
    }


def _most_heads(schedule: Schedule, stage: int) -> str:
    """The face that most fasteners of a stage have their heads on; the front where equal."""
    faces = schedule.fasteners.face[schedule.fasteners.stage == stage].tolist()
    return "back" if 2 * faces.count("back") > len(faces) else "front"


GroupKey = tuple[int, int, str, int, str]  # stage, member's place, kind, row (0: all), face


def _group_keys(schedule: Schedule, added: frozenset[int]) -> list[GroupKey]:
    """For each fastener what is counted together: a row of a member in a stage, or its bolts.

    In a stage of what was to be added rows say nothing: all of a member's nails count together.
    """
    f = schedule.fasteners
    place = {m.id: i for i, m in enumerate(schedule.girder.members)}
    columns = (f.stage, f.member, f.kind, f.row, f.face)
    return [
        (
            stage,
            place[member],
            kind,
            0 if kind == FastenerKind.BOLT or stage in added else row,
            face,
        )
        for stage, member, kind, row, face in zip(*(c.tolist() for c in columns), strict=True)
    ]


def _in_order(keys: Iterable[GroupKey]) -> list[GroupKey]:
    """Stage by stage, member by member, nails row by row, then bolts."""
    return sorted(set(keys), key=lambda k: (k[0], k[1], k[2] == FastenerKind.BOLT, k[3], k[4]))


def groups(schedule: Schedule, after: After | None = None) -> list[Plain]:
    """What is counted together, with the number due: the lines of the tick-off list."""
    added = after.stages if after else frozenset()
    keys = _group_keys(schedule, added)
    rows: dict[tuple[int, int], set[int]] = {}
    for stage, place, _, row, _ in keys:
        rows.setdefault((stage, place), set()).add(row)
    return [
        {
            "stage": stage,
            "member": place,
            "kind": kind,
            "row": row,
            "added": stage in added,
            "only": len(rows[stage, place] - {0}) == 1,
            "face": face,
            "due": keys.count((stage, place, kind, row, face)),
        }
        for stage, place, kind, row, face in _in_order(keys)
    ]


def _marks(voice: Voice, schedule: Schedule, after: After | None) -> Plain:
    """Columns, one entry per fastener, in the order they are numbered."""
    f = schedule.fasteners
    show = Printed(schedule.job.info.units, voice)
    keys = _group_keys(schedule, after.stages if after else frozenset())
    numbers = {key: i for i, key in enumerate(_in_order(keys))}
    specs = sorted(set(f.spec.tolist()))
    return {
        "id": f.id.tolist(),
        "group": [numbers[key] for key in keys],
        "spec": [specs.index(s) for s in f.spec.tolist()],
        "x": [_mm(x) for x in f.x.tolist()],
        "y": [_mm(y) for y in f.y.tolist()],
        "station": [show.station(s) for s in f.station.tolist()],
        "specs": specs,
    }
