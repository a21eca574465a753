"""Does what crosses each interface carry what must pass there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from girderply.catalogue.types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.types import RuleSet
from girderply.strength.columns import FastenerColumns, transfer_fasteners
from girderply.strength.demand import Demand, demands
from girderply.strength.groups import Group, groups_of, zone_of
from girderply.strength.judge import Judge, grain_angle, plain
from girderply.strength.records import Check, Plane
from girderply.strength.splitting import splitting_checks
from girderply.units.show import Show

__all__ = ["check_transfer", "zone_of"]

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
    asked = demands(job, girder, rules)
    judge = Judge.of(job, girder, nails, bolts)
    index = transfer_fasteners(fasteners, job.fastening.transfer_by)
    own = list({d.zone.id: d.zone for d in asked}.values())
    alphas = [grain_angle(girder.member(zone.chord)) for zone in own]
    groups = groups_of(judge, fasteners, index, own, alphas)
    number = {zone.id: i for i, zone in enumerate(own)}
    found: list[Check] = []
    for demand in asked:
        i = number[demand.zone.id]
        found += _interfaces(judge, demand, groups[i], alphas[i])
    # A bracket that reaches every ply passes nothing on, and can split them all the same.
    hung = demands(job, girder, rules, every=True)
    return (*found, *splitting_checks(job, girder, hung))


def _interfaces(judge: Judge, demand: Demand, groups: list[Group], alpha: float) -> Iterator[Check]:
    boxed = judge.boxed([g.crossing for g in groups])
    planes = [judge.planes(g.crossing, alpha, demand, boxed) for g in groups]
    for k, S in enumerate(demand.S, start=1):
        if NOTHING * abs(demand.P) < S:
            there = [(g, plane[k]) for g, plane in zip(groups, planes, strict=True) if k in plane]
            yield _check(judge, demand, k, there)


def _check(judge: Judge, demand: Demand, k: int, there: list[tuple[Group, Plane]]) -> Check:
    zone, S, show = demand.zone, demand.S[k - 1], judge.show
    whose = demand.id.removeprefix(zone.id)
    resistance = sum((plane.value * group.count.number for group, plane in there), 0.0)
    steps = [_demand_step(show, demand, k)]
    for group, plane in there:
        steps += [_fastener_step(judge, group), *plane.steps, group.count.step]
    steps.append(_sum_step(show, k, there, resistance))
    main = max(there, key=lambda row: row[1].value * row[0].count.number, default=None)
    return Check(
        id=f"{zone.id}.i{k}{whose}",
        subject=f"{zone.id} on {zone.chord}, stations {show.span(zone.start)} to "
        f"{show.span(zone.end)}, interface {k}: {demand.text}",
        demand=S,
        resistance=resistance,
        unit="N",
        clause=main[1].clause if main else "",
        mode=main[1].mode if main else "no transfer fastener crosses this interface in the zone",
        inputs=_inputs(demand, main),
        steps=tuple(steps),
    )


def _demand_step(show: Show, demand: Demand, k: int) -> str:
    n = len(demand.entering)
    into = " + ".join(plain(show, v) for v in demand.entering[:k])
    unit = "lbf" if show.imperial else "N"
    return (
        f"S_{k} = |({into}) - {k}/{n} x {plain(show, demand.P)}| = "
        f"{plain(show, demand.S[k - 1])} {unit} "
        f"({demand.combination.text}; equal shares of {n} plies)"
    )


def _fastener_step(judge: Judge, group: Group) -> str:
    c, n, show = group.crossing, len(group.placed), judge.show
    what = f"{n} {c.kind}{'' if n == 1 else 's'} {c.spec}"
    if c.kind == "bolt":
        return f"{what} through plies {c.from_ply} to {c.to_ply}"
    short = len(judge.counted(c)) < len(c.interfaces)
    least = show.small(judge.standard.least_point(c))
    return (
        f"{what} from ply {c.from_ply} into ply {c.to_ply}, "
        f"point {show.small(c.point_depth)} deep in it"
        f"{f', which does not count: {least} is needed' if short else ''}"
    )


def _sum_step(show: Show, k: int, there: list[tuple[Group, Plane]], total: float) -> str:
    terms = " + ".join(
        f"{group.count.number:.2f} x {plain(show, plane.value)}" for group, plane in there
    )
    unit = "lbf" if show.imperial else "N"
    return f"R_{k} = {terms or 'nothing'} = {plain(show, total)} {unit}"


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
