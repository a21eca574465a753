"""Does what crosses each interface carry what must pass there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite

from girderply.bases.answers import Plane
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.rule_set import RuleSet
from girderply.strength.beside_bracket import Stand, splitting_checks
from girderply.strength.check_record import Check, Sweep
from girderply.strength.demand import Demand, demands
from girderply.strength.flow import NOTHING, ChordFlow, Tight
from girderply.strength.groups import Group, zone_of
from girderply.strength.in_force import Judge, grain_angle, plain
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.strength.load_shares import LoadShares, kept_before
from girderply.strength.receiving import receiving_checks
from girderply.strength.sharing.ply_forces import PlyForces
from girderply.strength.shear import MemberShear
from girderply.strength.stack_columns import FastenerColumns, transfer_fasteners
from girderply.strength.zones import Zone, reach_of
from girderply.strength.zones import zones as zones_of
from girderply.units.show import Show
from girderply.wording import Later, Said, Words, figures, numeral, said
from girderply.wording.words import kind_words, spec_words

__all__ = ["Checker", "check_transfer", "zone_of"]

Scenario = tuple[Demand | None, ...]
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


def _resistance(S: float, tight: Tight) -> float:
    """What the load may count on: its own part of what stands in the tight window, N."""
    return S / tight.used if isfinite(tight.used) and tight.used > 0.0 else 0.0


def _bare(demand: Demand, k: int, tight: Tight) -> Check:
    zone, name, S = demand.zone.id, check_id(demand, k), demand.S[k - 1]
    return Check(
        name, "", S, _resistance(S, tight), "N", "", about=zone, interface=k,
        window=(tight.low, tight.high),
    )  # fmt: skip


def _check(judge: Judge, demand: Demand, k: int, tight: Tight, served: Served) -> Check:
    zone, S, show = demand.zone, demand.S[k - 1], judge.show
    there = served.groups(demand, k, tight)
    resistance = _resistance(S, tight)
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
        resistance=resistance,
        unit="N",
        clause=main[1].clause if main else "",
        mode=main[1].mode if main else said("check.no_fastener"),
        inputs=_inputs(demand, main, tight),
        steps=Later(lambda: _steps(judge, demand, k, there, tight)),
        stack=tuple(plane.stack for _, plane in there),
        about=zone.id,
        interface=k,
        window=(tight.low, tight.high),
        sweep=Sweep(
            zone.chord, tight.loads, tight.needed, tight.there, tight.counted,
            tuple(group.crossing for group, _ in there),
        ),
    )  # fmt: skip


def _steps(
    judge: Judge, demand: Demand, k: int, there: list[tuple[Group, Plane]], tight: Tight
) -> list[Words]:
    """The check worked out: what must pass, what one fastener carries, what stands there."""
    steps: list[Words] = [_demand_step(judge.show, demand, k)]
    for group, plane in there:
        steps += [_fastener_step(judge, group), *plane.steps]
        steps += [group.count.step] if group.count.step else []
    return steps + _flow_steps(judge.show, demand, k, there, tight)


def _flow_steps(
    show: Show, demand: Demand, k: int, there: list[tuple[Group, Plane]], tight: Tight
) -> list[Said]:
    """What stands in the tight window, and what part of it the load may count on."""
    total = sum(plane.value * group.count.number for group, plane in there)
    steps = [_sum_step(show, k, there, total)]
    resistance = _resistance(demand.S[k - 1], tight)
    if not there or abs(total - resistance) <= 1e-6 * max(total, 1.0):
        return steps
    unit = said("worked.fasteners") if tight.counted else "lbf" if show.imperial else "N"

    def size(value: float) -> str:
        return f"{value:.2f}" if tight.counted else plain(show, value)

    window = {"start": show.span(tight.low), "end": show.span(tight.high)}
    used = numeral(100 * tight.used, ".1f")
    if tight.nearest:
        own = numeral(100 * tight.own_needed / tight.own_there, ".1f")
        steps.append(said("worked.nearest", own=own, used=used, **window))
    else:
        steps.append(
            said(
                "worked.own_window", start=show.span(demand.zone.low),
                end=show.span(demand.zone.high), needed=figures(size(tight.own_needed)),
                there=figures(size(tight.own_there)), unit=unit,
            )
        )  # fmt: skip
        steps.append(
            said(
                "worked.tight_window", loads=_names(tight.loads), unit=unit, used=used,
                needed=figures(size(tight.needed)), there=figures(size(tight.there)), **window,
            )
        )  # fmt: skip
    steps.append(
        said(
            "worked.own_part", interface=k, shear=plain(show, demand.S[k - 1]),
            used=used, total=plain(show, resistance),
            unit="lbf" if show.imperial else "N",
        )
    )  # fmt: skip
    return steps


def _names(loads: tuple[str, ...]) -> Words:
    """All of them, or the first, the last and how many."""
    if len(loads) <= 4:
        return ", ".join(loads)
    return said("worked.from_to", first=loads[0], last=loads[-1], count=len(loads))


def _demand_step(show: Show, demand: Demand, k: int) -> Said:
    n = len(demand.entering)
    into = " + ".join(plain(show, v) for v in demand.entering[:k])
    unit = "lbf" if show.imperial else "N"
    if demand.carried:
        return said(
            "worked.demand_computed", n=k, interface=k, into=into,
            shear=plain(show, demand.S[k - 1]), kept=plain(show, kept_before(demand, k)),
            load=plain(show, demand.P), unit=unit, combination=demand.combination.text,
            state=demand.shared,
        )  # fmt: skip
    return said(
        "worked.demand", interface=k, into=into, plies=n, load=plain(show, demand.P),
        shear=plain(show, demand.S[k - 1]), unit=unit, combination=demand.combination.text,
    )  # fmt: skip


def _fastener_step(judge: Judge, group: Group) -> Said:
    c, n, show = group.crossing, len(group.placed), judge.show
    what: dict[str, object] = {
        "count": n,
        "kind": kind_words(c.kind, n),
        "spec": spec_words(c.spec),
        "first": c.from_ply,
        "last": c.to_ply,
    }
    if c.kind == FastenerKind.BOLT:
        return said("worked.bolts", **what)
    depth = show.small(c.point_depth)
    if len(judge.counted(c)) < len(c.interfaces):
        least = show.small(judge.standard.least_point(c))
        return said("worked.nails_short", depth=depth, least=least, **what)
    return said("worked.nails", depth=depth, **what)


def _sum_step(show: Show, k: int, there: list[tuple[Group, Plane]], total: float) -> Said:
    terms = " + ".join(
        f"{group.count.number:.2f} x {plain(show, plane.value)}" for group, plane in there
    )
    unit = "lbf" if show.imperial else "N"
    added = figures(terms) if terms else said("worked.nothing")
    total_ = plain(show, total)
    return said("worked.sum", interface=k, terms=added, total=total_, unit=unit)


def _inputs(
    demand: Demand, main: tuple[Group, Plane] | None, tight: Tight
) -> dict[str, tuple[float, str]]:
    own: dict[str, tuple[float, str]] = {
        "P": (demand.P, "N"),
        "zone start": (tight.low, "mm"),
        "zone end": (tight.high, "mm"),
    }
    if main is None:
        return own
    group, plane = main
    return own | {
        "n": (float(len(group.placed)), ""),
        "n_ef": (group.count.number, ""),
        **plane.inputs,
    }


def scenarios(zones: Sequence[Zone], asked: Sequence[Demand]) -> tuple[Scenario, ...]:
    """What acts together on one chord: every combination, each face alone, one face lifted.

    Args:
        zones: of the chord.
        asked: demands of all zones.

    Returns:
        Per scenario one demand per zone, None where nothing has to pass.
    """
    own = [
        {d.id.removeprefix(f"{zone.id}."): d for d in asked if d.zone.id == zone.id}
        for zone in zones
    ]
    faces = [{load.face for load in zone.loads} for zone in zones]
    both = set().union(*faces)
    codes = dict.fromkeys(d.combination.code for mine in own for d in mine.values())
    plain_codes = [c for c in codes if any(c in mine for mine in own)]

    def alone(i: int, code: str, face: str) -> Demand | None:
        return own[i].get(code if len(faces[i]) == 1 else f"{code}.{face}")

    found = [tuple(mine.get(code) for mine in own) for code in plain_codes]
    if len(both) > 1:
        for code in plain_codes:
            for face in sorted(both, reverse=True):
                found.append(
                    tuple(
                        alone(i, code, face) if face in faces[i] else None
                        for i in range(len(zones))
                    )
                )
        for down in ("front", "back"):
            found += _lifted(own, faces, down)
    return tuple({tuple(d and d.id for d in s): s for s in found if any(s)}.values())


def _lifted(
    own: list[dict[str, Demand]], faces: list[set[str]], down: str
) -> list[tuple[Demand | None, ...]]:
    """One face pressed down while the other is lifted, with every permanent and variable load."""
    found = []
    for heavy in ("PV", "P"):
        row = []
        for mine, on in zip(own, faces, strict=True):
            if len(on) > 1:
                row.append(mine.get(f"{heavy}U.{down}", mine.get(f"{heavy}.{down}")))
            else:
                row.append(mine.get(heavy if down in on else "U"))
        found.append(tuple(row))
    return found
