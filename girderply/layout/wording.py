"""Stages in plain words for the yard hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.layout.records import Stage
from girderply.layout.stages import Pass, Step, opposite
from girderply.layout.standing_words import hold_standing, in_turn, stand
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import face_words, is_rod, kind_words, spec_words


def stage_in_words(
    brief: Brief, steps: Sequence[Step], index: int, spots: Sequence[BoltSpot], specs: Counter[str]
) -> Stage:
    """One stage with its title, its lines of action and its hold point.

    Args:
        brief: girder and rules.
        steps: all stages.
        index: of the one wanted.
        spots: every bolt.
        specs: how many bolts of each spec.
    """
    step, upright = steps[index], brief.job.assembly.upright
    put = stand if upright else _lay
    action = [*put(steps, index), *_only(brief, index), *_nail(brief, step)]
    action += _close(brief, step, spots, specs)
    following = steps[index + 1] if index + 1 < len(steps) else None
    hold = hold_standing if upright else _hold
    return Stage(
        number=step.number,
        title=_title(step, "stand" if upright else "lay"),
        action=tuple(action),
        plies=tuple(range(step.plies[0], step.plies[1] + 1)),
        face_up=step.face_up,
        turn_over_before=step.turn,
        hold_point=hold(step, following, bool(spots)),
        kinds=((step.passed.nail.kind,) if step.passed else ())
        + ((FastenerKind.BOLT,) if step.bolts else ()),
        upright=upright,
    )


def _on_each_other(numbers: Sequence[int]) -> Said:
    """Plies as they are laid: ply 2, then ply 1 on it."""
    first, *others = numbers
    on = [said("action.ply_next", ply=number) for number in others]
    return joined("", [said("action.ply_first", ply=first), *on])


def _title(step: Step, put: str) -> Said:
    parts: list[tuple[str, dict[str, object]]] = [("turn", {})] if step.turn else []
    if step.round:
        parts.append(("round", {"face": face_words(step.face_up)}))
    if step.added:
        plies = in_turn(step.added) if put == "stand" else _on_each_other(step.added)
        parts.append((put, {"plies": plies}))
    if step.passed:
        parts.append((step.passed.nail.kind, {"face": face_words(step.passed.face)}))
    elif step.added:
        parts.append(("clamp", {}))
    if step.clench:
        parts.append(("clench", {}))
    if step.bolts:
        parts.append((FastenerKind.BOLT, {}))
    name, values = parts[0] if parts else ("inspect", {})
    first = said(f"action.title_first_{name}", **values)
    return joined(", ", [first, *(said(f"action.title_then_{n}", **v) for n, v in parts[1:])])


def _only(brief: Brief, index: int) -> list[Said]:
    """Where one face only can be reached: said once, before anything is driven."""
    faces = brief.job.assembly.faces
    if faces == "both" or index:
        return []
    return [said("action.only_face", face=face_words(faces))]


def _lay(steps: Sequence[Step], index: int) -> list[Words]:
    step = steps[index]
    lines: list[Words] = []
    if step.turn:
        lines.append(said("action.turn", face=face_words(step.face_up)))
    if step.added and index == 0:
        down = face_words(opposite(step.face_up))
        lines.append(said("action.lay_first", ply=step.added[0], face=down))
        rest = step.added[1:]
        if rest:
            lines.append(said("action.lay_next", plies=_on_each_other(rest)))
    elif step.added:
        lines.append(said("action.lay_stack", plies=_on_each_other(step.added)))
    return lines


def _nail(brief: Brief, step: Step) -> list[Words]:
    p = step.passed
    if p is None:
        return []
    d, length = brief.show.diameter(p.nail.d), brief.show.small(p.nail.length)
    lines: list[Words] = [
        said("action.eyes"),
        said(f"action.mark_{p.nail.kind}", nail=p.nail.key, d=d, length=length),
        _point(brief, p),
    ]
    if brief.job.assembly.upright:
        lines[0] = said("action.level")
    hole = hole_for(brief, p.nail)
    if hole:
        drill = {"hole": brief.show.diameter(hole), "one": kind_words(p.nail.kind, 1)}
        lines.insert(1, said("action.drill_driven", **drill))
    return lines


def _point(brief: Brief, p: Pass) -> Said:
    out, depth = brief.show.small(p.protrusion), brief.show.small(p.point_depth)
    if p.protrusion > 0 and p.clench:
        where = "far" if brief.job.assembly.upright else "clench"
        return said(f"action.points_{where}", first=p.from_ply, last=p.to_ply, out=out)
    if p.protrusion > 0:
        return said("action.points_out", first=p.from_ply, last=p.to_ply, out=out)
    return said("action.points_deep", first=p.from_ply, last=p.to_ply, depth=depth)


def _close(brief: Brief, step: Step, spots: Sequence[BoltSpot], specs: Counter[str]) -> list[Words]:
    lines: list[Words] = []
    if step.clench:
        lines += [said("action.eyes"), said("action.bend")]
    if step.bolts and spots:
        if brief.job.assembly.upright:
            lines.append(said("action.drill_standing"))
        lines += [_drill(brief, spots), _fit(specs), said("action.tighten")]
    return lines


def _drill(brief: Brief, spots: Sequence[BoltSpot]) -> Said:
    """Which hole at which cross, so that nobody has to guess where sizes differ."""
    sizes = sorted({(s.hole, s.bolt.key) for s in spots})
    show = brief.show
    if len({hole for hole, _ in sizes}) == 1:
        return said("action.drill_all", hole=show.diameter(sizes[0][0]))
    each = [said("action.hole_for", hole=show.diameter(h), bolt=key) for h, key in sizes]
    return said("action.drill_each", each=joined(", ", each))


def _fit(specs: Counter[str]) -> Said:
    """How many bolts of which size, and what goes on their ends: a rod has no head."""
    counts = [
        said("action.count_of", count=n, spec=spec_words(spec)) for spec, n in sorted(specs.items())
    ]
    bolts = joined(", ", counts)
    rods = [is_rod(spec) for spec in specs]
    if all(rods):
        return said("action.fit_rods", bolts=bolts)
    if any(rods):
        return said("action.fit_mixed", bolts=bolts)
    return said("action.fit_bolts", bolts=bolts)


def _hold(step: Step, following: Step | None, bolted: bool) -> Words:
    if following is None:
        return said("action.hold_lift_bolts" if bolted else "action.hold_lift")
    if following.added and step.passed:
        many = kind_words(step.passed.nail.kind, 2)
        ply = following.added[0]
        return said("action.hold_lay", stage=step.number, many=many, ply=ply)
    if following.turn:
        many = kind_words(step.passed.nail.kind if step.passed else FastenerKind.NAIL, 2)
        return said("action.hold_turn", stage=step.number, many=many)
    return ""
