"""Tables that stand beside the overall elevation: members, hung loads."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.model.girder import HungLoad
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import heads, hook_words
from girderply.papers.page.timber_words import depth_words
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_words, role_words


def elevation_tables(voice: Voice, schedule: Schedule) -> list[Block]:
    """Members and hung loads side by side."""
    left = [b.heading(voice.phrase("elevation.members")), _members(voice, schedule)]
    right: list[Block] = []
    if schedule.girder.loads:
        right = [b.heading(voice.phrase("elevation.loads")), _loads(voice, schedule)]
    return [b.columns(("1fr", "1fr"), left, right)]


def _members(voice: Voice, schedule: Schedule) -> Block:
    show, f = Printed(schedule.job.info.units, voice), schedule.fasteners
    rows: list[list[b.Cell]] = []
    for m in schedule.girder.members:
        mine = f.kind[f.member == m.id]
        nails, bolts = (
            int((mine != FastenerKind.BOLT).sum()),
            int((mine == FastenerKind.BOLT).sum()),
        )
        rows.append([
            b.strong(m.id), voice.told(role_words(m.role)),
            depth_words(voice, schedule.girder.ply_thickness, m.depth, show), show.length(m.length),
            hook_words(voice, schedule, m.id), f"{nails}", f"{bolts}" if bolts else "\u2013",
        ])  # fmt: skip
    names = heads(
        voice, "member", "role", "depth", "length", "hook_end", f"{schedule.driven}s", "bolts"
    )
    align = ("left", "left", "right", "right", "left", "right", "right")
    return b.table(names, rows, ("auto",) * 7, align)


def _loads(voice: Voice, schedule: Schedule) -> Block:
    names = heads(
        voice, "load", "what", "chord", "face", "station", "permanent", "variable", "design"
    )
    align = ("left", "left", "left", "left", "right", "right", "right", "right")
    rows = [*_load_rows(voice, schedule), *_total_row(voice, schedule)]
    return b.table(names, rows, ("auto", "1fr", *["auto"] * 6), align)


def _total_row(voice: Voice, schedule: Schedule) -> Iterator[list[b.Cell]]:
    """All loads together, to be held against the truss designer's drawing."""
    show, sums = Printed(schedule.job.info.units, voice), schedule.sums
    if sums is None or sums.count < 2:
        return
    total = sums.total
    forces = [show.force(v) if v else "\u2013" for v in (total.permanent, total.variable)]
    if total.uplift:
        up = show.force(total.uplift)
        forces[1] = voice.phrase("elevation.uplift", force=forces[1], uplift=up)
    given = show.force(total.given) if total.given else "\u2013"
    words = b.strong(voice.phrase("elevation.in_all", n=sums.count))
    yield [words, "", "", "", "", *forces, given]


def _load_rows(voice: Voice, schedule: Schedule) -> Iterator[list[b.Cell]]:
    """Loads of a series that differ in nothing but their station share a row."""
    show = Printed(schedule.job.info.units, voice)
    groups: dict[object, list[HungLoad]] = {}
    for h in schedule.girder.loads:
        key = (h.series, h.chord, h.face, h.permanent, h.variable, h.uplift, h.design, h.what)
        groups.setdefault(key, []).append(h)
    for group in groups.values():
        first, last = group[0], group[-1]
        name, station = first.id, show.station(first.station)
        if len(group) > 1:
            name = _range(voice, first.id, f"{last.number}" if last.number else last.id)
            station = _range(voice, station, show.station(last.station))
        forces = [_force(v, show) for v in (first.permanent, first.variable, first.design)]
        if first.uplift:
            up = show.force(first.uplift)
            forces[1] = voice.phrase("elevation.uplift", force=forces[1], uplift=up)
        face = face_words(first.face)
        yield [b.strong(name), first.what, first.chord, voice.told(face), station, *forces]


def _range(voice: Voice, first: str, last: str) -> str:
    return voice.phrase("sheet.range", first=first, last=last)


def _force(value: float | None, show: Printed) -> str:
    return "\u2013" if value is None else show.force(value)
