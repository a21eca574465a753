"""Checks across the values of `[[loads]]`: what is given together, series, how many there are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.cross_basis import basis_in
from girderply.jobfile.cross_girder import member_ids, repeated, unknown
from girderply.jobfile.paths import Loc, error, table, tables
from girderply.units.parse import Dimension, QuantityError, parse_quantity
from girderply.units.short_text import did_you_mean, one_of, shown
from girderply.units.show import Printed
from girderply.wording import ENGLISH

MOST_IN_SERIES: Final = 500
MOST_TOGETHER: Final = 2000
_PARTS: Final = ("permanent", "variable", "uplift")


def understood(value: object, dimension: Dimension, system: str) -> float | None:
    """The quantity in internal units, or None where the schema finds fault with it."""
    try:
        return parse_quantity(value, dimension, system)
    except QuantityError:
        return None


def load_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """Values that exclude each other, series that end before they begin, too many loads."""
    loads = tables(data, "loads")
    plies = table(data, "girder").get("plies")
    members = member_ids(data)
    if len(loads) > MOST_TOGETHER:
        return  # the schema says so; what is in each of them is of no use to anybody
    yield from repeated(loads, ("loads",))
    yield from _one_name_each(loads, system)
    for i, load in loads:
        loc: Loc = ("loads", i)
        yield from _values(load, loc, system)
        yield from _series(load, loc, system)
        yield from _reach(load, loc, plies)
        yield from _bracket(load, loc)
        yield from _bolts_beside(load, loc, system)
        yield from _fixing(load, loc, data, system)
        if members and isinstance(load.get("chord"), str):
            yield from unknown([load["chord"]], members, (*loc, "chord"), "a member's id")
    yield from _together(loads_count(data, system))


def loads_count(data: Mapping[str, Any], system: str) -> int:
    """How many hung loads there are when every series is written out."""
    counts = (_repeats(load, system) for _, load in tables(data, "loads"))
    return sum(1 if n is None else n for n in counts)


def _one_name_each(
    loads: Sequence[tuple[int, Mapping[str, Any]]], system: str
) -> Iterator[Finding]:
    """Names that a person reads must each be one load's, said aloud too.

    The third truss of series T1 is called T1-3 on every sheet, and an entry without a name is
    called by its number: another load of that name would be taken for it.
    """
    owner: dict[str, tuple[int, str]] = {}
    seen: set[str] = set()
    for i, load in loads:
        given = load.get("id")
        if given is not None and (not isinstance(given, str) or given.casefold() in seen):
            continue  # no name, or one that is given twice, which is told by itself
        seen |= {given.casefold()} if given else set()
        for name, told in _names(given, i, _repeats(load, system)):
            other, what = owner.setdefault(name.casefold(), (i, told))
            if other != i:
                message = f"{told} has the name of {what}"
                tip = "name them apart: every hung load has a name of its own on the sheets"
                yield error("names-clash", ("loads", i, "id"), message, tip)
                break


def _names(given: str | None, i: int, count: int | None) -> Iterator[tuple[str, str]]:
    """Each name that an entry's loads bear, and what bears it, in words."""
    base = given or f"L{i + 1}"
    told = f"load {shown(base)}" if given else f"loads[{i + 1}], which is called {base},"
    if count is None:
        yield base, told
        return
    yield base, f"the series {shown(base)}"
    for k in range(1, min(count, MOST_IN_SERIES) + 1):
        yield f"{base}-{k}", f"number {k} of the series {shown(base)}"


def _together(count: int) -> Iterator[Finding]:
    if count > MOST_TOGETHER:
        message = f"{count} hung loads in all; at most {MOST_TOGETHER} are allowed"
        yield error("too-many-loads", ("loads",), message)


def _named(load: Mapping[str, Any]) -> str:
    name = load.get("id")
    return f"load {shown(name)}" if isinstance(name, str) else "this load"


def _values(load: Mapping[str, Any], loc: Loc, system: str) -> Iterator[Finding]:
    parts = [p for p in _PARTS if p in load]
    if "cases" in load:
        return  # of `cross_cases`
    if "design" in load and parts:
        message = f"{_named(load)} has design and also {' and '.join(parts)}"
        yield error("design-or-parts", loc, f"{message}; one or the other is allowed")
    elif "design" not in load and not parts:
        message = f"{_named(load)} has no value; permanent, variable, uplift or design is needed"
        yield error("missing-key", loc, message)
    else:
        sizes = [understood(load[p], "force", system) for p in (*_PARTS, "design") if p in load]
        if all(s == 0 for s in sizes):
            message = f"{_named(load)} is zero; at least one value other than 0 is needed"
            yield error("zero-load", loc, message)


