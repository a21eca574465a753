"""What the drawing of the truss designer says against what the job comes to: all must agree."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from girderply import catalogue
from girderply.errors import Finding, GirderplyError, Severity
from girderply.jobfile.job import DesignerSpec, Role
from girderply.model.girder import Girder
from girderply.schedule.sums import Sums
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, numeral, said
from girderply.wording.words import duration_words

APART = 0.02  # share by which a figure of the drawing may differ
LENGTH, SECTION = 5.0, 1.0  # mm by which a size may; common practice, no source
NEAR = 0.01  # mm
TELLS = 0.05  # of the largest axial force: a smaller one has no sign to speak of


def designer_findings(schedule: Schedule, sums: Sums) -> Iterator[Finding]:
    """Every figure of `[designer]` that the job does not come to."""
    drawn, show = schedule.job.designer, Show(schedule.job.info.units)
    if drawn is None:
        return
    for row in (*_counts(schedule, sums), *_sizes(schedule, show), *_forces(schedule, sums, show)):
        theirs = getattr(drawn, row.key)
        if theirs is not None and not row.agrees(theirs):
            yield _error(row.key, row.words(theirs))
    yield from _words(schedule, drawn)
    if drawn.reactions:
        yield from _reactions(schedule, sums, drawn, show)


@dataclass(frozen=True, slots=True)
class _Row:
    """One figure of the drawing, and what the job comes to.

    Attributes:
        key: of `[designer]`. ours: every value that the job has of it, usually one.
        within: how far the drawing's may be off, in its unit. share: or as a share of itself.
        printed: how a value is told.
    """

    key: str
    ours: tuple[float, ...]
    printed: Callable[[float], Words]
    within: float = 0.0
    share: float = 0.0

    def agrees(self, theirs: float) -> bool:
        """Whether the drawing's figure is that of the job, everywhere."""
        most = max(self.within, self.share * abs(theirs))
        return bool(self.ours) and all(abs(theirs - v) <= most for v in self.ours)

    def words(self, theirs: float) -> Said:
        """Both, by name."""
        ours = joined(", ", map(self.printed, self.ours)) if self.ours else said("designer.none")
        told = {"said": self.printed(theirs), "ours": ours}
        if self.share and len(self.ours) == 1:
            told["apart"] = _apart(theirs, self.ours[0])
        return said(f"designer.{self.key}", **told)


def _counts(schedule: Schedule, sums: Sums) -> Iterator[_Row]:
    girder = schedule.girder
    counted = {
        "plies": girder.plies, "plates": len(girder.plates), "members": len(girder.members),
        "loads": sums.count,
    }  # fmt: skip
    for key, ours in counted.items():
        yield _Row(key, (ours,), lambda v: str(int(v)))


def _sizes(schedule: Schedule, show: Show) -> Iterator[_Row]:
    girder = schedule.girder
    yield _Row("ply_thickness", (girder.ply_thickness,), show.small, SECTION)
    for role in (Role.TOP_CHORD, Role.BOTTOM_CHORD):
        depths = sorted({m.depth for m in girder.members if m.role is role})
        yield _Row(role.value.replace(" ", "_"), tuple(depths), show.small, SECTION)
    yield _Row("length", (girder.length,), show.span, LENGTH)
    low = [m.outline for m in girder.members if m.role is Role.BOTTOM_CHORD]
    if not low:
        return
    x, y = np.concatenate(low).T
    yield _Row("span", (float(x.max() - x.min()),), show.span, LENGTH)
    tops = max(float(m.outline[:, 1].max()) for m in girder.members)
    yield _Row("height", (tops - float(y.min()),), show.span, LENGTH)
    heel = _top_at(girder, float(x.min()))
    heels = () if heel is None else (heel - float(y.min()),)
    yield _Row("heel_height", heels, show.span, LENGTH)


def _top_at(girder: Girder, x: float) -> float | None:
    """The upper edge of the top chord over a place, mm; None where there is none."""
    found = [
        y
        for m in girder.members if m.role is Role.TOP_CHORD
        for (x1, y1), (x2, y2) in pairwise([*m.outline.tolist(), m.outline[0].tolist()])
        if min(x1, x2) - NEAR <= x <= max(x1, x2) + NEAR
        for y in ([y1, y2] if abs(x2 - x1) < NEAR else [y1 + (y2 - y1) * (x - x1) / (x2 - x1)])
    ]  # fmt: skip
    return max(found, default=None)


def _forces(schedule: Schedule, sums: Sums, show: Show) -> Iterator[_Row]:
    yield _Row("mass", (schedule.masses.total,), show.mass, share=APART)
    for key in ("permanent", "variable", "uplift"):
        yield _Row(key, (getattr(sums.total, key),), show.force, share=APART)


def _words(schedule: Schedule, drawn: DesignerSpec) -> Iterator[Finding]:
    """What the drawing says in words: timber, service class, duration."""
    girder, basis = schedule.girder, schedule.job.basis
    if drawn.timber is not None and _plain(drawn.timber) != _plain(girder.timber):
        yield _error("timber", said("designer.timber", said=drawn.timber, ours=girder.timber))
    theirs, ours = drawn.service_class, dict(basis.options).get("service_class")
    if theirs is not None and theirs != ours:
        has = said("designer.none") if ours is None else str(ours)
        yield _error("service_class", said("designer.service_class", said=theirs, ours=has))
    if drawn.variable_duration not in (None, basis.variable_duration):
        yield _error(
            "variable_duration",
            said(
                "designer.variable_duration", said=duration_words(str(drawn.variable_duration)),
                ours=duration_words(basis.variable_duration),
            ),
        )  # fmt: skip


def _plain(name: str) -> str:
    """A timber as the catalogue spells it, where it knows it."""
    try:
        return catalogue.timber(name).key
    except GirderplyError:
        return name


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
