"""A nailing rule set: how plies are fastened when nobody has calculated anything yet.

Lengths in mm. Multiples of the nail's or bolt's diameter are named `..._d`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Drive = Literal["front", "back", "alternate"]


@dataclass(frozen=True, slots=True)
class RowRule:
    """Rows of nails for members up to a depth.

    Attributes:
        depth_up_to: applies to members no deeper than this, mm (inf for the last).
        rows: number of rows.
        pitch: largest distance along the grain between nails of one row, mm.
        stagger: rows offset by half a pitch (a zigzag when there are two).
        gauge: wished distance between rows, mm; None: one third of the depth (rows > 1).
    """

    depth_up_to: float
    rows: int
    pitch: float
    stagger: bool
    gauge: float | None = None


@dataclass(frozen=True, slots=True)
class NailLimits:
    """Least and greatest distances of nails, multiples of d unless in mm; None: no such limit.

    These are the rule set's own; the larger of these and the standard's minimum holds.
    """

    spacing_min_d: float | None = None
    spacing_max_thickness: float | None = None  # multiples of the ply thickness
    gauge_min_d: float | None = None
    gauge_max_d: float | None = None
    edge_min_d: float | None = None
    edge_min: float | None = None
    edge_max_d: float | None = None
    end_min_d: float | None = None
    end_min: float | None = None
    end_max_d: float | None = None
    two_rows_above_depth_per_thickness: float | None = None
    point_share_of_last_ply: float | None = None


@dataclass(frozen=True, slots=True)
class StageRule:
    """One nailing stage of an assembly: which plies lie together and what is driven.

    Attributes:
        add: plies laid on in this stage; negative counts from the back (-1 is ply n).
        drive: face the nails go in from; "alternate" drives every second nail of the pattern
            here from the front, the others in a following stage from the back after turning over.
        nail: catalogue key, or None for the rule's nail.
        fastens: interfaces whose pattern this stage is (1-based; negative from the back).
    """

    add: tuple[int, ...]
    drive: Drive
    fastens: tuple[int, ...]
    nail: str | None = None


@dataclass(frozen=True, slots=True)
class PlyRule:
    """How a girder of `plies` plies is put together."""

    plies: int
    nail: str | None
    stages: tuple[StageRule, ...]
    joint_bolts: bool
    through_bolt_rows: int = 0  # rows of through bolts along chords (0: joint bolts only)
    through_bolt_pitch: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class BoltRule:
    """Joint bolts: which, where, and how far from the joint's plate they may be.

    Attributes:
        bolt: catalogue key; washer: catalogue key; hole: drilled diameter, mm.
        reach: farthest from the plate's edge to the bolt, mm.
        per_joint: bolts beside each joint.
        members: "chord" puts them on chords first; "any" on whichever has room nearest.
        mid_compression: also one at mid-length of members in compression.
        end_min_d, edge_min_d, spacing_min_d, gauge_min_d: rule set's own least distances; None:
            standard's.
        end_max_d, edge_max_d, gauge_max_d: greatest distances; None: no such limit.
    """

    bolt: str
    washer: str
    hole: float
    reach: float
    per_joint: int = 1
    members: Literal["chord", "any"] = "chord"
    mid_compression: bool = False
    end_min_d: float | None = None
    edge_min_d: float | None = None
    edge_max_d: float | None = None
    spacing_min_d: float | None = None
    spacing_max_thickness: float | None = None
    end_max_d: float | None = None
    gauge_min_d: float | None = None
    gauge_max_d: float | None = None


@dataclass(frozen=True, slots=True)
class SettingOut:
    """How a layout is told to the person with the tape; common practice, no source.

    Attributes:
        ladder: round steps that a run may have, mm, falling.
        first_step: first marks of runs are rounded to this, mm.
        beside: a nail beside a plate stands this far off its edge, mm.
        swallowed: marks that a plate or bracket must cover before it gets a nail beside each edge.
        count_over: length that the count of the rule is due over: what is free, or the whole.
        gap_most: no stretch of a member may be longer without a nail, mm; None: no such rule.
        point_clearance: a point keeps so far from a head through the stack, mm: the tolerance of
            the nail's length and a head that is sunk.
    """

    ladder: tuple[float, ...]
    first_step: float
    beside: float
    swallowed: int = 2
    count_over: Literal["free", "whole"] = "free"
    gap_most: float | None = None
    point_clearance: float = 5.0


METRIC = SettingOut((600.0, 300.0, 150.0, 120.0, 100.0, 80.0, 75.0, 60.0, 50.0), 25.0, 25.0)
IMPERIAL = SettingOut(tuple(25.4 * x for x in (18, 12, 9, 8, 6, 4.5, 4, 3, 2)), 25.4, 25.4)


@dataclass(frozen=True, slots=True)
class Minutes:
    """What the work takes, minutes each; common practice, no source: a yard times its own.

    Attributes:
        nail: driven. number: read off a sheet and found on the tape. step: another step set on the
            stick. clench: a point bent over. turn: the stack turned over. bolt: drilled and set.
    """

    nail: float = 0.20
    number: float = 0.30
    step: float = 0.50
    clench: float = 0.10
    turn: float = 10.0
    bolt: float = 3.0


@dataclass(frozen=True, slots=True)
class RuleSet:
    """One rule set, with its source.

    Attributes:
        name: how a job names it; title: for people; source, mark: provenance of the figures.
        plies: fewest and most plies it speaks of; thickness: of the plies, mm (min, max).
        chord, web: rows by member depth, rising `depth_up_to`.
        ply_rules: by number of plies.
        plate_clearance, washer_clearance, bracket_clearance: mm.
        clench_protrusion: (least, most) protrusion that is clenched, mm; None: no clenching.
        station_step: stations are rounded to this, mm.
        zone_reach: how far a hung load's zone reaches either side, mm.
        tolerance: how far a fastener may be off the drawing, mm (tick-off sheet).
        alignment_tolerance: how far the plies may be out of line with each other, mm.
        setting_out: steps and firsts of runs. minutes: what the work takes.
    """

    name: str
    title: str
    source: str
    mark: str
    plies: tuple[int, int]
    thickness: tuple[float, float]
    chord: tuple[RowRule, ...]
    web: tuple[RowRule, ...]
    limits: NailLimits
    ply_rules: tuple[PlyRule, ...]
    bolts: BoltRule | None
    plate_clearance: float = 10.0
    washer_clearance: float = 10.0
    bracket_clearance: float = 10.0
    clench_protrusion: tuple[float, float] | None = None
    station_step: float = 5.0
    zone_reach: float = 600.0
    tolerance: float = 10.0
    alignment_tolerance: float = 5.0
    nail_surface: str | None = None
    notes: tuple[str, ...] = ()
    imperial: bool = False
    setting_out: SettingOut = METRIC
    minutes: Minutes = Minutes()
