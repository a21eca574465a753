"""The one result object: a girder, its fasteners, its stages, its checks and its findings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding
from girderply.fasteners.runs import LeftOut, Run, Single
from girderply.jobfile.job import Job
from girderply.jobfile.logo import Logo
from girderply.layout.records import (
    BracketMark,
    Fasteners,
    PatternNote,
    Stage,
)
from girderply.model.girder import Girder
from girderply.rules.rule_set import RuleSet
from girderply.schedule.assumed import Assumption
from girderply.schedule.sums import Sums
from girderply.strength.check_record import Check
from girderply.strength.load_shares import LoadShares
from girderply.strength.sharing.member_forces import MemberForces, Reaction
from girderply.strength.sharing.shares import Shares
from girderply.strength.twist import Twist
from girderply.wording import Words

__all__ = [
    "BracketMark",
    "Check",
    "Fasteners",
    "LeftOut",
    "Masses",
    "OrderLine",
    "PatternNote",
    "Run",
    "Schedule",
    "Single",
    "Stage",
    "Strengthening",
]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of the order list for one girder: what, how many needed, how many to order."""

    kind: str
    spec: str
    needed: int
    ordered: int
    mass: float  # kg of the ordered quantity; 0 where unknown
    note: Words = ""
    finish: Words = ""  # in words, in the note too


@dataclass(frozen=True, slots=True)
class Masses:
    """Masses in kg: timber of one ply, timber of all, fasteners of one girder."""

    ply: float
    plies: float
    fasteners: float

    @property
    def total(self) -> float:
        """The whole girder, kg."""
        return self.plies + self.fasteners


@dataclass(frozen=True, slots=True)
class Strengthening:
    """Where a load needs more than the pattern.

    Attributes:
        load: zone id (ids of its loads). member: chord. start, end: stations of the zone, mm.
        kind: nail or bolt. stage: number of the stage that they go in.
        interfaces: that the stage fastens. demand: the most that one of them must pass, N.
        centres: of nails in the zone, mm; 0 for bolts. usual: of the pattern elsewhere, mm; 0 where
            there is none. count: bolts set beside the load; 0 for nails.
    """

    load: Words
    member: str
    start: float
    end: float
    kind: str
    stage: int
    interfaces: tuple[int, ...]
    centres: float
    usual: float
    demand: float
    count: int = 0


@dataclass(frozen=True, slots=True)
class Schedule:
    """Everything that is decided about one girder. All documents are made from this alone."""

    job: Job
    girder: Girder
    rules: RuleSet
    fasteners: Fasteners
    stages: tuple[Stage, ...]
    patterns: tuple[PatternNote, ...]
    brackets: tuple[BracketMark, ...]
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]  # by spec
    order: tuple[OrderLine, ...]
    masses: Masses
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]
    content_hash: str = ""
    strengthened: tuple[Strengthening, ...] = ()
    shares: Shares | None = None
    load_shares: tuple[LoadShares, ...] = ()  # where the transfer is designed by them
    twist: Twist | None = None
    forces: tuple[MemberForces, ...] = ()
    reactions: tuple[Reaction, ...] = ()
    seats: tuple[Check, ...] = ()
    assumed: tuple[Assumption, ...] = ()
    sums: Sums | None = None
    runs: tuple[Run, ...] = ()
    logo: Logo | None = None  # of the firm that owns the documents

    @property
    def unconfirmed(self) -> tuple[Assumption, ...]:
        """What was assumed and nobody has confirmed: every sheet is stamped while there is any."""
        return tuple(one for one in self.assumed if not one.confirmed)

    @property
    def failed(self) -> bool:
        """True when a check failed or a finding is an error: not for assembly."""
        return any(not c.ok for c in self.checks) or any(
            f.severity == "error" for f in self.findings
        )

    @property
    def driven(self) -> FastenerKind:
        """What the plies are fastened with besides bolts: nail or screw."""
        screws = any(n.kind is FastenerKind.SCREW for n in self.nails.values())
        return FastenerKind.SCREW if screws else FastenerKind.NAIL

    @property
    def carriers(self) -> FastenerKind:
        """What carries load from ply to ply: nail, screw or bolt."""
        by = self.job.fastening.transfer_by
        return by if by == FastenerKind.BOLT else self.driven

    @property
    def plates_assumed(self) -> bool:
        """True when any nail plate was estimated by the tool."""
        return any(p.assumed for p in self.girder.plates)
