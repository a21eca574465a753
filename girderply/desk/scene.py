"""What is drawn on a page: the girder of a schedule as plain lists, in model mm.

Every place is the schedule's own; lengths that are read are texts in the job's units.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from girderply.jobfile.job import Job
from girderply.model.girder import Array, Girder, HungLoad, Member
from girderply.schedule.design_value import design_value
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_up_words, kind_words, role_words

Plain = dict[str, Any]


def scene(voice: Voice, schedule: Schedule) -> Plain:
    """Everything that the drawing of one girder shows."""
    show = Printed(schedule.job.info.units, voice)
    return {
        **outline_scene(voice, schedule.girder, schedule.job),
        "loads": [_load(schedule, h, show) for h in schedule.girder.loads],
        "stages": [_stage(voice, s) for s in schedule.stages],
        "fasteners": _columns(voice, schedule, show),
        "washers": {spec: _mm(c.washer.outer) for spec, c in sorted(schedule.bolts.items())},
    }


def outline_scene(voice: Voice, girder: Girder, job: Job) -> Plain:
    """The girder without what is decided about it."""
    show = Printed(job.info.units, voice)
    outline = np.concatenate([m.outline for m in girder.members])
    low, high = outline.min(axis=0), outline.max(axis=0)
    return {
        "box": [_mm(v) for v in (low[0], low[1], high[0], high[1])],
        "imperial": show.imperial,
        "members": [_member(voice, m, show) for m in girder.members],
        "joints": [
            {"id": j.id, "at": [_mm(j.x), _mm(j.y)], "members": list(j.members)}
            for j in girder.joints
        ],
        "plates": [
            {"joint": p.joint, "outline": _points(p.outline), "assumed": p.assumed}
            for p in girder.plates
        ],
        "bearings": [[_mm(b.x), _mm(b.width), _underside(girder, b.x)] for b in girder.bearings],
    }


def _mm(value: float) -> float:
    return round(float(value), 1) + 0.0


def _points(outline: Array) -> list[list[float]]:
    return [[_mm(x), _mm(y)] for x, y in outline.tolist()]


def _underside(girder: Girder, x: float) -> float:
    """The lowest timber over a bearing, mm."""
    over = [m.outline[:, 1].min() for m in girder.members
            if m.outline[:, 0].min() <= x <= m.outline[:, 0].max()]  # fmt: skip
    return _mm(min(over, default=0.0))


def _member(voice: Voice, m: Member, show: Printed) -> Plain:
    return {
        "id": m.id,
        "role": str(m.role),
        "chord": m.role.is_chord,
        "said": voice.told(role_words(str(m.role))),
        "depth": _mm(m.depth),
        "sizes": [show.small(m.depth), show.span(m.length)],
        "hook": [_mm(m.hook[0]), _mm(m.hook[1])],
        "far": [_mm(m.far[0]), _mm(m.far[1])],
        "angle": m.angle,
        "joints": list(m.joints),
        "outline": _points(m.outline),
    }


def _load(schedule: Schedule, h: HungLoad, show: Printed) -> Plain:
    value, _ = design_value(h, schedule.job.basis)
    return {
        "id": h.id,
        "entry": _entry(schedule.job, h),
        "chord": h.chord,
        "face": str(h.face),
        "at": [_mm(h.x), _mm(h.y)],
        "station": show.station(h.station),
        "design": show.force(value),
        "down": value >= 0,
        "low": schedule.girder.member(h.chord).role.value == "bottom chord",
        "bracket": _points(h.footprint) if h.footprint is not None else None,
    }


def _entry(job: Job, h: HungLoad) -> int:
    """Which entry of the job's loads it is one of."""
    for n, spec in enumerate(job.loads):
        if h.id == spec.id or (spec.to is not None and h.id.rpartition("-")[0] == spec.id):
            return n
    return 0


def _stage(voice: Voice, s: Stage) -> Plain:
    return {
        "number": s.number,
        "title": voice.told(s.title),
        "face": s.face_up,
        "face_said": face_up_words(s.face_up, s.upright),
        "action": list(map(voice.told, s.action)),
    }


def _columns(voice: Voice, schedule: Schedule, show: Printed) -> Plain:
    f = schedule.fasteners
    specs = sorted(set(f.spec.tolist()))
    kinds = sorted(set(f.kind.tolist()))
    return {
        "id": f.id.tolist(),
        "x": [_mm(x) for x in f.x.tolist()],
        "y": [_mm(y) for y in f.y.tolist()],
        "member": f.member.tolist(),
        "station": [show.station(s) for s in f.station.tolist()],
        "stage": f.stage.tolist(),
        "back": (f.face == "back").tolist(),
        "bolt": f.bolted.tolist(),
        "spec": [specs.index(s) for s in f.spec.tolist()],
        "specs": specs,
        "kinds": {k: [voice.told(kind_words(k, 1)), voice.told(kind_words(k, 2))] for k in kinds},
        "kind": f.kind.tolist(),
    }
