"""Single values that a job changes in a rule set: which there are, and what they may be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from girderply.errors import RuleSetError
from girderply.rules.change import (
    change_bolts,
    change_clench,
    change_drive,
    change_rows,
    change_through_bolts,
)
from girderply.rules.rule_set import RuleSet
from girderply.units.parse import QuantityError, parse_quantity
from girderply.units.short_text import did_you_mean, one_of, shown

Value = float | int | str | bool


@dataclass(frozen=True, slots=True)
class Override:
    """What one override may be: `kind` is length (mm), count, flag, word or key.

    `low` and `high` bound lengths (mm) and counts, both included; `words` are the allowed words.
    """

    kind: str
    low: float = 0.0
    high: float = 0.0
    words: tuple[str, ...] = ()
    what: str = ""


OVERRIDES: Mapping[str, Override] = {
    "chord_rows": Override("count", 1, 6, what="rows of nails in every chord"),
    "chord_pitch": Override("length", 20, 1000, what="between nails of one row, chords"),
    "chord_centres": Override("length", 20, 1000, what="from nail to nail of the zigzag, chords"),
    "chord_stagger": Override("flag", what="rows of chords offset by half a pitch"),
    "chord_gauge": Override("length", 5, 400, what="between rows, chords"),
    "web_rows": Override("count", 1, 6, what="rows of nails in every web"),
    "web_pitch": Override("length", 20, 1000, what="between nails of one row, webs"),
    "web_centres": Override("length", 20, 1000, what="from nail to nail of the zigzag, webs"),
    "web_stagger": Override("flag", what="rows of webs offset by half a pitch"),
    "web_gauge": Override("length", 5, 400, what="between rows, webs"),
    "edge_min": Override("length", 1, 200, what="least edge distance of nails"),
    "end_min": Override("length", 1, 500, what="least end distance of nails"),
    "plate_clearance": Override("length", 0, 200, what="fasteners to nail plates"),
    "washer_clearance": Override("length", 0, 200, what="fasteners to washers"),
    "bracket_clearance": Override("length", 0, 200, what="fasteners to brackets"),
    "bolt": Override("key", what="bolt of the catalogue"),
    "washer": Override("key", what="washer of the catalogue, for that bolt"),
    "hole": Override("length", 5, 30, what="drilled for the bolt"),
    "bolt_reach": Override("length", 20, 2000, what="farthest from a joint's plate to its bolt"),
    "bolts_per_joint": Override("count", 1, 4, what="bolts beside every joint"),
    "joint_bolts": Override("flag", what="bolts beside every joint, or none"),
    "mid_compression": Override("flag", what="bolts at mid-length of compression members"),
    "through_bolt_rows": Override("count", 0, 6, what="rows of through bolts along chords"),
    "through_bolt_pitch": Override("length", 50, 2000, what="between through bolts of one row"),
    "driving_face": Override(
        "word", words=("front", "back", "alternate"), what="face that nails are driven from"
    ),
    "clench_min": Override("length", 0, 100, what="least protrusion that is clenched"),
    "clench_max": Override("length", 0, 150, what="greatest protrusion that is clenched"),
    "station_step": Override("length", 1, 50, what="stations are rounded to this"),
    "zone_reach": Override("length", 50, 5000, what="how far a load's zone reaches, either side"),
    # Nails of one row stand 40 mm apart or more: two that are each off by 20 could meet.
    "tolerance": Override("length", 1, 20, what="how far a fastener may be off the drawing"),
    # What a ply is out of line is taken from the edge distance of every nail in it.
    "alignment_tolerance": Override("length", 1, 10, what="how far plies may be out of line"),
}
"""Every value that a job may change, by its name in the job."""

_PLAIN = (
    "plate_clearance",
    "washer_clearance",
    "bracket_clearance",
    "station_step",
    "zone_reach",
    "tolerance",
    "alignment_tolerance",
)


def apply_overrides(
    rules: RuleSet, overrides: Mapping[str, Value], system: str = "metric"
) -> RuleSet:
    """Change single values of a rule set as a job asks.

    Args:
        rules: to start from; it is not changed.
        overrides: name (see `OVERRIDES`) to value; lengths as numbers or with a unit.
        system: what lengths without a unit are in: "metric" (mm) or "imperial" (in).

    Returns:
        The changed rule set. A pitch or centres given for chords holds for the deepest, shallower
        ones change in proportion; a number of rows holds for every depth. Another bolt brings
        its own hole, and its own size of the same washer, unless these are given too.

    Raises:
        RuleSetError: names every override that is unknown (with the nearest right word), out of
            its range, or does not fit the others.
    """
    values, faults = _checked(overrides, system)
    if faults:
        raise RuleSetError("; ".join(faults))
    steps: tuple[Callable[[RuleSet, Mapping[str, Value]], RuleSet], ...] = (
        change_rows,
        _change_plain,
        change_clench,
        change_bolts,
        change_through_bolts,
        change_drive,
    )
    for step in steps:
        rules = step(rules, values)
    return rules


def _change_plain(rules: RuleSet, values: Mapping[str, Value]) -> RuleSet:
    plain = {name: float(values[name]) for name in _PLAIN if name in values}
    limits = {name: float(values[name]) for name in ("edge_min", "end_min") if name in values}
    return replace(rules, limits=replace(rules.limits, **limits), **plain)  # type: ignore[arg-type]


def _checked(given: Mapping[str, Value], system: str) -> tuple[dict[str, Value], list[str]]:
    values: dict[str, Value] = {}
    faults: list[str] = []
    for name, value in given.items():
        known = OVERRIDES.get(name)
        if known is None:
            tip = did_you_mean(name, OVERRIDES) or f"known: {', '.join(OVERRIDES)}"
            faults.append(f"override {shown(name)} is not known; {tip}")
            continue
        try:
            values[name] = _value(known, value, system)
        except ValueError as error:
            faults.append(f"override {name}: {error}")
    return values, faults


def _value(known: Override, value: Value, system: str) -> Value:
    """The value in internal units, or ValueError in words."""
    if known.kind == "flag":
        return _flag(value)
    if known.kind in ("word", "key"):
        return _word(known, value)
    if known.kind == "count":
        return _count(known, value)
    try:
        length = parse_quantity(value, "length", system)
    except QuantityError as error:
        raise ValueError(str(error)) from error
    if not known.low <= length <= known.high:
        raise ValueError(f"{shown(value)} must be {known.low:g} to {known.high:g} mm")
    return length


def _flag(value: Value) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{shown(value)} must be true or false")
    return value


def _word(known: Override, value: Value) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} must be text: {known.what}")
    if known.words and value not in known.words:
        tip = did_you_mean(value, known.words)
        raise ValueError(f"{shown(value)} must be {one_of(known.words)}" + (f"; {tip}" * bool(tip)))
    return value


def _count(known: Override, value: Value) -> int:
    whole = isinstance(value, int) and not isinstance(value, bool)
    if not whole or not known.low <= value <= known.high:  # type: ignore[operator]
        raise ValueError(
            f"{shown(value)} must be a whole number from {known.low:g} to {known.high:g}"
        )
    return int(value)
