"""What is added to a girder: a row for each fastener, and whom it stands in for."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace

import numpy as np

from girderply.catalogue import choose_bolt
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.inspection.bench import Bench
from girderply.inspection.room import Nailed, Room, Spot
from girderply.inspection.ways import Way
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.holes import hole_for
from girderply.layout.records import Bools, Fasteners, PatternNote

Row = dict[str, object]


@dataclass
class Added:
    """Rows so far; each takes its place in the room.

    Attributes:
        spared: rows that were found not to be needed.
        instead: per row the id of the one that it stands in for, or empty.
        nails, bolts: by spec, what the schedule has and what was taken besides.
    """

    bench: Bench
    room: Room
    rows: list[Row] = field(default_factory=list)
    instead: list[str] = field(default_factory=list)
    spared: set[int] = field(default_factory=set)
    nails: dict[str, Nail] = field(init=False)
    bolts: dict[str, BoltChoice] = field(init=False)

    def __post_init__(self) -> None:
        """Begin with what the schedule has."""
        self.nails = dict(self.bench.schedule.nails)
        self.bolts = dict(self.bench.schedule.bolts)

    def __len__(self) -> int:
        return len(self.rows)

    def columns(self, mask: Bools) -> Fasteners:
        """The schedule's fasteners under a mask, and what was added."""
        f = self.room.built.fasteners.select(mask)
        rows = [row for i, row in enumerate(self.rows) if i not in self.spared]
        if not rows:
            return f
        return Fasteners(
            **{
                c.name: np.concatenate(
                    [getattr(f, c.name), np.array([row[c.name] for row in rows])]
                )
                for c in fields(f)
            }
        )

    def nail(self, note: PatternNote, way: Way, spot: Spot, instead: str) -> None:
        """A nail that goes in this way."""
        nearest = int(np.argmin([abs(spot[1] - r) for r in note.row_offsets]))
        self.nails[way.nail.key] = way.nail
        own = self.room.limits(note.member, way.nail)
        self.room.nailed.append(Nailed(note.member, *spot, way.plies, a1=own.a1, a2=own.a2))
        self._add(
            note.member,
            spot,
            {
                "kind": way.nail.kind,
                "spec": way.nail.key,
                "row": min(nearest + 1, note.rows),
                "face": way.face,
                "from_ply": way.from_ply,
                "to_ply": way.to_ply,
                "protrusion": way.protrusion,
                "point_depth": way.point_depth,
                "clench": way.clench,
                "bend": 0,
                "drilled": hole_for(self.bench.brief, way.nail),
            },
            instead,
        )

    def bolt(self, spot: BoltSpot, like: int, instead: str) -> None:
        """A bolt through the whole stack, like one of the schedule or the rule set's."""
        s = self.bench.schedule
        f, girder = s.fasteners, s.girder
        if like >= 0:
            spec, face = str(f.spec[like]), str(f.face[like])
            serves = str(f.purpose[like]), str(f.load[like])
        else:
            choice = choose_bolt(spot.bolt, spot.washer, girder.stack)
            self.bolts[choice.spec] = choice
            spec, face, serves = choice.spec, "front", ("make-good", "")
        self.room.bolted.append((spot, 0.0))
        ends = (1, girder.plies) if face == "front" else (girder.plies, 1)
        self._add(
            spot.member.id,
            (spot.station, spot.offset),
            {
                "kind": FastenerKind.BOLT,
                "spec": spec,
                "joint": spot.joint,
                "row": spot.row,
                "face": face,
                "from_ply": ends[0],
                "to_ply": ends[1],
                "protrusion": 0.0,
                "point_depth": girder.ply_thickness,
                "clench": False,
                "bend": 0,
                "drilled": spot.hole,
                # It serves as the one that it stands in for: a joint bolt is not one more nail,
                # a bracket's own bolt carries nothing from ply to ply.
                "purpose": serves[0],
                "load": serves[1],
            },
            instead,
        )

    def _add(self, member: str, spot: Spot, row: Row, instead: str) -> None:
        xy = self.bench.schedule.girder.member(member).to_elevation(np.array([spot]))[0]
        base: Row = {
            "id": "",
            "joint": "",
            "member": member,
            "station": spot[0],
            "offset": spot[1],
            "x": float(xy[0]),
            "y": float(xy[1]),
            "stage": len(self.bench.schedule.stages) + 1,
            "purpose": "make-good",
            "load": "",
            "run": "",
        }
        self.rows.append(base | row)
        self.instead.append(instead)

    def numbered(self) -> tuple[Fasteners, tuple[str, ...]]:
        """What was added, by member and station, with ids."""
        members = [m.id for m in self.bench.schedule.girder.members]
        self.instead = [v for i, v in enumerate(self.instead) if i not in self.spared]
        self.rows = [row for i, row in enumerate(self.rows) if i not in self.spared]
        self.spared = set()
        order = sorted(
            range(len(self.rows)),
            key=lambda i: (
                members.index(str(self.rows[i]["member"])),
                _number(self.rows[i]["station"]),
                _number(self.rows[i]["offset"]),
            ),
        )
        known = self.bench.schedule.fasteners.id.tolist()
        seen = {m: sum(name.startswith(f"{m}-M") for name in known) for m in members}
        for i in order:
            member = str(self.rows[i]["member"])
            seen[member] += 1
            self.rows[i]["id"] = f"{member}-M{seen[member]}"
        self.rows = [self.rows[i] for i in order]
        nothing = np.zeros(len(self.bench.schedule.fasteners), bool)
        added = self.columns(nothing)
        purpose = np.array(["make-good"] * len(added), dtype=np.str_)
        return replace(added, purpose=purpose), tuple(self.instead[i] for i in order)


def _number(value: object) -> float:
    return float(value) if isinstance(value, (int, float)) else float("nan")
