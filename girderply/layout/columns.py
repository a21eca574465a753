"""Fasteners produced from their runs, and all of them as one table of columns, numbered."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from girderply.catalogue.catalogue_types import BoltChoice
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.fasteners.runs import LeftOut, Run, Single
from girderply.layout.board import Group
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.bolt_combs import in_combs, washer_shadows
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.layout.records import Fasteners
from girderply.layout.region import KeepOut
from girderply.layout.shadows import over
from girderply.layout.stages import Pass, plan_steps
from girderply.model.girder import Member


def produced(member: Member, run: Run, common: dict[str, object], plies: tuple[int, int]) -> Group:
    """The fasteners of a run: nothing else makes one."""
    station, index = run.places()
    offset = np.array(run.offsets, float)[index]
    row = np.array(run.numbers, np.int64)[index]
    return Group(member, run, station, offset, row, plies, common)


def nail_group(brief: Brief, member: Member, p: Pass, run: Run, rows: int) -> Group:
    """The nails of one run of a pass."""
    common: dict[str, object] = {
        "kind": p.nail.kind,
        "spec": p.nail.key,
        "joint": "",
        "stage": p.stage,
        "face": p.face,
        "from_ply": p.from_ply,
        "to_ply": p.to_ply,
        "protrusion": p.protrusion,
        "point_depth": p.point_depth,
        "clench": p.clench,
        "drilled": hole_for(brief, p.nail),
        "purpose": "assembly",
        "load": "",
        "rows": rows,
    }
    return produced(member, run, common, p.reach)


def bolt_groups(
    brief: Brief,
    spots: Sequence[BoltSpot],
    choices: Mapping[tuple[str, str], BoltChoice],
    stage: int,
    obstacles: list[KeepOut],
) -> list[Group]:
    """Bolts: rows and combs as one group each, every other bolt alone."""
    face = _bolt_face(brief, stage)
    n = brief.girder.plies
    from_ply, to_ply = (1, n) if face == "front" else (n, 1)
    return [
        produced(
            mine[0].member,
            _bolt_run(mine, stage, obstacles),
            {
                "kind": FastenerKind.BOLT,
                "spec": choices[mine[0].choice].spec,
                "joint": mine[0].joint,
                "stage": stage,
                "face": face,
                "from_ply": from_ply,
                "to_ply": to_ply,
                "protrusion": 0.0,
                "point_depth": brief.girder.ply_thickness,
                "clench": False,
                "drilled": mine[0].hole,
                "purpose": "assembly",
                "load": mine[0].load,
                "rows": mine[0].rows,
            },
            (1, n),
        )
        for mine in _combs(in_combs(brief, spots, obstacles))
    ]


def _combs(spots: Sequence[BoltSpot]) -> list[list[BoltSpot]]:
    """Bolts of one comb together, by mark; every other bolt alone."""
    found: dict[tuple[object, ...], list[BoltSpot]] = {}
    for i, s in enumerate(spots):
        key = (i,) if s.comb is None else (s.member.id, s.offset, *s.comb[:2])
        found.setdefault(key, []).append(s)
    for mine in found.values():
        mine.sort(key=lambda s: s.comb[2] if s.comb else 0)
    return list(found.values())


def _bolt_run(mine: Sequence[BoltSpot], stage: int, obstacles: list[KeepOut]) -> Run:
    """A comb of bolts, or a bolt alone with what it is for."""
    s = mine[0]
    height = s.member.depth / 2 + (1.0 if math.cos(s.member.angle) > -1e-6 else -1.0) * s.offset
    single = Single("load", s.load) if s.load else Single("more")
    single = Single("joint", s.joint) if s.joint else single
    alone = Run(
        "", s.member.id, stage, FastenerKind.BOLT, s.station, 0.0, 1, "one",
        (s.row,), (s.offset,), (height,), single=single,
    )  # fmt: skip
    if s.comb is None or len(mine) == 1:
        return alone
    marks = [bolt.comb[2] - s.comb[2] for bolt in mine if bolt.comb]
    shadows = washer_shadows(s.member, s.washer, obstacles)
    out = []
    for k in sorted(set(range(marks[-1])) - set(marks)):
        shadow = over(shadows, s.station + k * s.comb[1])
        out.append(LeftOut(k, shadow.what, shadow.name) if shadow else LeftOut(k, "fastener"))
    count = marks[-1] + 1
    return replace(alone, step=s.comb[1], marks=count, left_out=tuple(out), single=None)


def named_runs(brief: Brief, groups: Sequence[Group]) -> list[Group]:
    """Every run with an id such as BC1-R2, by member, stage and first mark; none is empty."""
    rank = {m.id: i for i, m in enumerate(brief.girder.members)}
    order = sorted(
        (g for g in groups if len(g)),
        key=lambda g: (rank[g.member.id], g.run.stage, g.run.single is not None, g.run.first,
                       g.run.offsets),
    )  # fmt: skip
    seen: Counter[str] = Counter()
    named = []
    for g in order:
        seen[g.member.id] += 1
        named.append(replace(g, run=replace(g.run, id=f"{g.member.id}-R{seen[g.member.id]}")))
    return named


def _bolt_face(brief: Brief, stage: int) -> str:
    """The face that is up when the bolts go in."""
    steps = plan_steps(brief, True)
    return next((s.face_up for s in steps if s.number == stage and s.bolts), "front")


_WORDS = ("kind", "spec", "joint", "face", "purpose", "load")
# in the order that they are numbered in
_LETTER = {FastenerKind.NAIL: "N", FastenerKind.BOLT: "B", FastenerKind.SCREW: "S"}


def columns_of(brief: Brief, groups: Sequence[Group]) -> Fasteners:
    """All groups as one table, numbered by member, kind and station."""
    rank = {m.id: i for i, m in enumerate(brief.girder.members)}
    order = sorted(range(len(groups)), key=lambda i: rank[groups[i].member.id])
    groups = [groups[i] for i in order]
    counts = [len(g) for g in groups]

    def shared(name: str) -> np.ndarray:
        values = [g.common[name] for g in groups]
        return np.repeat(np.array(values, dtype=np.str_ if name in _WORDS else None), counts)

    empty = np.zeros(0)
    station = np.concatenate([empty, *(g.station for g in groups)])
    offset = np.concatenate([empty, *(g.offset for g in groups)])
    member = np.repeat(np.array([g.member.id for g in groups], dtype=np.str_), counts)
    xy = np.concatenate(
        [np.zeros((0, 2))]
        + [g.member.to_elevation(np.column_stack([g.station, g.offset])) for g in groups]
    )
    columns: dict[str, np.ndarray] = {
        "member": member,
        "run": np.repeat(np.array([g.run.id for g in groups], dtype=np.str_), counts),
        "x": xy[:, 0],
        "y": xy[:, 1],
        "station": station,
        "offset": offset,
        "row": np.concatenate([empty, *(g.row for g in groups)]).astype(np.int64),
        **{n: shared(n) for n in _WORDS},
        **{n: shared(n).astype(np.int64) for n in ("stage", "from_ply", "to_ply")},
        **{n: shared(n).astype(float) for n in ("protrusion", "point_depth", "drilled")},
        "clench": shared("clench").astype(bool),
    }
    places = np.array([rank[m] for m in member], dtype=np.int64)
    kinds = np.array([[*_LETTER].index(k) for k in columns["kind"]], dtype=np.int64)
    index = np.lexsort((columns["stage"], offset, station, kinds, places))
    columns = {name: column[index] for name, column in columns.items()}
    columns["id"] = _numbered(columns["member"], columns["kind"])
    return Fasteners(**columns)


def _numbered(member: np.ndarray, kind: np.ndarray) -> np.ndarray:
    """Ids such as BC1-N12: counted per member and kind, in table order."""
    seen: Counter[tuple[str, str]] = Counter()
    names = []
    for m, k in zip(member.tolist(), kind.tolist(), strict=True):
        seen[m, k] += 1
        names.append(f"{m}-{_LETTER[FastenerKind(k)]}{seen[m, k]}")
    return np.array(names, dtype=np.str_)
