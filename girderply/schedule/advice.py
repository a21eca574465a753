"""What would work where a girder is refused: every proposal has been laid out and checked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from girderply import catalogue
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout
from girderply.layout.nail_choice import nail_findings
from girderply.layout.region import clip
from girderply.layout.stages import plan_steps
from girderply.model.girder import Girder
from girderply.schedule.design import Designed, design
from girderply.schedule.plies import ply_results, with_computed, with_fixings
from girderply.strength.check_record import Check
from girderply.strength.fixings import fixing_checks, reached
from girderply.strength.zones import Zone, reach_of, zones
from girderply.wording import Words, joined, said

SPARE = 1.05  # nails move with the bracket, and with them what passes on either side of it
TRIALS = 4  # nails tried; each is a whole layout


def advice(brief: Brief, designed: Designed) -> list[Finding]:
    """Proposals for a girder with failed checks; empty when none failed.

    Tried in turn for the transfer: another nail, brackets that reach more plies, bolts instead of
    nails. For splitting: how high the bracket's fixings would have to reach.
    """
    split = _splitting(brief, designed)
    failed = {c.about for c in designed.checks if c.interface and not c.ok}
    if not failed:
        return split
    crowded = list(_crowded(brief, designed, failed))
    full = any(_free(designed, z) <= 0.0 for z in _zones(brief) if z.id in failed)
    # Where no timber is free, no fastener helps: only brackets that need less to pass are tried.
    # Where the nail is wrong for the stack, only another nail can be tried.
    tries = {"nails": _nails, "reach": _reach, "bolts": _bolts}
    if full:
        tries = {k: v for k, v in tries.items() if v is _reach}
    elif brief.nail is not None and unfit(brief):
        tries = {k: v for k, v in tries.items() if v is _nails}
    found = [f for attempt in tries.values() for f in attempt(brief)]
    if not found and not crowded:
        names = joined(", ", [said(f"finding.tries_{name}") for name in tries])
        text = said("finding.nothing_works", tries=names)
        found = [_finding("nothing-works", "fastening", text)]
    return crowded + found + split


def _finding(code: str, where: str, text: Words) -> Finding:
    return Finding(code, Severity.NOTE, where, text, tip=said("finding.engineer"))


@dataclass(frozen=True, slots=True)
class Tried:
    """A changed girder that passes every load from ply to ply: the whole design of it.

    Attributes:
        layout: as it would be made.
        failed: ids of the checks that fail all the same, the hardest first; splitting, say.
    """

    layout: Layout
    failed: tuple[str, ...]


def carries(brief: Brief) -> Tried | None:
    """The whole design of a changed job, or None where it does not pass the loads on.

    A trial says quickly that a change is of no use; what it does not refuse is designed to the
    end, with the forces of the plies on their springs, before anything is said of it.
    """
    designed = design(brief, trial=True)
    if _refused(designed):
        return None
    plies = ply_results(brief, designed)
    if brief.job.fastening.by_computed and plies.beyond:
        return None
    designed = with_computed(designed, plies.found)
    designed, open_ = with_fixings(brief, designed)
    if open_ or _refused(designed):
        return None
    failed = sorted((c for c in designed.checks if not c.ok), key=lambda c: -c.utilisation)
    return Tried(designed.layout, tuple(c.id for c in failed))


def _refused(designed: Designed) -> bool:
    faults = [f for f in designed.layout.findings if f.severity is Severity.ERROR]
    return bool(faults) or any(not c.ok for c in designed.checks if c.interface)


def _proposal(where: str, text: Words, done: Tried) -> Finding:
    """What a change would do: carry every load, or only pass it on while other checks fail."""
    if not done.failed:
        return _finding("would-work", where, said("finding.would_carry", change=text))
    left = {"n": len(done.failed), "hardest": done.failed[0]}
    return _finding("would-pass", where, said("finding.would_pass", change=text, **left))


def _nails(brief: Brief) -> Iterator[Finding]:
    if brief.nail is None or brief.job.fastening.transfer_by != FastenerKind.NAIL:
        return
    if isinstance(brief.nail, Screw):
        return  # no catalogue of screws to choose another one from
    for nail in candidates(brief, brief.nail)[:TRIALS]:
        tried = with_nail(brief, nail)
        done = carries(tried)
        if done is not None:
            yield nail_proposal(brief.nail, nail, done)
            return


def nail_proposal(now: Nail, nail: Nail, done: Tried) -> Finding:
    """What another nail would do, once its whole design was made."""
    count = _count(done.layout)
    text = said("finding.would_nail", nail=nail.key, now=now.key, count=count)
    return _proposal("fastening.nail", text, done)


def with_nail(brief: Brief, nail: Nail) -> Brief:
    """The same girder with another nail."""
    fastening = replace(brief.job.fastening, nail=nail.key)
    return replace(brief, nail=nail, job=replace(brief.job, fastening=fastening))


def candidates(brief: Brief, now: Nail) -> list[Nail]:
    """Nails of the same kind that suit the stack: the next thicker first, then thinner ones."""
    fits = []
    fit = not unfit(brief)
    for nail in catalogue.nails():
        same = nail.surface == now.surface and bool(nail.pennyweight) == bool(now.pennyweight)
        if not same or nail.key == now.key or nail.d > 6.0 or (nail.d <= now.d and fit):
            continue
        tried = with_nail(brief, nail)
        if not unfit(tried):
            fits.append(nail)
    return sorted(fits, key=lambda n: (n.d < now.d, abs(n.d - now.d), n.length, n.key))


def unfit(brief: Brief) -> bool:
    """Whether the nail itself is wrong for the stack, whatever it carries."""
    passes = [s.passed for s in plan_steps(brief, bolted=True) if s.passed]
    return any(f.severity is Severity.ERROR for f in nail_findings(brief, passes))


def _count(layout: Layout) -> int:
    return int(layout.fasteners.driven.sum())


def _reach(brief: Brief) -> Iterator[Finding]:
    plies = brief.girder.plies
    what = brief.nail.key if brief.nail else said("finding.these_fasteners")
    least = min((x.plies_reached for x in brief.girder.loads), default=plies)
    for count in range(least + 1, plies + 1):
        loads = tuple(
            replace(x, plies_reached=max(x.plies_reached, count)) for x in brief.girder.loads
        )
        tried = replace(brief.girder, loads=loads)
        done = carries(replace(brief, girder=tried)) if _proved(brief, tried) else None
        if done is not None:
            text = said("finding.would_reach", plies=count, what=what)
            yield _proposal("loads.plies_reached", text, done)
            return


def _proved(brief: Brief, girder: Girder) -> bool:
    """Whether the brackets' own nails reach as many plies and carry the loads into them."""
    hung = [x for x in girder.loads if x.face != "top" and x.plies_reached > 1]
    if not all(x.bracket and x.bracket.fixing for x in hung):
        return False
    if any(reached(brief.job, girder, x) < x.plies_reached for x in hung):
        return False
    checks, open_ = fixing_checks(brief.job, girder, {})
    return not open_ and all(c.ok for c in checks)


