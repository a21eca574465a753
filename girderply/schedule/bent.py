"""Which way the points of clenched nails are bent, and what is said of it where it matters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.bending import bends, bent_in, side_of
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout, keep_outs
from girderply.layout.records import Bools, Fasteners, Stage
from girderply.layout.region import KeepOut
from girderply.wording import Said, Words, joined, said

PLACES = 6  # that a stage names one by one; more are found by their ticks
NAMED = 5  # ids that a finding names
_SEEN_BEHIND = {"left": "right", "right": "left"}


@dataclass(frozen=True, slots=True)
class Bent:
    """Fasteners with their sides, stages that say what is not towards the middle, findings."""

    fasteners: Fasteners
    stages: tuple[Stage, ...]
    findings: tuple[Finding, ...]


def with_bends(brief: Brief, layout: Layout) -> Bent:
    """Say of every clenched point which way it is bent."""
    f = layout.fasteners
    found = bends(brief.girder, [*keep_outs(brief), *_washers(brief, layout)], f)
    stages = tuple(_told(brief, layout, s, found.named, found.way) for s in layout.stages)
    return Bent(replace(f, bend=found.way), stages, tuple(_stuck(f, found.stuck)))


def _washers(brief: Brief, layout: Layout) -> Iterator[KeepOut]:
    """Where washers will lie, as squares along their member."""
    f = layout.fasteners
    for i in np.flatnonzero(f.bolted).tolist():
        half = layout.bolts[str(f.spec[i])].washer.outer / 2
        corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half
        member = brief.girder.member(str(f.member[i]))
        place = corners + (f.station[i], f.offset[i])
        yield KeepOut(member.to_elevation(place), "washer", 0.0)


def _told(brief: Brief, layout: Layout, stage: Stage, named: Bools, way: np.ndarray) -> Stage:
    """The stage with a line for the points that are not bent towards the middle."""
    f = layout.fasteners
    here = np.flatnonzero(named & bent_in(f, layout.stages, stage))
    usual = said("action.bend")
    if not len(here) or usual not in stage.action:
        return stage
    places = _places(brief, f, here.tolist(), way, stage)
    bent = (
        said("action.bend_named", n=len(here), places=joined(said("sheet.semicolon"), places))
        if len(places) <= PLACES
        else said("action.bend_many", n=len(here))
    )
    at = stage.action.index(usual) + 1
    return replace(stage, action=(*stage.action[:at], bent, *stage.action[at:]))


def _places(
    brief: Brief, f: Fasteners, here: Sequence[int], way: np.ndarray, stage: Stage
) -> list[Said]:
    """Marks of each member with the side, as seen on the face that people are before."""
    groups: dict[tuple[str, str], list[Words]] = {}
    for i in here:
        name = str(f.member[i])
        side = side_of(brief.girder.member(name), int(way[i]))
        if stage.face_up == "back":
            side = _SEEN_BEHIND.get(side, side)
        groups.setdefault((name, side), []).append(brief.show.station(float(f.station[i])))
    return [
        said("action.bend_place", member=name, stations=joined(", ", at), side=_side(side))
        for (name, side), at in groups.items()
    ]


def _side(side: str) -> Said:
    return said(f"action.side_{side}")


def _stuck(f: Fasteners, stuck: Bools) -> Iterator[Finding]:
    ids = f.id[stuck].tolist()
    if not ids:
        return
    names = ", ".join(ids[:NAMED]) + (", ..." if len(ids) > NAMED else "")
    text = said("finding.no_room_to_bend", n=len(ids), ids=names)
    tip = said("finding.no_room_tip")
    yield Finding("no-room-to-bend", Severity.WARNING, "fastening.nail", text, tip=tip)
