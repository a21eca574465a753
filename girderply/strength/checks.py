"""Does what crosses each interface carry what must pass there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from girderply.bases.answers import Plane
from girderply.catalogue.types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.types import RuleSet
from girderply.strength.columns import FastenerColumns, transfer_fasteners
from girderply.strength.demand import Demand, demands
from girderply.strength.groups import Group, groups_of, zone_of
from girderply.strength.judge import Judge, grain_angle, plain
from girderply.strength.receiving import receiving_checks
from girderply.strength.records import Check
from girderply.strength.splitting import splitting_checks
from girderply.units.show import Show
from girderply.wording import figures, phrase
from girderply.wording.words import kind_words, spec_words

__all__ = ["Checker", "check_transfer", "zone_of"]

NOTHING = 1e-6  # share of the load below which an interface passes nothing


def check_transfer(
    job: Job,
    girder: Girder,
    rules: RuleSet,
    fasteners: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
) -> tuple[Check, ...]:
    """Every zone, interface and combination: what must pass against what crosses there.

    Only the job's kind of transfer fastener counts, only on the loaded chord, only inside the zone,
    each once; a bracket's own bolts do not. For EN 1995-1-1 the splitting of the loaded chord
    (8.1.4) follows.

    Args:
        job: basis and the kind that carries.
        girder: members, plies, loads.
        rules: reach of the zones where the job gives none.
        fasteners: columns of all fasteners.
        nails: by spec.
        bolts: by spec.

    Returns:
        Checks with ids such as "L1-3.i1.PV", in the order of zones, combinations, interfaces; empty
        where nothing hangs on one face.

    Raises:
        CatalogueError: a timber without the figure that the standard needs.
        RangeError: a fastener outside the standard's validity.
    """
    return Checker(job, girder, rules).check(fasteners, nails, bolts)


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
        self.alphas = [grain_angle(girder.member(zone.chord)) for zone in self.zones]
        # A bracket that reaches every ply passes nothing on, and can split them all the same.
        self.hung = demands(job, girder, rules, every=True)
        self.splitting = splitting_checks(job, girder, self.hung)
        self._judge: tuple[object, Judge] | None = None

    def check(
        self,
        fasteners: FastenerColumns,
        nails: Mapping[str, Nail],
        bolts: Mapping[str, BoltChoice],
        *,
        worked: bool = True,
    ) -> tuple[Check, ...]:
        """As `check_transfer`; `worked` False leaves subjects, inputs and steps empty."""
        judge = self._judge_of(nails, bolts)
        index = transfer_fasteners(fasteners, self.job.fastening.transfer_by)
        groups = groups_of(judge, fasteners, index, self.zones, self.alphas)
        number = {zone.id: i for i, zone in enumerate(self.zones)}
        found: list[Check] = []
        for demand in self.asked:
            i = number[demand.zone.id]
            found += _interfaces(judge, demand, groups[i], self.alphas[i], worked)
        received = receiving_checks(self.job, self.girder, self.hung, fasteners)
        return (*found, *self.splitting, *received)

    def _judge_of(self, nails: Mapping[str, Nail], bolts: Mapping[str, BoltChoice]) -> Judge:
        key = (dict(nails), dict(bolts))
        if self._judge is None or self._judge[0] != key:
            self._judge = (key, Judge.of(self.job, self.girder, nails, bolts))
        return self._judge[1]


def _interfaces(
    judge: Judge, demand: Demand, groups: list[Group], alpha: float, worked: bool
) -> Iterator[Check]:
    boxed = judge.boxed([g.crossing for g in groups])
    planes = [judge.planes(g.crossing, alpha, demand, boxed) for g in groups]
    shears = demand.S
    for k, S in enumerate(shears, start=1):
        if NOTHING * abs(demand.P) < S:
            there = [(g, plane[k]) for g, plane in zip(groups, planes, strict=True) if k in plane]
            yield _check(judge, demand, k, there) if worked else _bare(demand, k, S, there)


def check_id(demand: Demand, k: int) -> str:
    """Id of the check of an interface (1-based) against a demand, such as "L1-3.i1.PV"."""
    return f"{demand.zone.id}.i{k}{demand.id.removeprefix(demand.zone.id)}"


def _resistance(there: list[tuple[Group, Plane]]) -> float:
    return sum((plane.value * group.count.number for group, plane in there), 0.0)


def _bare(demand: Demand, k: int, S: float, there: list[tuple[Group, Plane]]) -> Check:
    zone, name = demand.zone.id, check_id(demand, k)
    return Check(name, "", S, _resistance(there), "N", "", about=zone, interface=k)


def _check(judge: Judge, demand: Demand, k: int, there: list[tuple[Group, Plane]]) -> Check:
    zone, S, show = demand.zone, demand.S[k - 1], judge.show
    resistance = _resistance(there)
    steps = [_demand_step(show, demand, k)]
    for group, plane in there:
        steps += [_fastener_step(judge, group), *plane.steps, group.count.step]
    steps.append(_sum_step(show, k, there, resistance))
    main = max(there, key=lambda row: row[1].value * row[0].count.number, default=None)
    return Check(
        id=check_id(demand, k),
        subject=phrase(
            "check.transfer",
            zone=zone.id,
            chord=zone.chord,
            start=show.span(zone.start),
            end=show.span(zone.end),
            interface=k,
            combination=demand.text,
        ),
        demand=S,
        resistance=resistance,
        unit="N",
        clause=main[1].clause if main else "",
        mode=main[1].mode if main else phrase("check.no_fastener"),
        inputs=_inputs(demand, main),
        steps=tuple(steps),
        stack=tuple(plane.stack for _, plane in there),
        about=zone.id,
        interface=k,
    )


def _demand_step(show: Show, demand: Demand, k: int) -> str:
    n = len(demand.entering)
    into = " + ".join(plain(show, v) for v in demand.entering[:k])
    unit = "lbf" if show.imperial else "N"
    return phrase(
        "worked.demand", interface=k, into=into, plies=n, load=plain(show, demand.P),
        shear=plain(show, demand.S[k - 1]), unit=unit, combination=demand.combination.text,
    )  # fmt: skip


def _fastener_step(judge: Judge, group: Group) -> str:
    c, n, show = group.crossing, len(group.placed), judge.show
    what: dict[str, object] = {
        "count": n,
        "kind": kind_words(c.kind, n),
        "spec": spec_words(c.spec),
        "first": c.from_ply,
        "last": c.to_ply,
    }
    if c.kind == "bolt":
        return phrase("worked.bolts", **what)
    depth = show.small(c.point_depth)
    if len(judge.counted(c)) < len(c.interfaces):
        least = show.small(judge.standard.least_point(c))
        return phrase("worked.nails_short", depth=depth, least=least, **what)
    return phrase("worked.nails", depth=depth, **what)


def _sum_step(show: Show, k: int, there: list[tuple[Group, Plane]], total: float) -> str:
    terms = " + ".join(
        f"{group.count.number:.2f} x {plain(show, plane.value)}" for group, plane in there
    )
    unit = "lbf" if show.imperial else "N"
    said = figures(terms) if terms else phrase("worked.nothing")
    total_ = plain(show, total)
    return phrase("worked.sum", interface=k, terms=said, total=total_, unit=unit)


def _inputs(demand: Demand, main: tuple[Group, Plane] | None) -> dict[str, tuple[float, str]]:
    own: dict[str, tuple[float, str]] = {
        "P": (demand.P, "N"),
        "zone start": (demand.zone.start, "mm"),
        "zone end": (demand.zone.end, "mm"),
    }
    if main is None:
        return own
    group, plane = main
    return own | {
        "n": (float(len(group.placed)), ""),
        "n_ef": (group.count.number, ""),
        **plane.inputs,
    }
