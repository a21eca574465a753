"""Stages in plain words for the yard hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from girderply.layout.bolt_board import BoltSpot
from girderply.layout.brief import Brief
from girderply.layout.records import Stage
from girderply.layout.stages import Pass, Step, opposite
from girderply.standards.en1995_1_1_2014.nailing import hole_max_nail

EYES = "Wear eye protection."


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
    step = steps[index]
    action = [*_lay(steps, index), *_nail(brief, step), *_close(brief, step, spots, specs)]
    following = steps[index + 1] if index + 1 < len(steps) else None
    return Stage(
        number=step.number,
        title=_title(step),
        action=tuple(action),
        plies=tuple(range(step.plies[0], step.plies[1] + 1)),
        face_up=step.face_up,
        turn_over_before=step.turn,
        hold_point=_hold(step, following, bool(spots)),
        kinds=((step.passed.nail.kind,) if step.passed else ()) + (("bolt",) if step.bolts else ()),
    )


def _plies(numbers: Sequence[int]) -> str:
    words = [str(n) for n in numbers]
    return "ply " + words[0] if len(words) == 1 else "plies " + ", ".join(words)


def _title(step: Step) -> str:
    parts = ["turn over"] if step.turn else []
    if step.added:
        parts.append(f"lay {_plies(step.added)}")
    if step.passed:
        parts.append(f"nail from the {step.passed.face}")
    elif step.added:
        parts.append("clamp")
    if step.clench:
        parts.append("clench")
    if step.bolts:
        parts.append("drill and bolt")
    text = ", ".join(parts) or "inspect"
    return text[0].upper() + text[1:]


def _lay(steps: Sequence[Step], index: int) -> list[str]:
    step = steps[index]
    lines = []
    if step.turn:
        lines.append(
            f"Turn the stack over: the {step.face_up} face is up now, "
            "and this sheet shows it as you see it."
        )
    if step.added and index == 0:
        down = opposite(step.face_up)
        lines.append(f"Lay {_plies(step.added[:1])} on level trestles, {down} face down.")
        rest = step.added[1:]
        if rest:
            lines.append(
                f"Lay {_plies(rest)} on it. Line up both ends, the top and every plate; "
                "close the gaps with clamps."
            )
    elif step.added:
        lines.append(
            f"Lay {_plies(step.added)} on the stack. Line up both ends, the top and every plate; "
            "close the gaps with clamps."
        )
    return lines


def _nail(brief: Brief, step: Step) -> list[str]:
    p = step.passed
    if p is None:
        return []
    show = brief.show
    lines = [
        EYES,
        f"Mark the stations from the hook end of each member. Nails {p.nail.key} "
        f"({show.diameter(p.nail.d)} x {show.small(p.nail.length)}), square to the face, "
        "heads flush.",
        _point(brief, p),
    ]
    if brief.girder.predrilled:
        lines.insert(1, f"Drill {show.diameter(hole_max_nail(p.nail.d))} for every nail first.")
    return lines


def _point(brief: Brief, p: Pass) -> str:
    show = brief.show
    through = f"From ply {p.from_ply} into ply {p.to_ply}"
    if p.protrusion > 0 and p.clench:
        return (
            f"{through}: points come out {show.small(p.protrusion)} below; keep them off the "
            "trestles and leave them for now."
        )
    if p.protrusion > 0:
        return f"{through}: points come out {show.small(p.protrusion)}."
    return f"{through}: points end {show.small(p.point_depth)} deep in it."


def _close(brief: Brief, step: Step, spots: Sequence[BoltSpot], specs: Counter[str]) -> list[str]:
    lines = []
    if step.clench:
        lines += [EYES, "Bend every point over across the grain and hammer it flat."]
    if step.bolts and spots:
        lines += [
            _drill(brief, spots),
            _fit(specs),
            "Tighten until the washers just bite and the plies are closed. "
            "Tighten again before loading.",
        ]
    return lines


def _drill(brief: Brief, spots: Sequence[BoltSpot]) -> str:
    """Which hole at which cross, so that nobody has to guess where sizes differ."""
    sizes = sorted({(s.hole, s.bolt.key) for s in spots})
    if len({hole for hole, _ in sizes}) == 1:
        hole = brief.show.diameter(sizes[0][0])
        return f"Drill {hole} holes through all plies at every cross, square to the face."
    each = ", ".join(f"{brief.show.diameter(hole)} for {key}" for hole, key in sizes)
    return f"Drill through all plies at every cross, square to the face: {each}."


def _fit(specs: Counter[str]) -> str:
    """How many bolts of which size, and what goes on their ends: a rod has no head."""
    bolts = ", ".join(f"{n} of {spec}" for spec, n in sorted(specs.items()))
    rods = [spec.endswith("threaded rod") for spec in specs]
    if all(rods):
        return f"Fit {bolts}: a washer and a nut at both ends."
    if any(rods):
        return f"Fit {bolts}: a washer at both ends, under head or nut."
    return f"Fit bolts, {bolts}: a washer under head and nut."


def _hold(step: Step, following: Step | None, bolted: bool) -> str:
    if following is None:
        tight = "every bolt tight, " if bolted else ""
        return f"Before lifting: every stage counted, {tight}plies closed."
    if following.added and step.passed:
        return (
            f"Before laying {_plies(following.added)}: nails of stage {step.number} counted and "
            "none missing; their heads are covered for good after that."
        )
    if following.turn:
        return f"Before turning over: nails of stage {step.number} counted and none missing."
    return ""
