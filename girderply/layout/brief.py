"""What the layout works from, in one place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from girderply.bases.protocol import Basis
from girderply.bases.registry import basis_of
from girderply.catalogue.catalogue_types import Bolt, Nail, Washer
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.job import Job
from girderply.layout.spread import Tape
from girderply.model.girder import Girder
from girderply.rules.rule_set import PlyRule, RuleSet
from girderply.units.show import Show


@dataclass(frozen=True)
class Brief:
    """One girder and the rules it is fastened by.

    Attributes:
        nail: the nail of the job or the rule set; None where no stage is nailed.
        ply_rule: how this many plies are assembled.
        bolt, washer, hole: joint bolts, or None where the rule set has none.
        rho_k: characteristic density of the timber, kg/m3 (for spacing tables).
    """

    job: Job
    girder: Girder
    rules: RuleSet
    ply_rule: PlyRule
    nail: Nail | None
    bolt: Bolt | None
    washer: Washer | None
    hole: float
    rho_k: float

    @cached_property
    def show(self) -> Show:
        """Formats numbers in the job's unit system."""
        return Show(self.job.info.units)

    def tape(self) -> Tape:
        """Marks of the tape from a hook end."""
        return Tape(self.rules.station_step)

    @property
    def driven(self) -> FastenerKind:
        """What the pattern is of: nail or screw."""
        return self.nail.kind if self.nail else FastenerKind.NAIL

    @property
    def basis(self) -> Basis:
        """What judges."""
        return basis_of(self.job.basis)
