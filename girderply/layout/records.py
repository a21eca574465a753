"""What the layout decides: fasteners as columns, stages, patterns and bracket marks.

Fasteners are columns (numpy arrays of one length), one row per fastener.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.job import Face
from girderply.wording import Words

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Names = NDArray[np.str_]


@dataclass(frozen=True, slots=True)
class Fasteners:
    """Columns of n fasteners, in the order they are numbered (member, kind, station).

    Attributes:
        id: such as BC1-N12 or TC1-B3; a person can say it aloud.
        kind: nail, bolt, screw. spec: catalogue key or bolt with its length.
        member, joint: ids; joint is empty unless it is a joint bolt.
        x, y: elevation, mm. station, offset: along and across the member from its hook end, mm.
        row: 1-based, row 1 is the lower one, of an upright the inner one. stage: number of the
            stage in which it goes in.
        face: front or back, where its head is driven from or its bolt head sits.
        from_ply, to_ply: head side and point side, 1-based, inclusive.
        protrusion: past the last ply of the stack at that stage, mm (0: stops inside).
        point_depth: how deep its point is in `to_ply`, mm.
        clench: bent over across the grain.
        drilled: hole diameter, mm; 0 for none.
        purpose: assembly, transfer or make-good. load: id of the load it serves, or empty.
        run: id of the run it belongs to; empty for what was added after an inspection.
        bend: which way its point is bent: 1 to the side of positive offsets, -1 to that of
            negative ones; 0 where it is not clenched.
    """

    id: Names
    kind: Names
    spec: Names
    member: Names
    joint: Names
    x: Floats
    y: Floats
    station: Floats
    offset: Floats
    row: Ints
    stage: Ints
    face: Names
    from_ply: Ints
    to_ply: Ints
    protrusion: Floats
    point_depth: Floats
    clench: Bools
    drilled: Floats
    purpose: Names
    load: Names
    run: Names = field(default_factory=lambda: np.zeros(0, np.str_))
    bend: Ints = field(default_factory=lambda: np.zeros(0, np.int64))

    def __post_init__(self) -> None:
        """Without runs, every fastener has an empty one; without bends, none is bent."""
        if len(self.bend) != len(self.id):
            object.__setattr__(self, "bend", np.zeros(len(self.id), np.int64))
        if len(self.run) != len(self.id):
            object.__setattr__(self, "run", np.full(len(self.id), "", np.str_))

    def __len__(self) -> int:
        return len(self.id)

    def select(self, mask: Bools) -> Fasteners:
        """The rows where `mask` (n,) is true, in the same order."""
        return Fasteners(**{f.name: getattr(self, f.name)[mask] for f in fields(self)})

    def records(self) -> Iterator[dict[str, object]]:
        """Rows as plain dictionaries, for templates and files."""
        columns = {f.name: getattr(self, f.name).tolist() for f in fields(self)}
        for i in range(len(self)):
            yield {name: column[i] for name, column in columns.items()}

    @property
    def driven(self) -> Bools:
        """(n,) nails and screws: whatever is driven in a pattern, and is no bolt."""
        return np.asarray(self.kind != FastenerKind.BOLT, bool)

    @property
    def bolted(self) -> Bools:
        """(n,) bolts."""
        return np.asarray(self.kind == FastenerKind.BOLT, bool)

    def crosses(self, interface: int) -> Bools:
        """(n,) whether each one crosses this interface (1-based)."""
        low = np.minimum(self.from_ply, self.to_ply)
        high = np.maximum(self.from_ply, self.to_ply)
        return np.asarray((low <= interface) & (interface < high), bool)


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of the assembly with one drawing and one count.

    Attributes:
        number: 1-based. title: short. action: lines for the yard hand, in order.
        plies: plies in the stack during this stage. face_up: the face people look at;
            a stage with the back face up is drawn mirrored left to right.
        turn_over_before: the stack is turned over before this stage.
        hold_point: what must be inspected before going on, or empty.
        kinds: kinds of fastener that go in here (may be empty: turning, clenching).
        upright: the plies stand; `face_up` is the face that people stand before.
    """

    number: int
    title: Words
    action: tuple[Words, ...]
    plies: tuple[int, ...]
    face_up: Face
    turn_over_before: bool = False
    hold_point: Words = ""
    kinds: tuple[str, ...] = ()
    upright: bool = False


@dataclass(frozen=True, slots=True)
class PatternNote:
    """What the nailing of one member is, for people.

    Attributes:
        member: id. rows: count. pitch: of one row, mm. centres: zigzag centres, mm, or the
            pitch when not staggered. gauge: between rows, mm (0 for one row). slant: straight
            distance from nail to nail of a zigzag, mm (0 when not a zigzag).
        source: rule set's name or "truss designer".
        required: nails that length / pitch asks for, per interface pattern. placed: least
            number of nails placed for one interface.
        due_over: length that `required` is counted on, mm: of each row. due_by: "free" of plates,
            brackets, washers, edges and ends, or the "whole" member.
        row_offsets: of the rows from the centreline, mm, row 1 first: the lower one as the girder
            stands, of an upright the inner one.
        least: distances that it was laid out by, mm: along the grain, across it, to an end, to an
            edge; empty where nobody said.
    """

    member: str
    rows: int
    pitch: float
    centres: float
    gauge: float
    slant: float
    source: str
    required: int
    placed: int
    row_offsets: tuple[float, ...] = ()
    due_over: float = 0.0
    due_by: str = "free"
    least: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class BracketMark:
    """Set-out of one bracket: which face and chord, station from the hook end, flush line.

    `assumed`: nobody has given a size; width and height are those of the room that is kept clear.
    """

    load: str
    what: str
    chord: str
    face: str
    station: float
    flush_edge: Words  # which edge of the chord the bracket's seat is flush with
    flush_offset: float  # of the bracket's lower edge from the chord's centreline, mm
    width: float
    height: float
    on_plate: str  # joint id of a nail plate its nails fall on, or empty
    note: Words = ""
    assumed: bool = False
