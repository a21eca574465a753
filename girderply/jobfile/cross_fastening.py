"""Checks across the values of `[fastening]`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.cross_basis import basis_in
from girderply.jobfile.cross_girder import member_ids, unknown
from girderply.jobfile.cross_screws import plausible_screw
from girderply.jobfile.paths import Loc, error, table, tables
from girderply.units.parse import QuantityError, parse_quantity
from girderply.units.short_text import did_you_mean, one_of, shown

_LENGTH_ENDS: Final = (
    "pitch",
    "centres",
    "gauge",
    "reach",
    "clearance",
    "step",
    "hole",
    "tolerance",
    "edge_min",
    "end_min",
    "depth_up_to",
    "clench_min",
    "clench_max",
)


def is_length(name: str) -> bool:
    """Tell whether a value of a rule set is a length, by the last word of its name.

    Multiples of a diameter end in `_d`, multiples of a thickness in `_thickness`.
    """
    return name.endswith(_LENGTH_ENDS)


def fastening_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """One rule set; each prescribed pattern for a role or for members; lengths that are lengths."""
    fastening = table(data, "fastening")
    if "rules" in fastening and "rules_file" in fastening:
        message = "rules and rules_file are both given; one of the two is allowed"
        yield error("rules-or-file", ("fastening",), message)
    for name, value in table(fastening, "overrides").items():
        yield from _override(name, value, system)
    yield from _faces(table(data, "assembly"), table(fastening, "overrides"))
    yield from _screws(data, fastening, system)
    members = member_ids(data)
    for i, entry in tables(fastening, "prescribed"):
        yield from _prescribed(entry, ("fastening", "prescribed", i), members)


def _faces(assembly: Mapping[str, Any], overrides: Mapping[str, Any]) -> Iterator[Finding]:
    """A face that nails are to be driven from can be reached."""
    faces, asked = assembly.get("faces", "both"), overrides.get("driving_face")
    if asked is None or faces in ("both", asked):
        return
    message = (
        f"{shown(asked)}, but [assembly] faces = {shown(faces)}: only that face can be reached; "
        f'{shown(faces)} is allowed, or faces = "both"'
    )
    yield error("face-out-of-reach", ("fastening", "overrides", "driving_face"), message)


def _screws(
    data: Mapping[str, Any], fastening: Mapping[str, Any], system: str
) -> Iterator[Finding]:
    """The screw chosen must be declared, once, by the right standard; its sizes must fit."""
    keys = [entry.get("key") for _, entry in tables(fastening, "screws")]
    for i, entry in tables(fastening, "screws"):
        loc: Loc = ("fastening", "screws", i)
        if keys.count(entry.get("key")) > 1:
            message = f"{shown(entry.get('key'))} is declared more than once"
            yield error("twice", (*loc, "key"), message)
        yield from _sizes(entry, loc, system)
        yield from plausible_screw(entry, loc, system)
    chosen = fastening.get("screw")
    if chosen is None:
        return
    known = [k for k in keys if isinstance(k, str)]
    if chosen not in known:
        told = f"declared are {one_of(known)}" if known else "no [[fastening.screws]] is declared"
        message = f"{shown(chosen)} is not among the screws of this job; {told}"
        yield error("unknown-choice", ("fastening", "screw"), message, did_you_mean(chosen, known))
    if "nail" in fastening or any("nail" in p for _, p in tables(fastening, "prescribed")):
        message = "a nail and a screw are both named; the screw takes the place of every nail"
        yield error("nail-or-screw", ("fastening", "screw"), message)
    basis = basis_in(data, system)
    if basis and basis.screws:
        message = f"{basis.name} does not count on this screw: {basis.screws}"
        yield error("screw-by-other-standard", ("fastening", "screw"), message)


def _sizes(entry: Mapping[str, Any], loc: Loc, system: str) -> Iterator[Finding]:
    """Root within shank within head, thread within length, hole no wider than the thread."""
    pairs = (
        ("d_root", "d", "the root of a thread is thinner than the thread"),
        ("d_shank", "d", "the smooth shank is no thicker than the thread"),
        ("d", "head", "a head is wider than the thread"),
        ("thread", "length", "the thread is no longer than the screw"),
        ("drill", "d", "the hole is no wider than the thread"),
    )
    for small, large, reason in pairs:
        one, two = (_length(entry.get(name), system) for name in (small, large))
        if one is not None and two is not None and one > two:
            message = f"{small} {shown(entry[small])} is more than {large}: {reason}"
            yield error("bad-value", (*loc, small), message)


def _length(value: object, system: str) -> float | None:
    try:
        return parse_quantity(value, "length", system)
    except QuantityError:
        return None


def _override(name: str, value: object, system: str) -> Iterator[Finding]:
    if not is_length(name):
        return
    try:
        negative = parse_quantity(value, "length", system) < 0
    except QuantityError as problem:
        yield error("quantity", ("fastening", "overrides", name), str(problem))
        return
    if negative:
        message = f"{shown(value)} is negative; a length of 0 or more is needed"
        yield error("bad-value", ("fastening", "overrides", name), message)


def _prescribed(entry: Mapping[str, Any], loc: Loc, members: tuple[str, ...]) -> Iterator[Finding]:
    if ("role" in entry) == bool(entry.get("members")):
        message = "a prescribed pattern is for a role or for members; exactly one is needed"
        yield error("role-or-members", loc, message)
    named = entry.get("members")
    if members and isinstance(named, list):
        words = [n for n in named if isinstance(n, str)]
        yield from unknown(words, members, (*loc, "members"), "a member's id")
