"""The steps of a transfer check, line by line: what passes, what one carries, the sum."""

from __future__ import annotations

from math import isfinite

from girderply.bases.answers import Plane
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.strength.demand import Demand
from girderply.strength.flow import Tight
from girderply.strength.groups import Group
from girderply.strength.in_force import Judge, plain
from girderply.strength.load_shares import kept_before
from girderply.units.show import Show
from girderply.wording import Said, Words, figures, numeral, said
from girderply.wording.words import kind_words, spec_words


def resistance(S: float, tight: Tight) -> float:
    """What the load may count on: its own part of what stands in the tight window, N."""
    return S / tight.used if isfinite(tight.used) and tight.used > 0.0 else 0.0


def steps(
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
    own_part = resistance(demand.S[k - 1], tight)
    if not there or abs(total - own_part) <= 1e-6 * max(total, 1.0):
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
            used=used, total=plain(show, own_part),
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


def inputs(
    demand: Demand, main: tuple[Group, Plane] | None, tight: Tight
) -> dict[str, tuple[float, str]]:
    """What went into a check, by symbol, each with its unit; `main` is the plane that does most."""
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