def _series(load: Mapping[str, Any], loc: Loc, system: str) -> Iterator[Finding]:
    for given, wanted in (("to", "every"), ("every", "to")):
        if given in load and wanted not in load:
            message = f"{_named(load)} has {given} without {wanted}; a series needs both"
            yield error("missing-key", (*loc, wanted), message)
    start, end = (understood(load.get(k), "length", system) for k in ("at", "to"))
    if start is not None and end is not None and end < start:
        show = Printed(system, ENGLISH)
        message = f"the series of {_named(load)} ends at {show.span(end)}"
        yield error("series", (*loc, "to"), f"{message}, before it begins at {show.span(start)}")
    count = _repeats(load, system)
    if count is not None and count > MOST_IN_SERIES:
        message = f"the series of {_named(load)} has {count} loads"
        yield error("too-many-loads", (*loc, "every"), f"{message}; at most {MOST_IN_SERIES}")


def _repeats(load: Mapping[str, Any], system: str) -> int | None:
    start, end, step = (understood(load.get(k), "length", system) for k in ("at", "to", "every"))
    if start is None or end is None or step is None or step <= 0 or end < start:
        return None
    # A hundredth of a step forgives what inches lose on the way to mm.
    return math.floor(min((end - start) / step, 1e9) + 0.01) + 1


def _reach(load: Mapping[str, Any], loc: Loc, plies: object) -> Iterator[Finding]:
    reached = load.get("plies_reached")
    if isinstance(reached, int) and isinstance(plies, int) and reached > plies >= 2:
        message = f"{_named(load)} reaches {shown(reached)} plies, but there are {shown(plies)}"
        yield error("plies-reached", (*loc, "plies_reached"), message)
    if load.get("face") == "top" and "plies_reached" in load:
        message = f'{_named(load)} enters all plies (face = "top"); plies_reached is for a face'
        yield error("plies-reached", (*loc, "plies_reached"), message)


def _bracket(load: Mapping[str, Any], loc: Loc) -> Iterator[Finding]:
    bracket = table(load, "bracket")
    if load.get("face") == "top" and bracket:
        message = f'{_named(load)} has face = "top"; a bracket hangs on the front or back face'
        yield error("bracket", (*loc, "bracket"), message)
    if bracket.get("bolts") and "bolt" not in bracket:
        message = f'the bracket of {_named(load)} has bolts but no size; add bolt = "M12" or such'
        yield error("missing-key", (*loc, "bracket", "bolt"), message)
    if "bolt" in bracket and not bracket.get("bolts"):
        message = f"the bracket of {_named(load)} has a bolt size but says nowhere where bolts are"
        yield error("missing-key", (*loc, "bracket", "bolts"), message)


def _bolts_beside(load: Mapping[str, Any], loc: Loc, system: str) -> Iterator[Finding]:
    """Bolts of a bracket that stand beside its footprint: they hold nothing of it."""
    show = Printed(system, ENGLISH)
    bracket = table(load, "bracket")
    for key, across in (("along", "width"), ("across", "height")):
        size = understood(bracket.get(across), "length", system)
        for k, bolt in tables(bracket, "bolts"):
            at = understood(bolt.get(key), "length", system)
            if size is not None and at is not None and abs(at) > size / 2:
                message = (
                    f"the bolt at {show.small(at)} of {_named(load)} stands beside its bracket, "
                    f"which is {show.small(size)} {'wide' if key == 'along' else 'high'}; "
                    f"{show.small(size / 2)} from its centre is the most"
                )
                yield error("bolt-beside", (*loc, "bracket", "bolts", k, key), message)


def _fixing(
    load: Mapping[str, Any], loc: Loc, data: Mapping[str, Any], system: str
) -> Iterator[Finding]:
    """Nails by shank and length, or one of the job's screws; never both."""
    fixing, at = table(table(load, "bracket"), "fixing"), (*loc, "bracket", "fixing")
    if not fixing:
        return
    nails = [k for k in ("d", "length") if k in fixing]
    screw = fixing.get("screw")
    if screw is None:
        for name in [k for k in ("d", "length") if k not in fixing]:
            message = (
                f"the fixing of {_named(load)} has no {name}; d and length, or screw, is needed"
            )
            yield error("missing-key", (*at, name), message)
        return
    if nails:
        message = f"the fixing of {_named(load)} has screw and also {' and '.join(nails)}"
        yield error("nail-or-screw", at, f"{message}; the screw's own sizes are declared")
    entries = tables(table(data, "fastening"), "screws")
    known = [e["key"] for _, e in entries if isinstance(e.get("key"), str)]
    if screw not in known:
        told = f"declared are {one_of(known)}" if known else "no [[fastening.screws]] is declared"
        message = f"{shown(screw)} is not among the screws of this job; {told}"
        yield error("unknown-choice", (*at, "screw"), message, did_you_mean(screw, known))
    basis = basis_in(data, system)
    if basis and basis.screws:
        message = f"{basis.name} does not count on this screw: {basis.screws}"
        yield error("screw-by-other-standard", (*at, "screw"), message)
