"""What the layout works from, in one place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from girderply.catalogue.types import Bolt, Nail, Washer
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.types import PlyRule, RuleSet
from girderply.units.show import Show


@dataclass(frozen=True)
class Brief:
    """One girder and the rules it is fastened by.

    Attributes:
        nail: the nail of the job or the rule set; None where no stage is nailed.
        ply_rule: how this many plies are assembled.
        bolt, washer, hole: joint bolts, or None where the rule set has none.
        rho_k: characteristic density of the timber, kg/m3 (for spacing tables).
        standard: the job's basis.
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

    @property
    def standard(self) -> str:
        """Name of the standard that judges."""
        return self.job.basis.standard
