"""Does what crosses each interface carry what must pass there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from girderply.bases.answers import Plane
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.rule_set import RuleSet
from girderply.strength.beside_bracket import Stand, splitting_checks
from girderply.strength.check_record import Check, Sweep
from girderply.strength.check_steps import inputs, resistance, steps
from girderply.strength.demand import Demand, demands
from girderply.strength.flow import NOTHING, ChordFlow, Tight
from girderply.strength.groups import Group, zone_of
from girderply.strength.in_force import Judge, grain_angle
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.strength.load_shares import LoadShares
from girderply.strength.receiving import receiving_checks
from girderply.strength.scenarios import Scenario, scenarios
from girderply.strength.sharing.ply_forces import PlyForces
from girderply.strength.shear import MemberShear
from girderply.strength.stack_columns import FastenerColumns, transfer_fasteners
from girderply.strength.zones import Zone, reach_of
from girderply.strength.zones import zones as zones_of
from girderply.wording import Later, said

__all__ = ["Checker", "check_transfer", "zone_of"]

_SAME = 1e-9  # part of a load: values that differ by less are one


def check_transfer(
    job: Job,
    girder: Girder,
    rules: RuleSet,
    fasteners: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    *,
    worked: bool = True,
) -> tuple[Check, ...]:
    """Every zone, interface and combination: what must pass against what crosses there.

    Only the job's kind of transfer fastener counts, only on the loaded chord, only inside the
    window of its load, each once (`flow`); a bracket's own bolts do not. For EN 1995-1-1 the
    splitting of the loaded chord (8.1.4) follows.

    Args:
        job: basis and the kind that carries.
        girder: members, plies, loads.
        rules: reach of the zones where the job gives none.
        fasteners: columns of all fasteners.
        nails: by spec.
        bolts: by spec.
        worked: False leaves subjects, inputs and steps empty.

    Returns:
        Checks with ids such as "L1-3.i1.PV", in the order of zones, combinations, interfaces; empty
        where nothing hangs on one face.

    Raises:
        CatalogueError: a timber without the figure that the standard needs.
        RangeError: a fastener outside the standard's validity.
    """
    return Checker(job, girder, rules).check(fasteners, nails, bolts, worked=worked)


class Checker:
    """The checks of one girder, again and again while its fasteners change.

    What rests on the girder alone (demands, splitting) is worked out once, and so is the
    resistance of each kind of fastener as long as the nails and bolts stay the same.
    """

    def __init__(self, job: Job, girder: Girder, rules: RuleSet) -> None:
        """Take a girder, its loads and its basis."""
        self.job, self.girder = job, girder
        self.asked = demands(job, girder, rules)
        self.zones = list({d.zone.id: d.zone for d in self.asked}.values())
        self.chords = {
            name: [z for z in self.zones if z.chord == name]
            for name in dict.fromkeys(z.chord for z in self.zones)
        }
        self.scenarios = {name: scenarios(z, self.asked) for name, z in self.chords.items()}
        self.rules = rules
        self.number = {load.id: i for i, load in enumerate(girder.loads)}
        self._judge: tuple[object, Judge] | None = None

    @cached_property
    def hung(self) -> tuple[Zone, ...]:
        """Zones of all loads: one that enters every ply passes nothing on, and can split them."""
        return zones_of(self.girder, reach_of(self.job, self.rules), every=True)

    @cached_property
    def cases(self) -> tuple[LoadCase, ...]:
        """Combinations of the whole girder."""
        return load_cases(self.job.basis, self.girder)

    @cached_property
    def shear(self) -> MemberShear:
        """Of the members of one ply, by equal shares."""
        return MemberShear.of(self.job, self.girder)

    def check(
        self,
        fasteners: FastenerColumns,
        nails: Mapping[str, Nail],
        bolts: Mapping[str, BoltChoice],
        *,
        shares: Sequence[LoadShares] = (),
        worked: bool = True,
        whole: bool = True,
    ) -> tuple[Check, ...]:
        """As `check_transfer`; `worked` False leaves subjects, inputs and steps empty.

        `whole` False: only what must pass between plies, nothing of splitting. `shares`: what the
        plies keep of every load in every state; of all states the hardest is told. Empty: equal
        shares.
        """
        judge = self._judge_of(nails, bolts)
        index = transfer_fasteners(fasteners, self.job.fastening.transfer_by)
        found: list[Check] = []
        flows = {
            name: ChordFlow(judge, fasteners, index, zones, grain_angle(self.girder.member(name)))
            for name, zones in self.chords.items()
        }
        tight = self._tightest(flows, shares)
        if shares and any(key not in tight for key in self._passing()):
            # springs pass nothing where nothing crosses: no check may go missing for that
            tight = self._tightest(flows, ()) | tight
        for asked in self.asked:
            for k in range(1, self.girder.plies):
                if (asked.id, k) not in tight:
                    continue
                t, served, demand = tight[asked.id, k]
                make = _check(judge, demand, k, t, served) if worked else _bare(demand, k, t)
                found.append(make)
        return (*found, *self.across(fasteners)) if whole else tuple(found)

    def _passing(self) -> Iterator[tuple[str, int]]:
        """Every demand and interface (1-based) where something must pass by equal shares."""
        for asked in self.asked:
            for k, S in enumerate(asked.S, start=1):
                if NOTHING * abs(asked.P) < S:
                    yield asked.id, k

    def _tightest(
        self, flows: Mapping[str, ChordFlow], shares: Sequence[LoadShares]
    ) -> dict[tuple[str, int], tuple[Tight, Served, Demand]]:
        """By demand and interface what is tight in the hardest scenario."""
        tight: dict[tuple[str, int], tuple[Tight, Served, Demand]] = {}
        for name, flow in flows.items():
            for scenario in self._shared(self.scenarios[name], shares):
                for (i, k), t in flow.scenario(scenario).items():
                    demand = scenario[i]
                    known = tight.get((demand.id, k)) if demand else None
                    if demand and (known is None or t.used > known[0].used):
                        tight[demand.id, k] = t, Served(flow, i), demand
        return tight

    def _shared(self, made: Sequence[Scenario], shares: Sequence[LoadShares]) -> Iterator[Scenario]:
        """What acts together, by equal shares or by every set of computed shares that is of it."""
        if not shares:
            yield from made
            return
        for scenario in made:
            cases = self._cases(scenario)
            mine = [s for s in shares if not s.cases or cases.intersection(s.cases)]
            # what fits no combination of the whole girder is taken by the shares of all of them
            mine = mine if cases else list(shares)
            for one in mine:
                yield tuple(d and one.of(d) for d in scenario)
            if not mine:
                yield scenario

    def _cases(self, scenario: Scenario) -> set[str]:
        """Combinations of the whole girder in which these loads are worth what they are here."""
        worth = {
            self.number[load.id]: value
            for demand in scenario
            if demand is not None
            for load, value in zip(demand.zone.loads, demand.values, strict=True)
        }
        return {
            case.id
            for case in self.cases
            if all(abs(case.values[i] - value) <= _SAME * abs(value) for i, value in worth.items())
        }

    def across(
        self, fasteners: FastenerColumns, computed: PlyForces | None = None
    ) -> tuple[Check, ...]:
        """Every ply beside what hangs on it: splitting, or shear at the connection.

        Args:
            fasteners: columns of all fasteners.
            computed: what the springs say of the plies' forces, where it is known.
        """
        index = transfer_fasteners(fasteners, self.job.fastening.transfer_by)
        shear = self.shear.with_computed(computed)
        stand = Stand(self.job, self.girder, shear, self.hung, fasteners, index)
        return (*splitting_checks(stand), *receiving_checks(stand))

    def _judge_of(self, nails: Mapping[str, Nail], bolts: Mapping[str, BoltChoice]) -> Judge:
        key = (dict(nails), dict(bolts))
        if self._judge is None or self._judge[0] != key:
            self._judge = (key, Judge.of(self.job, self.girder, nails, bolts))
        return self._judge[1]


@dataclass(frozen=True, slots=True)
class Served:
    """One zone of a chord, with the fasteners that may serve it."""

    flow: ChordFlow
    zone: int

    def groups(self, demand: Demand, k: int, tight: Tight) -> list[tuple[Group, Plane]]:
        """The fasteners of the tight window by class, with what one is worth at an interface."""
        flow = self.flow
        if tight.nearest:
            own = flow.groups[self.zone]
            boxed = flow.judge.boxed([g.crossing for g in own])
            planes = [flow.judge.planes(g.crossing, flow.alpha, demand, boxed) for g in own]
            return [(g, p[k]) for g, p in zip(own, planes, strict=True) if k in p]
        found = []
        for c in range(len(flow.classes)):
            plane = flow.planes(c, demand).get(k)
            group = flow.group_at(c, tight.low, tight.high)
            if plane is not None and group is not None:
                found.append((group, plane))
        return found


def check_id(demand: Demand, k: int) -> str:
    """Id of the check of an interface (1-based) against a demand, such as "L1-3.i1.PV"."""
    return f"{demand.zone.id}.i{k}{demand.id.removeprefix(demand.zone.id)}"


def _bare(demand: Demand, k: int, tight: Tight) -> Check:
    zone, name, S = demand.zone.id, check_id(demand, k), demand.S[k - 1]
    return Check(
        name, "", S, resistance(S, tight), "N", "", about=zone, interface=k,
        window=(tight.low, tight.high),
    )  # fmt: skip


def _check(judge: Judge, demand: Demand, k: int, tight: Tight, served: Served) -> Check:
    zone, S, show = demand.zone, demand.S[k - 1], judge.show
    there = served.groups(demand, k, tight)
    main = max(there, key=lambda row: row[1].value * row[0].count.number, default=None)
    return Check(
        id=check_id(demand, k),
        subject=said(
            "check.transfer",
            zone=zone.id,
            chord=zone.chord,
            start=show.span(tight.low),
            end=show.span(tight.high),
            interface=k,
            combination=demand.text,
        ),
        demand=S,
        resistance=resistance(S, tight),
        unit="N",
        clause=main[1].clause if main else "",
        mode=main[1].mode if main else said("check.no_fastener"),
        inputs=inputs(demand, main, tight),
        steps=Later(lambda: steps(judge, demand, k, there, tight)),
        stack=tuple(plane.stack for _, plane in there),
        about=zone.id,
        interface=k,
        window=(tight.low, tight.high),
        sweep=Sweep(
            zone.chord, tight.loads, tight.needed, tight.there, tight.counted,
            tuple(group.crossing for group, _ in there),
        ),
    )  # fmt: skip
