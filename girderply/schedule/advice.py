"""What would work where a girder is refused: every proposal has been laid out and checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from girderply import catalogue
from girderply.catalogue.types import Nail
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout
from girderply.layout.nail_choice import nail_findings
from girderply.layout.region import clip
from girderply.layout.stages import plan_steps
from girderply.schedule.design import Designed, design
from girderply.strength.zones import Zone, zones

TRIALS = 4  # nails tried; each is a whole layout


def advice(brief: Brief, designed: Designed) -> list[Finding]:
    """Proposals for a girder with failed transfer checks; empty when none failed.

    Tried in turn: another nail, brackets that reach more plies, bolts instead of nails.
    """
    failed = {c.id.split(".i")[0] for c in designed.checks if not c.ok and ".i" in c.id}
    if not failed:
        return []
    crowded = list(_crowded(brief, designed, failed))
    full = any(_free(designed, z) <= 0.0 for z in _zones(brief) if z.id in failed)
    # Where no timber is free, no fastener helps: only brackets that need less to pass are tried.
    found = list(_reach(brief)) if full else [*_nails(brief), *_reach(brief), *_bolts(brief)]
    if not found and not crowded:
        text = (
            "another nail of the catalogue, brackets that reach all plies and bolts were tried: "
            "none carries the loads; ask the truss designer for a deeper chord, more plies or "
            "lighter loads"
        )
        found = [_finding("nothing-works", "fastening", text)]
    return crowded + found


def _finding(code: str, where: str, text: str) -> Finding:
    return Finding(code, Severity.NOTE, where, text, tip="the engineer decides")


def carries(brief: Brief) -> Designed | None:
    """The design of a changed job, or None where a check or a placement still fails."""
    designed = design(brief)
    faults = [f for f in designed.layout.findings if f.severity is Severity.ERROR]
    return None if faults or any(not c.ok for c in designed.checks) else designed


def _nails(brief: Brief) -> Iterator[Finding]:
    if brief.nail is None or brief.job.fastening.transfer_by != "nail":
        return
    for nail in _candidates(brief, brief.nail)[:TRIALS]:
        tried = with_nail(brief, nail)
        done = carries(tried)
        if done is not None:
            text = f"nails {nail.key} instead of {brief.nail.key} would carry every load"
            yield _finding("would-work", "fastening.nail", f"{text}: {_count(done.layout)} nails")
            return


def with_nail(brief: Brief, nail: Nail) -> Brief:
    """The same girder with another nail."""
    fastening = replace(brief.job.fastening, nail=nail.key)
    return replace(brief, nail=nail, job=replace(brief.job, fastening=fastening))


def _candidates(brief: Brief, now: Nail) -> list[Nail]:
    """Thicker nails of the same kind that suit the stack, thinnest first."""
    fits = []
    for nail in catalogue.nails():
        same = nail.surface == now.surface and bool(nail.pennyweight) == bool(now.pennyweight)
        if not same or not now.d < nail.d <= 6.0:
            continue
        tried = with_nail(brief, nail)
        if not any(
            f.severity is Severity.ERROR
            for f in nail_findings(tried, plan_steps(tried, bolted=True))
        ):
            fits.append(nail)
    return sorted(fits, key=lambda n: (n.d, n.length, n.key))


def _count(layout: Layout) -> int:
    return int((layout.fasteners.kind == "nail").sum())


def _reach(brief: Brief) -> Iterator[Finding]:
    plies = brief.girder.plies
    least = min((x.plies_reached for x in brief.girder.loads), default=plies)
    for reached in range(least + 1, plies + 1):
        loads = tuple(
            replace(x, plies_reached=max(x.plies_reached, reached)) for x in brief.girder.loads
        )
        if carries(replace(brief, girder=replace(brief.girder, loads=loads))) is not None:
            yield _finding(
                "would-work",
                "loads.plies_reached",
                f"brackets whose fixings reach {reached} plies would carry every load with "
                f"{brief.nail.key if brief.nail else 'these fasteners'}",
            )
            return


def _bolts(brief: Brief) -> Iterator[Finding]:
    if brief.bolt is None or brief.job.fastening.transfer_by == "bolt":
        return
    fastening = replace(brief.job.fastening, transfer_by="bolt")
    done = carries(replace(brief, job=replace(brief.job, fastening=fastening)))
    if done is not None:
        count = int((done.layout.fasteners.kind == "bolt").sum())
        yield _finding(
            "would-work",
            "fastening.transfer_by",
            f"through bolts {brief.bolt.key} instead of nails would carry every load: "
            f"{count} bolts in all",
        )


def _zones(brief: Brief) -> tuple[Zone, ...]:
    reach = brief.job.basis.reach
    return zones(brief.girder, brief.rules.zone_reach if reach is None else reach)


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
    text = (
        f"load {zone.id}: plates and brackets leave {show.span(free)} of the "
        f"{show.span(zone.length)} of {zone.chord} that its fasteners may stand in; move it clear "
        "of the joint, or hang fewer loads so near each other"
    )
    return _finding("zone-crowded", zone.id, text)