def _bolts(brief: Brief) -> Iterator[Finding]:
    if brief.bolt is None or brief.job.fastening.transfer_by == FastenerKind.BOLT:
        return
    if brief.job.assembly.faces != "both":
        return  # nobody can hold the nut
    fastening = replace(brief.job.fastening, transfer_by=FastenerKind.BOLT)
    done = carries(replace(brief, job=replace(brief.job, fastening=fastening)))
    if done is not None:
        count = int(done.layout.fasteners.bolted.sum())
        text = said("finding.would_bolt", bolt=brief.bolt.key, count=count)
        yield _proposal("fastening.transfer_by", text, done)


def _splitting(brief: Brief, designed: Designed) -> list[Finding]:
    """How high above the loaded edge the fixings must reach, from Eq. (8.4) turned round.

    F is proportional to X = sqrt(h_e / (1 - h_e/h)); for the X that is needed,
    h_e = X^2 / (1 + X^2/h).
    """
    worst: dict[tuple[str, int], Check] = {}
    for check in designed.checks:
        if not check.ok and not check.interface:
            key = (check.about, check.ply)
            if key not in worst or check.utilisation > worst[key].utilisation:
                worst[key] = check
    show, found = brief.show, []
    for (name, ply), check in worst.items():
        if not {"h", "h_e"} <= set(check.inputs) and not {"d", "d_e"} <= set(check.inputs):
            continue  # another basis asks otherwise
        need, h, h_e = _height(check)
        found.append(
            _finding(
                "splitting-advice",
                name,
                said(
                    "finding.split_between" if ply else "finding.split_fixings",
                    need=show.small(math.ceil(need)),
                    depth=show.small(h),
                    now=show.small(h_e),
                ),
            )
        )
    return found


def _height(check: Check) -> tuple[float, float, float]:
    """How high the fixings must reach, the depth, and how high they reach now, mm.

    By EN 1995-1-1, Eq. (8.4) turned round. NDS 3.4.3.3 goes with d_e, near an end with more of it,
    so that d_e times the utilisation is enough.
    """
    more = SPARE * check.utilisation
    if "h_e" not in check.inputs:
        d, d_e = check.inputs["d"][0], check.inputs["d_e"][0]
        return d_e * more, d, d_e
    h, h_e = check.inputs["h"][0], check.inputs["h_e"][0]
    x2 = more**2 * h_e / (1 - h_e / h)
    return x2 / (1 + x2 / h), h, h_e


def _zones(brief: Brief) -> tuple[Zone, ...]:
    return zones(brief.girder, reach_of(brief.job, brief.rules))


def _free(designed: Designed, zone: Zone) -> float:
    """Length of a zone's chord that nails may stand in on some row, mm."""
    free = designed.layout.free.get(zone.chord)
    return zone.length if free is None else clip(free, zone.start, zone.end).length


def _crowded(brief: Brief, designed: Designed, failed: set[str]) -> Iterator[Finding]:
    """Zones that plates and brackets leave hardly any timber in."""
    for zone in _zones(brief):
        free = _free(designed, zone)
        if zone.id in failed and free < zone.length / 3:
            yield _crowded_finding(brief, zone, free)


def _crowded_finding(brief: Brief, zone: Zone, free: float) -> Finding:
    show = brief.show
    text = said(
        "finding.crowded", load=zone.id, free=show.span(free), length=show.span(zone.length),
        chord=zone.chord,
    )  # fmt: skip
    return _finding("zone-crowded", zone.id, text)
