"""The station list of one stage: figures to read aloud while somebody else holds the pencil."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce

import numpy as np

from girderply.drawing.seen import bolt_size, points_to_clench
from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import row_words, shared_between_stages, stage_kinds
from girderply.papers.page.sheet_words import heads, hook_words
from girderply.papers.page.twins import twins
from girderply.papers.supplier.fastening_table import unit_words
from girderply.papers.yard.gauge_cards import lines_of
from girderply.papers.yard.lift_words import plies_words
from girderply.schedule.types import Fasteners, Schedule, Stage
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import face_up_words, face_words, kind_words, spec_words

_METRIC, _IMPERIAL = 5, 4  # stations on a line


def station_list(schedule: Schedule, stage: Stage) -> Sheet:
    """Stations of every row from the hook end, with what is needed to set them out."""
    show = Show(schedule.job.info.units)
    of = {"number": stage.number, "all": len(schedule.stages)}
    sheet = Sheet(f"stations-{stage.number}", phrase("stations.document", **of), "A4")
    front, how = stage.face_up == "front", [unit_words(show)]
    if schedule.driven in stage_kinds(schedule, stage):
        how.append(phrase("stations.look_right" if front else "stations.look_left"))
    sheet.blocks += [
        b.title(phrase("stations.title", **of), face_up_words(stage.face_up)),
        b.facts(_tools(schedule, stage, show)),
        b.words(" ".join(how)),
        _members(schedule, stage, show),
        b.heading(phrase("stations.aloud")),
        _stations(schedule, stage, show),
    ]
    return sheet


def _here(schedule: Schedule, stage: Stage) -> Fasteners:
    f = schedule.fasteners
    return f.select(f.stage == stage.number)


def _tools(schedule: Schedule, stage: Stage, show: Show) -> Iterator[tuple[str, str]]:
    """What to have at hand: fastener, face, points, drill, tightening, count, hold point."""
    here = _here(schedule, stage)
    for spec in sorted(set(here.spec[here.kind != "bolt"].tolist())):
        yield from _nail_tools(schedule, stage, here.select(here.spec == spec), show)
    points = points_to_clench(schedule, stage)
    if points.any():
        how = phrase("stations.clench_how", points=int(points.sum()))
        yield phrase("stations.clench"), how
    for spec in sorted(set(here.spec[here.kind == "bolt"].tolist())):
        yield from _bolt_tools(schedule, here.select(here.spec == spec), show)
    kinds = stage_kinds(schedule, stage)
    counts = ", ".join(f"{n} {kind_words(k, n)}" for k, n in kinds.items())
    yield phrase("stations.count"), counts
    yield phrase("stations.hold_point"), stage.hold_point


def _nail_tools(
    schedule: Schedule, stage: Stage, nails: Fasteners, show: Show
) -> Iterator[tuple[str, str]]:
    spec = str(nails.spec[0])
    plies = {"head": int(nails.from_ply[0]), "point": int(nails.to_ply[0])}
    face = face_words(str(nails.face[0]))
    name = phrase(f"stations.{schedule.driven}")
    yield name, phrase("stations.nail_how", spec=spec, face=face, **plies)
    out = float(nails.protrusion.max())
    if nails.clench.any():
        yield phrase("stations.points"), _clench_words(schedule, stage, show.small(out))
    elif out > 0:
        yield phrase("stations.points"), phrase("stations.points_out", out=show.small(out))
    if float(nails.drilled.max()) > 0:
        depth = schedule.nails[spec].length if spec in schedule.nails else 0.0
        size = show.diameter(float(nails.drilled.max()))
        how = phrase("stations.drill_size", size=size, depth=show.small(depth))
        yield phrase(f"stations.drill_{schedule.driven}s"), how


def _clench_words(schedule: Schedule, stage: Stage, out: str) -> str:
    mine = schedule.fasteners.stage == stage.number
    for later in schedule.stages:
        if (points_to_clench(schedule, later) & mine).any():
            return phrase("stations.points_stage", out=out, stage=later.number)
    return phrase("stations.points_later", out=out)


def _bolt_tools(schedule: Schedule, bolts: Fasteners, show: Show) -> Iterator[tuple[str, str]]:
    spec, girder = str(bolts.spec[0]), schedule.girder
    hole = show.diameter(float(bolts.drilled.max()))
    plies = plies_words(range(1, girder.plies + 1))
    depth = show.small(girder.stack)
    how = phrase("stations.drill_how", hole=hole, plies=plies, depth=depth)
    yield phrase("stations.drill"), how
    choice, face = schedule.bolts.get(spec), face_words(str(bolts.face[0]))
    if choice is None:
        yield (
            phrase("stations.bolt"),
            phrase("stations.bolt_alone", spec=spec_words(spec), face=face),
        )
    elif choice.threaded_rod:
        how = phrase("stations.rod_how", spec=spec_words(spec), washer=choice.washer.key)
        yield phrase("stations.rod"), how
    else:
        how = phrase(
            "stations.bolt_how", spec=spec_words(spec), face=face, washer=choice.washer.key
        )
        yield phrase("stations.bolt"), how
    yield phrase("stations.tighten"), phrase("stations.tighten_how")


def _groups(schedule: Schedule, stage: Stage) -> list[list[Member]]:
    used = set(_here(schedule, stage).member.tolist())
    return [g for g in twins(schedule, stage.number) if g[0].id in used]


def _members(schedule: Schedule, stage: Stage, show: Show) -> Block:
    """Per member: hook end, count, rows from the edge, gauge stick."""
    here = _here(schedule, stage)
    notes = {p.member: p for p in schedule.patterns}
    rows: list[list[b.Cell]] = []
    for group in _groups(schedule, stage):
        m = group[0]
        mine = here.kind[here.member == m.id]
        nails, bolts = int((mine != "bolt").sum()), int((mine == "bolt").sum())
        each = len(group) > 1
        edge = stick = "\u2013"
        note = notes.get(m.id)
        if note is not None and nails:
            edge = _in_a_row([show.value(m.depth / 2 + o, "small") for o in lines_of(note)])
            shared = shared_between_stages(note, nails)
            stick = show.length(note.slant) if note.slant and not shared else "\u2013"
        rows.append([
            b.strong(_names(group)), hook_words(schedule, m.id), _count(nails, each),
            _count(bolts, each), edge, stick,
        ])  # fmt: skip
    names = heads("member", "hook_end", f"{schedule.driven}s", "bolts", "row_edges", "gauge_stick")
    align = ("left", "left", "right", "right", "right", "right")
    texts = [[c["text"] if isinstance(c, dict) else c for c in row] for row in rows]
    kept = [k for k in range(len(names)) if any(row[k] != "\u2013" for row in texts)]
    return b.table(
        [names[k] for k in kept],
        [[row[k] for k in kept] for row in rows],
        ("1fr", *["auto"] * (len(kept) - 1)),
        [align[k] for k in kept],
    )


def _in_a_row(parts: Sequence[str]) -> str:
    """60; 60 and 140; 40 and 100 and 160."""
    return reduce(lambda first, last: phrase("stations.and", first=first, last=last), parts)


def _count(n: int, each: bool) -> str:
    if not n:
        return "\u2013"
    return phrase("stations.each", count=n) if each else f"{n}"


def _names(group: Sequence[Member]) -> str:
    return ", ".join(m.id for m in group)


def _stations(schedule: Schedule, stage: Stage, show: Show) -> Block:
    """Lines of a few stations each; every line says whose it is."""
    most = _IMPERIAL if show.imperial else _METRIC
    rows = [line for g in _groups(schedule, stage) for line in _lines(schedule, stage, g, most)]
    names = heads("member", "row", "numbers", "stations", *[""] * (most - 1))
    widths = ("24mm", "auto", "auto", *["1fr"] * most)
    align = ("left", "left", "left", *["right"] * most)
    return b.table(names, rows, widths, align, large=True)


def _lines(
    schedule: Schedule, stage: Stage, group: Sequence[Member], most: int
) -> Iterator[list[b.Cell]]:
    show = Show(schedule.job.info.units)
    here = _here(schedule, stage)
    mine = here.select(here.member == group[0].id)
    for what, chosen in _rows(schedule, mine):
        order = np.argsort(chosen.station, kind="stable")
        for start in range(0, len(order), most):
            part = [show.station(float(chosen.station[i])) for i in order[start : start + most]]
            name = _names(group)
            first = b.strong(name) if start == 0 else name
            cells: list[b.Cell] = [first, what, _numbers(start + 1, start + len(part))]
            yield [*cells, *part, *[""] * (most - len(part))]


def _rows(schedule: Schedule, mine: Fasteners) -> Iterator[tuple[str, Fasteners]]:
    """Nails of a member row by row, then its bolts, size by size where sizes differ."""
    for row in sorted(set(mine.row[mine.kind != "bolt"].tolist())):
        chosen = mine.select((mine.kind != "bolt") & (mine.row == row))
        yield row_words(schedule, str(chosen.member[0]), int(row)), chosen
    for spec in sorted(set(mine.spec[mine.kind == "bolt"].tolist())):
        size = bolt_size(schedule, spec)
        yield (
            size or phrase("sheet.bolts"),
            mine.select((mine.kind == "bolt") & (mine.spec == spec)),
        )


def _numbers(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low}\u2013{high}"
