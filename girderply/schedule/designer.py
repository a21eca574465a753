"""What the drawing of the truss designer says against what the job comes to: all must agree."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.errors import Finding, Severity
from girderply.jobfile.job import DesignerSpec
from girderply.schedule.sums import Sums
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, Words, numeral, said

APART = 0.02  # share by which a figure of the drawing may differ
TELLS = 0.05  # of the largest axial force: a smaller one has no sign to speak of


def designer_findings(schedule: Schedule, sums: Sums) -> Iterator[Finding]:
    """Every figure of `[designer]` that the job does not come to."""
    drawn, show = schedule.job.designer, Show(schedule.job.info.units)
    if drawn is None:
        return
    girder = schedule.girder
    if drawn.plies is not None and drawn.plies != girder.plies:
        yield _count("plies", drawn.plies, girder.plies)
    if drawn.plates is not None and drawn.plates != len(girder.plates):
        yield _count("plates", drawn.plates, len(girder.plates))
    if drawn.members is not None and drawn.members != len(girder.members):
        yield _count("members", drawn.members, len(girder.members))
    ours = schedule.masses.total
    if drawn.mass is not None and _differ(drawn.mass, ours, drawn.mass):
        yield _error(
            "mass",
            said(
                "designer.mass", said=show.mass(drawn.mass), ours=show.mass(ours),
                apart=_apart(drawn.mass, ours),
            ),
        )  # fmt: skip
    if drawn.reactions:
        yield from _reactions(schedule, sums, drawn, show)


def sign_findings(schedule: Schedule) -> Iterator[Finding]:
    """Members that the job calls compressed or pulled, and its own loads the other way round.

    Read in the combination that asks most of the member by equal shares; a force that is small
    beside the largest of the girder tells nothing.
    """
    largest = max((abs(f.equal[0]) for f in schedule.forces), default=0.0)
    show = Show(schedule.job.info.units)
    for number, m in enumerate(schedule.job.girder.members, 1):
        mine = [f.equal[0] for f in schedule.forces if f.member == m.id]
        force = max(mine, key=abs, default=0.0)
        if m.compression is None or abs(force) <= TELLS * largest:
            continue
        if (force < 0) != m.compression:
            sense = said("designer.compressed" if m.compression else "designer.pulled")
            text = said("designer.sign", member=m.id, said=sense, force=show.force(abs(force)))
            where = f"girder.members[{number}].compression"
            tip = said("designer.look_at_nodes")
            yield Finding("sign-differs", Severity.WARNING, where, text, tip=tip)


def _reactions(
    schedule: Schedule, sums: Sums, drawn: DesignerSpec, show: Show
) -> Iterator[Finding]:
    bearings = schedule.girder.bearings
    if len(drawn.reactions) != len(bearings):
        yield _count("reactions", len(drawn.reactions), len(bearings))
        return
    ours = _ours(sums, drawn)
    if ours is None:
        yield _error("reactions", said("designer.not_known"))
        return
    whole = sum(abs(r) for r in drawn.reactions)
    order = sorted(range(len(bearings)), key=lambda i: bearings[i].x)
    for number, (i, theirs) in enumerate(zip(order, drawn.reactions, strict=True), 1):
        if _differ(theirs, ours[i], theirs or whole):
            text = said(
                "designer.reaction", at=show.span(bearings[i].x), said=show.force(theirs),
                ours=show.force(ours[i]), apart=_apart(theirs, ours[i]),
            )  # fmt: skip
            yield _error(f"reactions[{number}]", text, said("designer.look_at_loads"))


def _ours(sums: Sums, drawn: DesignerSpec) -> list[float] | None:
    """The job's own reactions in the sense of the drawing, in the order of its bearings, N."""
    if sums.reactions is None:
        return None
    design = drawn.reactions_are == "design"
    found = [r.design if design else r.unfactored for r in sums.reactions]
    if not drawn.self_weight:
        return found
    if sums.weight_reactions is None:
        return None
    return [r + w for r, w in zip(found, sums.weight_reactions, strict=True)]


def _differ(theirs: float, ours: float, whole: float) -> bool:
    return abs(theirs - ours) > APART * abs(whole)


def _apart(theirs: float, ours: float) -> Said:
    return numeral(100 * (ours - theirs) / theirs, "+.0f") if theirs else numeral(ours, "+g")


def _count(what: str, theirs: int, ours: int) -> Finding:
    return _error(what, said(f"designer.{what}", said=theirs, ours=ours))


def _error(key: str, text: Words, tip: Words = "") -> Finding:
    return Finding("designer-differs", Severity.ERROR, f"designer.{key}", text, tip=tip)
