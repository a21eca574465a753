"""A truss that is alike on both sides, but for a few parts: is one of them a slip?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from shapely.geometry import Polygon

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job, Role
from girderply.model.girder import Array, Girder, Member
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said

PLAY = 10.0  # mm between a joint and the mirror image of its partner
FEWEST, MOSTLY = 6, 0.7  # joints; of them, or of the pairs, are alike where a truss is meant so
PLATE_PLAY = 3.0  # mm between the corners of a plate and those of its partner
AREA, LEAST = 0.005, 300.0  # of a member, and mm2: outlines differ by more


def halves_findings(job: Job, girder: Girder) -> Iterator[Finding]:
    """Parts that differ from their mirror image in a truss whose other parts do not.

    Args:
        job: whose plates are looked at where it gives them.
        girder: as it is built.
    """
    ends = [m.outline[:, 0] for m in girder.members if m.role is Role.BOTTOM_CHORD]
    if not ends:
        return
    across = float(min(e.min() for e in ends) + max(e.max() for e in ends))
    partners = _partners(girder, across)
    if len(girder.joints) < FEWEST or len(partners) < MOSTLY * len(girder.joints):
        return
    members = list(_pairs(girder, partners))
    if 2 * len(members) < MOSTLY * len(girder.members):
        return
    show = Show(job.info.units)
    lines = [(a.id, line) for a, b in members if (line := _unlike(a, b, across, show))]
    parts: list[Words] = [line for _, line in lines]
    plates = _plates(girder, partners, across)
    parts += plates.values()
    if parts and len(parts) <= (1 - MOSTLY) * (len(members) + len(partners)):
        text = said("halves.differ", parts=joined(said("sheet.semicolon"), parts))
        tip = said("plausible.look")
        where = ", ".join([*(name for name, _ in lines), *plates])
        yield Finding("halves-differ", Severity.NOTE, where, text, tip=tip)


def _partners(girder: Girder, across: float) -> dict[str, str]:
    """Joint -> the joint at its mirror image; a joint in the middle is its own."""
    return {
        a.id: b.id
        for a in girder.joints
        for b in girder.joints
        if abs(a.x + b.x - across) <= PLAY and abs(a.y - b.y) <= PLAY
    }


def _pairs(girder: Girder, partners: Mapping[str, str]) -> Iterator[tuple[Member, Member]]:
    """Each member with the one that runs over the partners of its joints, once."""
    known = {(m.role, frozenset(m.joints)): m for m in girder.members}
    done: set[str] = set()
    for m in girder.members:
        other = known.get((m.role, frozenset(partners.get(j, "") for j in m.joints)))
        if other is not None and not done & {m.id, other.id}:
            done |= {m.id, other.id}
            yield m, other


def _mirrored(points: Array, across: float) -> Array:
    return np.column_stack((across - points[:, 0], points[:, 1]))


def _unlike(a: Member, b: Member, across: float, show: Show) -> Words:
    """What is not alike of two members; empty where nothing is."""
    names = {"a": a.id, "b": b.id}
    if abs(a.depth - b.depth) > 1.0:
        sizes = {"first": show.small(a.depth), "second": show.small(b.depth)}
        return said("halves.depth", **names, **sizes)
    if a.timber != b.timber:
        return said("halves.timber", **names)
    one, other = Polygon(a.outline), Polygon(_mirrored(b.outline, across))
    if one.symmetric_difference(other).area <= max(LEAST, AREA * one.area):
        return ""
    return said("halves.ends", a=a.id) if a is b else said("halves.outline", **names)


def _plates(girder: Girder, partners: Mapping[str, str], across: float) -> dict[str, Said]:
    """Joint -> that its plate is not where the image of its partner's is, or not as large."""
    plates = {p.joint: p.outline for p in girder.plates if not p.assumed}
    found: dict[str, Said] = {}
    for a, b in partners.items():
        if a > b or a not in plates or b not in plates:
            continue
        image = _mirrored(plates[b], across)
        apart = np.linalg.norm(plates[a][:, None] - image[None], axis=2).min(axis=1)
        if apart.max() > PLATE_PLAY:
            same = said("halves.plate", a=a) if a == b else said("halves.plates", a=a, b=b)
            found[a] = same
    return found
