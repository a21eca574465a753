"""Checks across the values of `[girder]`: shape or nodes, references, repeated names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from girderply.errors import Finding
from girderply.jobfile.paths import Loc, error, table, tables
from girderply.shapes.all_shapes import shapes
from girderply.shapes.faults import key_faults
from girderply.units.short_text import did_you_mean, shown


def girder_findings(data: Mapping[str, Any]) -> Iterator[Finding]:
    """Shape or nodes and members, never both; every name known and used once."""
    girder = table(data, "girder")
    yield from _shape_or_members(girder)
    if isinstance(girder.get("shape"), Mapping):
        yield from _shape(table(girder, "shape"))
    for kind in ("nodes", "members"):
        yield from repeated(tables(girder, kind), ("girder", kind))
    yield from _members(girder)
    yield from _by_member(girder)
    yield from _plates(girder)


def repeated(entries: Sequence[tuple[int, Mapping[str, Any]]], loc: Loc) -> Iterator[Finding]:
    """Ids that stand twice in a list of tables."""
    first: dict[str, int] = {}
    for i, entry in entries:
        name = entry.get("id")
        if not isinstance(name, str):
            continue
        said = name.casefold()
        if said in first:
            message = f"{shown(name)} is already the id of number {first[said] + 1}"
            alike = "" if _id_at(entries, first[said]) == name else " (said aloud)"
            yield error("repeated-id", (*loc, i, "id"), f"{message}{alike}; each id is used once")
        first.setdefault(said, i)


def _id_at(entries: Sequence[tuple[int, Mapping[str, Any]]], number: int) -> object:
    """The id of the table at this position."""
    return next((entry.get("id") for i, entry in entries if i == number), None)


def member_ids(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Ids of members given outright; empty for a shape, whose members the model names."""
    found = (m.get("id") for _, m in tables(data, "girder", "members"))
    return tuple(name for name in found if isinstance(name, str))


def _shape_or_members(girder: Mapping[str, Any]) -> Iterator[Finding]:
    by_shape, by_hand = "shape" in girder, "nodes" in girder or "members" in girder
    if not girder:
        return
    if by_shape and by_hand:
        message = "a shape and nodes or members are given; one of the two is allowed"
        yield error("shape-or-members", ("girder",), message)
    elif not by_shape and not by_hand:
        message = "neither [girder.shape] nor [[girder.nodes]] with [[girder.members]] is given"
        yield error("shape-or-members", ("girder",), f"{message}; one of the two is needed")
    if by_shape and "sections" not in girder:
        message = "a shape needs [girder.sections] with top_chord, bottom_chord and web"
        yield error("missing-key", ("girder", "sections"), message)
    if by_hand and not by_shape:
        yield from _by_hand(girder)


def _by_hand(girder: Mapping[str, Any]) -> Iterator[Finding]:
    if "sections" in girder:
        message = "[girder.sections] belongs to a shape; members have their own depth"
        yield error("shape-or-members", ("girder", "sections"), message)
    for given, wanted in (("nodes", "members"), ("members", "nodes")):
        if given in girder and not girder.get(wanted):
            message = f"[[girder.{given}]] are given without [[girder.{wanted}]]"
            yield error("missing-key", ("girder", wanted), message)


def _shape(given: Mapping[str, Any]) -> Iterator[Finding]:
    kind = given.get("kind")
    shape = shapes().get(kind) if isinstance(kind, str) else None
    if shape is not None:
        yield from key_faults(shape, given)


def _members(girder: Mapping[str, Any]) -> Iterator[Finding]:
    nodes = [n.get("id") for _, n in tables(girder, "nodes")]
    known = [n for n in nodes if isinstance(n, str)]
    for i, member in tables(girder, "members"):
        loc: Loc = ("girder", "members", i)
        named = member.get("nodes")
        if not isinstance(named, list):
            continue
        words = [n for n in named if isinstance(n, str)]
        yield from unknown(words, known, (*loc, "nodes"), "a node of [[girder.nodes]]")
        if len(set(words)) < len(words):
            message = f"a node stands twice in the nodes of {shown(member.get('id'))}"
            yield error("zero-length", (*loc, "nodes"), f"{message}; each stands once, in order")
        if member.get("role") == "web" and len(named) > 2:
            message = f"a web runs between 2 nodes, not over {len(named)}"
            yield error("web-nodes", (*loc, "nodes"), message)
        yield from _outline(member, loc)


def _outline(member: Mapping[str, Any], loc: Loc) -> Iterator[Finding]:
    corners = member.get("outline")
    for k, corner in enumerate(corners if isinstance(corners, list) else []):
        if isinstance(corner, list) and len(corner) != 2:
            message = f"a corner is [x, y], not {len(corner)} values"
            yield error("bad-value", (*loc, "outline", k), message)


def unknown(names: Iterable[str], known: Iterable[str], loc: Loc, what: str) -> Iterator[Finding]:
    """Names that are not among the known ones."""
    right = list(known)
    for name in dict.fromkeys(names):
        if name not in right:
            message = f"{shown(name)} is not {what}"
            yield error("unknown-name", loc, message, did_you_mean(name, right))


def _by_member(girder: Mapping[str, Any]) -> Iterator[Finding]:
    ids = member_ids({"girder": girder})
    for key in ("hook_ends", "timbers") if ids else ():
        for name in table(girder, key):
            yield from unknown([name], ids, ("girder", key, name), "a member's id")


def _plates(girder: Mapping[str, Any]) -> Iterator[Finding]:
    nodes = [str(n.get("id")) for _, n in tables(girder, "nodes")]
    for i, plate in tables(girder, "plates") if nodes else ():
        joint = plate.get("joint")
        names = [joint] if isinstance(joint, str) else []
        loc = ("girder", "plates", i, "joint")
        yield from unknown(names, nodes, loc, "a node of [[girder.nodes]]")


def designer_findings(data: Mapping[str, Any]) -> Iterator[Finding]:
    """What says how the drawing's reactions are meant says nothing without them."""
    designer = table(data, "designer")
    for key in ("reactions_are", "self_weight"):
        if key in designer and not designer.get("reactions"):
            message = f"{key} says how reactions are meant, and no reactions are given"
            yield error("missing-key", ("designer", "reactions"), message)
