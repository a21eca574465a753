"""What changed between two issued schedules, in sentences for people.

Both sides are the contract (schedule.json), since of an earlier issue only that is kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.exchange.register.match import Pairs, how, match
from girderply.units.show import Printed
from girderply.wording import ENGLISH

Plain = dict[str, Any]
NOTHING = "Nothing in the girder or its fastening; only what the sheets say about the job."
GONE = "The schedule of that revision is not beside the register any more; its counts tell this:"
_PLURAL = {str(kind): f"{kind}s" for kind in FastenerKind}
_GIRDER = {
    "quantity": "girders to make",
    "plies": "plies",
    "timber": "timber",
}
_SIZES = {
    "ply_thickness_mm": "ply thickness",
    "length_mm": "length of the girder",
    "height_mm": "height of the girder",
}


def changed_words(before: Plain, after: Plain) -> tuple[str, ...]:
    """Sentences, the gravest first: may it be assembled, the girder, fasteners, stages, the rest.

    Args:
        before: contract of the earlier issue (`girderply.schedule.contract`).
        after: contract of the same girder now.
    """
    show = Printed(after["job"]["units"], ENGLISH)
    words = [
        *_assembly(before, after),
        *_girder(before, after, show),
        *_parts(before, after),
        *_fasteners(before, after, show),
        *_stages(before, after),
        *_basis(before, after),
    ]
    return tuple(words) or (NOTHING,)


def count_words(before: Mapping[str, int], after: Plain) -> tuple[str, ...]:
    """What the numbers by spec alone tell, where the earlier schedule is lost."""
    return GONE, *(tuple(_counts(before, after)) or ("The same number of each fastener.",))


def _assembly(before: Plain, after: Plain) -> Iterator[str]:
    if before["for_assembly"] and not after["for_assembly"]:
        yield "NOT FOR ASSEMBLY now: a check fails or a finding is an error; it was good before."
    if after["for_assembly"] and not before["for_assembly"]:
        yield "Good for assembly now; the revision before was not."


def _girder(before: Plain, after: Plain, show: Printed) -> Iterator[str]:
    one, two = before["girder"], after["girder"]
    for key, name in _GIRDER.items():
        if one.get(key) != two.get(key):
            yield f"{name.capitalize()}: {two.get(key)} instead of {one.get(key)}."
    for key, name in _SIZES.items():
        if one[key] != two[key]:
            size = show.small if key == "ply_thickness_mm" else show.span
            yield f"{name.capitalize()}: {size(two[key])} instead of {size(one[key])}."


def _parts(before: Plain, after: Plain) -> Iterator[str]:
    """Members, nail plates, hung loads and brackets: new, gone, or not as they were."""
    kinds = (
        ("members", "id", "Member"),
        ("plates", "joint", "Nail plate at"),
        ("loads", "id", "Hung load"),
        ("brackets", "load", "Bracket of"),
    )
    for kind, key, name in kinds:
        one, two = (
            {x[key]: _of_itself(x, side) for x in side.get(kind, [])} for side in (before, after)
        )
        groups = {
            "new": [k for k in two if k not in one],
            "gone": [k for k in one if k not in two],
            "not as before": [k for k in two if k in one and one[k] != two[k]],
        }
        for word, ids in groups.items():
            if ids:
                yield f"{name} {_listed(ids)}: {word}."


def _of_itself(part: Plain, side: Plain) -> Plain:
    """A part without what it has of the girder: its timber is told once, for all members."""
    same = part.get("timber") == side["girder"].get("timber")
    return {k: v for k, v in part.items() if k != "timber" or not same}


def _fasteners(before: Plain, after: Plain, show: Printed) -> Iterator[str]:
    """What is other, more, less, elsewhere; totals alone where the number of plies differs."""
    if before["girder"]["plies"] != after["girder"]["plies"]:
        yield "Everything is fastened anew, since the number of plies differs:"
        yield from _counts(Counter(f["spec"] for f in before["fasteners"]), after)
        return
    members = dict.fromkeys(m["id"] for side in (after, before) for m in side["members"])
    one, two = _by_member(before, members), _by_member(after, members)
    pairs = {m: match(one[m], two[m]) for m in members}
    yield from _other_spec(pairs)
    yield from _more_and_less(pairs)
    yield from _moved(pairs, show)
    yield from _other_way(pairs)


def _counts(before: Mapping[str, int], after: Plain) -> Iterator[str]:
    now = Counter(f["spec"] for f in after["fasteners"])
    for spec in sorted({*before, *now}):
        if now[spec] != before.get(spec, 0):
            yield f"{spec}: {now[spec]} instead of {before.get(spec, 0)}."


def _by_member(side: Plain, members: Iterable[str]) -> dict[str, list[Plain]]:
    groups: dict[str, list[Plain]] = {m: [] for m in members}
    for f in side["fasteners"]:
        groups[f["member"]].append(f)
    return groups


Tally = dict[tuple[Any, ...], Counter[str]]  # what -> member -> number


def _tally(found: Iterable[tuple[tuple[Any, ...], str]]) -> Tally:
    tally: Tally = {}
    for key, member in found:
        tally.setdefault(key, Counter())[member] += 1
    return tally


def _where(members: Counter[str]) -> str:
    """How many in which member, in the girder's order."""
    return ", ".join(f"{n} in {member}" for member, n in members.items())


