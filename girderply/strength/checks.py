"""Does what crosses each interface carry what must pass there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.catalogue.types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.types import RuleSet
from girderply.strength.columns import (
    Crossing,
    FastenerColumns,
    crossings,
    transfer_fasteners,
)
from girderply.strength.demand import Demand, demands
from girderply.strength.judge import Judge, grain_angle, plain
from girderply.strength.records import Check, Effective, Placed, Plane
from girderply.strength.splitting import splitting_checks
from girderply.strength.zones import Zone
from girderply.units.show import Show

NOTHING = 1e-6  # share of the load below which an interface passes nothing


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one class in one zone, and where they stand."""

    crossing: Crossing
    placed: Placed


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
    classes, of_class = crossings(fasteners, index)
    found: list[Check] = []
    groups: dict[str, list[Group]] = {}
    owners = zone_of(fasteners, index, [d.zone for d in asked])
    for demand in asked:
        zone = demand.zone
        if zone.id not in groups:
            inside = owners == zone.id
            groups[zone.id] = list(_groups(fasteners, index, classes, of_class, inside))
        alpha = grain_angle(girder.member(zone.chord))
        found += _interfaces(judge, demand, groups[zone.id], alpha)
    return (*found, *splitting_checks(job, girder, asked))


def zone_of(
    columns: FastenerColumns, index: NDArray[np.intp], zones: list[Zone]
) -> NDArray[np.str_]:
    """The zone that each fastener counts for: (m,) zone ids, empty for none.

    On a border the fastener goes to the zone nearer the hook end, so that none counts twice.
    """
    owner = np.full(len(index), "", dtype=object)
    for zone in {z.id: z for z in zones}.values():
        here = (
            (columns.member[index] == zone.chord)
            & (columns.station[index] >= zone.start - 1e-6)
            & (columns.station[index] <= zone.end + 1e-6)
            & (owner == "")
        )
        owner[here] = zone.id
    return owner.astype(np.str_)


def _groups(
    columns: FastenerColumns,
    index: NDArray[np.intp],
    classes: list[Crossing],
    of_class: NDArray[np.intp],
    inside: NDArray[np.bool_],
) -> Iterator[Group]:
    for number in np.unique(of_class[inside]):
        rows = index[inside & (of_class == number)]
        yield Group(classes[number], Placed(columns.station[rows], columns.offset[rows]))


def _interfaces(judge: Judge, demand: Demand, groups: list[Group], alpha: float) -> Iterator[Check]:
    boxed = judge.boxed([g.crossing for g in groups])
    planes = [judge.planes(g.crossing, alpha, demand, boxed) for g in groups]
    counts = [judge.standard.effective(g.crossing, g.placed, alpha) for g in groups]
    for k, S in enumerate(demand.S, start=1):
        if NOTHING * abs(demand.P) < S:
            there = [
                (group, plane[k], count)
                for group, plane, count in zip(groups, planes, counts, strict=True)
                if k in plane
            ]
            yield _check(judge, demand, k, there)


def _check(
    judge: Judge, demand: Demand, k: int, there: list[tuple[Group, Plane, Effective]]
) -> Check:
    zone, S, show = demand.zone, demand.S[k - 1], judge.show
    whose = demand.id.removeprefix(zone.id)
    resistance = sum(plane.value * count.number for _, plane, count in there)
    steps = [_demand_step(show, demand, k)]
    for group, plane, count in there:
        steps += [_fastener_step(judge, group), *plane.steps, count.step]
    steps.append(_sum_step(show, k, there, resistance))
    main = max(there, key=lambda row: row[1].value * row[2].number, default=None)
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


def _sum_step(show: Show, k: int, there: list[tuple[Group, Plane, Effective]], total: float) -> str:
    terms = " + ".join(
        f"{count.number:.2f} x {plain(show, plane.value)}" for _, plane, count in there
    )
    unit = "lbf" if show.imperial else "N"
    return f"R_{k} = {terms or 'nothing'} = {plain(show, total)} {unit}"


def _inputs(
    demand: Demand, main: tuple[Group, Plane, Effective] | None
) -> dict[str, tuple[float, str]]:
    own: dict[str, tuple[float, str]] = {
        "P": (demand.P, "N"),
        "zone start": (demand.zone.start, "mm"),
        "zone end": (demand.zone.end, "mm"),
    }
    if main is None:
        return own
    group, plane, count = main
    return own | {"n": (float(len(group.placed)), ""), "n_ef": (count.number, ""), **plane.inputs}
