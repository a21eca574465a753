"""From a schedule to how its plies share: the one call that commands and sheets make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, Protocol

import numpy as np

from girderply.bases.combining import GIVEN, PERMANENT, VARIABLE, Combination, in_use
from girderply.bases.registry import basis_of
from girderply.bases.spec import BasisSpec
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.timbers_known import timber
from girderply.errors import Finding, GirderplyError, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder, HungLoad
from girderply.rules.rule_set import RuleSet
from girderply.strength.demand import combination_of, combinations_of, entering
from girderply.strength.sharing.mesh import Floats, FrameError
from girderply.strength.sharing.model import Model, make_model
from girderply.strength.sharing.newton import NotSettledError
from girderply.strength.sharing.plastic import Plastic, plastic
from girderply.strength.sharing.relief import relief
from girderply.strength.sharing.resistance import resistances
from girderply.strength.sharing.results import Sharing
from girderply.strength.sharing.share_findings import MARGIN, findings_of
from girderply.strength.sharing.solved import solve
from girderply.strength.sharing.springs import BoltSlip, Laws, State, densities, laws_of
from girderply.strength.stack_columns import FastenerColumns, Names
from girderply.units.show import Show
from girderply.wording import said

Faces = Literal["both", "front", "back"]


class Columns(FastenerColumns, Protocol):
    """Fasteners with the ids that people say."""

    @property
    def id(self) -> Names:
        """Such as BC1-N12."""


class Designed(Protocol):
    """What is read of a schedule."""

    @property
    def job(self) -> Job:
        """Basis, units."""

    @property
    def girder(self) -> Girder:
        """Geometry, loads."""

    @property
    def rules(self) -> RuleSet:
        """Reach of the zones."""

    @property
    def fasteners(self) -> Columns:
        """All of them."""

    @property
    def nails(self) -> Mapping[str, Nail]:
        """By spec."""

    @property
    def bolts(self) -> Mapping[str, BoltChoice]:
        """By spec."""


@dataclass(frozen=True, slots=True)
class SharingReport:
    """How the plies of one girder share, and what follows.

    Attributes:
        state: ultimate or serviceability. bolt_slip: what was thought of bolts.
        combination: of the loads; serviceability takes them without factors.
        E: of the timber, N/mm2; NaN where it is not known.
        sharing: the spring model at load factor 1, or None where it cannot be computed: the
            findings say why.
        strength: (F, n - 1) design resistances, N; None where the standard gives none here.
        plastic: load raised until the transfer yields; None at serviceability, without
            strengths, or where it does not come into balance.
        equal_share: load factor of the equal-share design, that of its checks of the transfer in
            this combination; NaN without strengths.
        relief: (F,) what the hardest loaded ply is spared when a fastener is doubled, N; of the
            ply and bearing that carry most beyond their share.
        findings: in words.
    """

    state: State
    bolt_slip: BoltSlip
    combination: Combination
    E: float
    sharing: Sharing | None
    strength: Floats | None
    plastic: Plastic | None
    equal_share: float
    relief: Floats
    findings: tuple[Finding, ...]


def sharing_of(
    designed: Designed,
    *,
    state: State = "ultimate",
    bolt_slip: BoltSlip = "tight",
    faces: Faces = "both",
    raise_load: bool = True,
    margin: float = MARGIN,
) -> SharingReport:
    """Put the equal share to the test for one girder.

    Args:
        designed: a schedule, or what looks like one.
        state: "ultimate" takes design loads and K_u, "serviceability" loads without factors and
            K_ser (a load that is given as a design value only is taken as it is in both).
        bolt_slip: "tight", "gap" or "idle", see `laws_of`.
        faces: which faces are loaded; loads that enter all plies alike stay in any case.
        raise_load: also raise the load until the transfer yields (ultimate only).
        margin: part of its design share that a ply may carry more before a finding says so.

    Returns:
        The report; what cannot be computed is a finding in it.
    """
    combination = governing(designed, state)
    try:
        work = _Work(designed, combination, state, bolt_slip, faces)
        return work.report(raise_load, margin)
    except (FrameError, NotSettledError) as fault:
        return _without(combination, state, bolt_slip, fault)


def governing(designed: Designed, state: State) -> Combination:
    """The combination with the largest sum of forces, the simplest of equal ones.

    Args:
        designed: job and loads.
        state: serviceability takes what presses down (permanent, variable and given design values,
            or load cases) without factors.
    """
    basis, loads = designed.job.basis, designed.girder.loads
    if state == "serviceability":
        return in_use(_pressing(basis, loads), basis.variable_duration).of(loads)
    made = combinations_of(basis, loads) or (combination_of(basis, "P"),)
    return max(made, key=lambda c: _weight(c, loads)).of(loads)


def _pressing(basis: BasisSpec, loads: tuple[HungLoad, ...]) -> tuple[str, ...]:
    """Parts or load cases that count in use: permanent ones, and others that press down."""
    if not basis.cases:
        return (PERMANENT, VARIABLE, GIVEN)
    whole = {case.id: sum(load.part(case.id) for load in loads) for case in basis.cases}
    return tuple(case.id for case in basis.cases if case.permanent or whole[case.id] > 0)


def _weight(combination: Combination, loads: tuple[HungLoad, ...]) -> tuple[float, int]:
    """Sum of the forces, and how simple the combination is."""
    total = sum(abs(combination.value(load)) for load in loads)
    return round(total, 6), -len(combination.terms)


class _Work:
    """One girder in one state, step by step."""

    def __init__(
        self,
        designed: Designed,
        combination: Combination,
        state: State,
        bolt_slip: BoltSlip,
        faces: Faces,
    ) -> None:
        self.designed, self.combination = designed, combination
        self.state, self.bolt_slip = state, bolt_slip
        self.girder, self.columns = designed.girder, designed.fasteners
        n = self.girder.plies
        self.away = away = {"both": "", "front": "back", "back": "front"}[faces]
        values = [
            entering(v, 0.0 if v.face == away else combination.value(v), n)
            for v in self.girder.loads
        ]
        self.loads = np.array(values, float).reshape(-1, n)

    def report(self, raise_load: bool, margin: float) -> SharingReport:
        wood = timber(self.girder.timber)
        if wood.E_mean is None:
            text = said("sharing.no_stiffness", timber=wood.key)
            raise FrameError(Finding("sharing-no-stiffness", Severity.NOTE, "girder.timber", text))
        strength, notes = self._strength()
        laws = self._laws(strength)
        model = make_model(self.girder, self.columns, wood.E_mean)
        sharing = solve(model, laws, self.loads)
        path = self._raised(model, laws, strength) if raise_load else None
        found = findings_of(
            sharing, self.girder, self.columns, Show(self.designed.job.info.units),
            strength=strength, plastic=path, margin=margin,
        )  # fmt: skip
        return SharingReport(
            self.state, self.bolt_slip, self.combination, wood.E_mean, sharing, strength, path,
            self._equal_share(strength), self._relief(model, laws, sharing), (*found, *notes),
        )  # fmt: skip

    def _raised(self, model: Model, laws: Laws, strength: Floats | None) -> Plastic | None:
        """The second step; without it the first still holds."""
        if strength is None or self.state != "ultimate":
            return None
        try:
            return plastic(model, laws, self.loads, strength)
        except NotSettledError:
            return None

    def _strength(self) -> tuple[Floats | None, tuple[Finding, ...]]:
        """Resistances at the ultimate state; a note where the standard gives none."""
        if self.state != "ultimate":
            return None, ()
        d = self.designed
        try:
            found = resistances(
                d.job, self.girder, self.columns, d.nails, d.bolts, self.combination
            )
        except GirderplyError as fault:
            text = said("sharing.no_strength", fault=str(fault))
            return None, (Finding("sharing-no-strength", Severity.NOTE, "fasteners", text),)
        return found, ()

    def _laws(self, strength: Floats | None) -> Laws:
        """Stiffness; a point too short to count at an interface is no spring there."""
        d = self.designed
        rho_mean = densities(self.girder, self.columns)
        laws = laws_of(
            self.columns, d.nails, d.bolts, rho_mean, self.state, self.bolt_slip,
            by=basis_of(d.job.basis),
        )  # fmt: skip
        if strength is None:
            return laws
        return Laws(np.where(strength > 0, laws.modulus[:, None], 0.0), laws.gap)

    def _equal_share(self, strength: Floats | None) -> float:
        """Load factor of the equal-share design: of its own checks, none other."""
        if strength is None:
            return float("nan")
        # the checks ask the frames of this package for the shear beside a bracket
        from girderply.strength.checks import check_transfer  # noqa: PLC0415

        d = self.designed
        loads = tuple(v for v in self.girder.loads if v.face != self.away)
        checks = check_transfer(
            d.job, replace(self.girder, loads=loads), d.rules, self.columns, d.nails, d.bolts,
            worked=False,
        )  # fmt: skip
        mine = [c for c in checks if c.interface and c.id.endswith(f".{self.combination.code}")]
        most = max((c.utilisation for c in mine), default=0.0)
        return 1.0 / most if most > 0.0 else float("inf")

    def _relief(self, model: Model, laws: Laws, sharing: Sharing) -> Floats:
        excess = np.nan_to_num(sharing.reactions - sharing.reactions.mean(axis=0))
        ply, bearing = np.unravel_index(int(np.argmax(np.round(excess, 6))), excess.shape)
        return relief(model, laws, self.loads, int(ply), int(bearing))


def _without(
    combination: Combination, state: State, bolt_slip: BoltSlip, fault: FrameError | NotSettledError
) -> SharingReport:
    """A report that says why there is no answer."""
    if isinstance(fault, FrameError):
        finding = fault.finding
    else:
        text = said("sharing.unsettled")
        finding = Finding("sharing-unsettled", Severity.WARNING, "fasteners", text)
    nan = float("nan")
    return SharingReport(
        state, bolt_slip, combination, nan, None, None, None, nan, np.empty(0), (finding,)
    )