def _other_spec(pairs: Mapping[str, Pairs]) -> Iterator[str]:
    tally = _tally(
        ((new["kind"], old["spec"], new["spec"]), member)
        for member, found in pairs.items()
        for old, new in found.other_spec
    )
    for (kind, old, new), where in sorted(tally.items()):
        yield f"Another {kind}: {where.total()} of {new} instead of {old} ({_where(where)})."


def _more_and_less(pairs: Mapping[str, Pairs]) -> Iterator[str]:
    for words, name in (("added", "added"), ("taken out", "removed")):
        tally = _tally(
            ((f["kind"], f["spec"], f["stage"]), member)
            for member, found in pairs.items()
            for f in getattr(found, name)
        )
        for (kind, spec, stage), where in sorted(tally.items()):
            many = _many(where.total(), kind)
            yield f"{many} {spec} {words}, stage {stage} ({_where(where)})."


def _moved(pairs: Mapping[str, Pairs], show: Printed) -> Iterator[str]:
    rows = [(new, far, m) for m, found in pairs.items() for _, new, far in found.moved]
    tally = _tally(((new["kind"], new["spec"]), member) for new, _, member in rows)
    for (kind, spec), where in sorted(tally.items()):
        most = max(far for new, far, _ in rows if (new["kind"], new["spec"]) == (kind, spec))
        many = _many(where.total(), kind)
        yield f"{many} {spec} moved, by up to {show.small(most)} ({_where(where)})."


def _other_way(pairs: Mapping[str, Pairs]) -> Iterator[str]:
    tally = _tally(
        ((new["kind"], *how(old, new)), member)
        for member, found in pairs.items()
        for old, new in found.other_way
    )
    for (kind, before, now), where in sorted(tally.items()):
        yield f"{_many(where.total(), kind)} {now} instead of {before} ({_where(where)})."


def _stages(before: Plain, after: Plain) -> Iterator[str]:
    one, two = ({s["number"]: s for s in side["stages"]} for side in (before, after))
    for number in sorted({*one, *two}):
        if number not in one:
            yield f"Stage {number} is new: {two[number]['title']}."
        elif number not in two:
            yield f"Stage {number} is gone: {one[number]['title']}."
        else:
            yield from _stage(one[number], two[number])


def _stage(one: Plain, two: Plain) -> Iterator[str]:
    number = two["number"]
    if one["title"] != two["title"]:
        yield f"Stage {number}: {two['title']}; before: {one['title']}."
    elif one["action"] != two["action"] or one["hold_point"] != two["hold_point"]:
        yield f"Stage {number}: what is to be done reads differently."
    if one["face_up"] != two["face_up"]:
        yield f"Stage {number}: {two['face_up']} face up; before {one['face_up']} face up."


def _basis(before: Plain, after: Plain) -> Iterator[str]:
    for key, name in (("standard", "Standard"), ("rules_title", "Rule set")):
        if before["basis"].get(key) != after["basis"].get(key):
            yield f"{name}: {after['basis'].get(key)} instead of {before['basis'].get(key)}."
    rest = ("standard", "rules_title", "rules", "rules_source")
    one, two = ({k: v for k, v in s["basis"].items() if k not in rest} for s in (before, after))
    if one != two:
        yield "What the checks are based on (factors, classes) is not as before."


def _many(n: int, kind: str) -> str:
    return f"{n} {kind if n == 1 else _PLURAL.get(kind, kind)}"


def _listed(names: Iterable[str], most: int = 8) -> str:
    found = list(names)
    if len(found) <= most:
        return ", ".join(found)
    return f"{', '.join(found[:most])} and {len(found) - most} more"
