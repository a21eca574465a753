"""Nodes and members before anything is cut: what a shape and a list of nodes both become."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from girderply.errors import Finding, Severity
from girderply.jobfile.job import GirderSpec, MemberSpec, Point
from girderply.model.girder import Array
from girderply.model.lines import Axis, axis_through

BUTT = 6.0  # butt cut left at a heel, mm: common practice, no source
BUTT_IMPERIAL = 6.35  # 1/4 in: common practice, no source
OFF_LINE = 5.0  # a node may be this far off its straight chord (rounded input), mm
SHORTEST = 1.0  # members and boards shorter than this are no members, mm


@dataclass(frozen=True, slots=True)
class Frame:
    """Nodes and members of one ply, uncut.

    Attributes:
        nodes: (2,) positions by node id, mm.
        members: in the order in which they are listed everywhere.
        butts: butt cut in mm left at a heel, by node id; `butt` where a node is not named.
        raised: how far the centreline of a chord lies above the line of its nodes, mm, by id.
    """

    nodes: Mapping[str, Array]
    members: tuple[MemberSpec, ...]
    butt: float = BUTT
    butts: Mapping[str, float] = field(default_factory=dict)
    raised: Mapping[str, float] = field(default_factory=dict)

    def axis(self, member: MemberSpec) -> Axis:
        """Centreline of a member from its first node to its last."""
        line, raised = self.line(member), self.raised.get(member.id, 0.0)
        if not raised:
            return line
        up = line.n if line.n[1] >= 0 else -line.n
        return replace(line, point=line.point + raised * up)

    def line(self, member: MemberSpec) -> Axis:
        """The line of a member's nodes: its centreline, unless that is raised."""
        return axis_through(self.nodes[member.nodes[0]], self.nodes[member.nodes[-1]], member.depth)

    def at(self, node: str) -> tuple[MemberSpec, ...]:
        """Members that have this node."""
        return tuple(m for m in self.members if node in m.nodes)

    def joints(self) -> tuple[str, ...]:
        """Nodes where members meet: bottom chord left to right, top chord, then the rest."""
        shared = [k for k in self.nodes if len(self.at(k)) > 1]
        return tuple(sorted(shared, key=lambda k: (self._level(k), *self.nodes[k])))

    def _level(self, node: str) -> int:
        roles = {m.role.value for m in self.at(node)}
        return 0 if "bottom chord" in roles else 1 if "top chord" in roles else 2


def error(code: str, where: str, message: str, tip: str = "") -> Finding:
    """A finding that stops the build."""
    return Finding(code, Severity.ERROR, where, message, tip=tip)


def nearest(word: str, known: Iterable[str]) -> str:
    """A tip that names the nearest right word, or all that are known."""
    words = list(known)
    close = difflib.get_close_matches(word, words, n=1, cutoff=0.4)
    if close:
        return f"did you mean {close[0]!r}?"
    return "known: " + ", ".join(words[:20]) if words else "none are known here"


def is_end(member: MemberSpec, node: str) -> bool:
    """True when a member ends at a node, False when it runs on."""
    return node in (member.nodes[0], member.nodes[-1])


def frame_from_lists(spec: GirderSpec, butt: float) -> tuple[Frame | None, list[Finding]]:
    """Take nodes and members as given; the frame is None when a finding is an error."""
    findings = [*_node_faults(spec), *_member_faults(spec)]
    if findings:
        return None, findings
    nodes = {n.id: np.array([n.x, n.y], float) for n in spec.nodes}
    frame = Frame(nodes, spec.members, butt, _butts_drawn(nodes, spec.members))
    findings = [*_length_faults(frame), *align_faults(frame)]
    if not findings:
        frame = replace(frame, raised=raised_by(frame))
    if not findings:
        findings = [*_line_faults(frame), *_meeting_faults(frame)]
    return (None if findings else frame), findings


def _beside(frame: Frame, m: MemberSpec) -> list[MemberSpec]:
    """Runs of the same chord, on their nodes, that a run meets end to end."""
    ends = {m.nodes[0], m.nodes[-1]}
    return [
        o
        for o in frame.members
        if o.id != m.id and o.role is m.role and o.align == "centre"
        and ends & {o.nodes[0], o.nodes[-1]}
    ]  # fmt: skip


def align_faults(frame: Frame) -> Iterator[Finding]:
    """Members that cannot be aligned: webs, and chords with nothing beside them, or two depths."""
    for m in frame.members:
        if m.align == "centre":
            continue
        where, depths = f"girder.members.{m.id}.align", {o.depth for o in _beside(frame, m)}
        if not m.role.is_chord:
            yield error("align-web", where, f"{m.id} is a web; only a chord is aligned with a run")
        elif len(depths) != 1:
            yield error(
                "align-with-nothing",
                where,
                f"{m.id} needs one depth to be level with; the runs of its chord that end where it "
                f"ends and are not aligned themselves have {len(depths)}",
                'align = "centre" on the run that the others follow, "underside" or "top" on those',
            )


def raised_by(frame: Frame) -> dict[str, float]:
    """How far the centrelines of aligned chords lie above their nodes, mm."""
    found = {}
    for m in frame.members:
        if m.align != "centre":
            more = (m.depth - _beside(frame, m)[0].depth) / 2
            found[m.id] = more if m.align == "underside" else -more
    return found


def _butts_drawn(nodes: Mapping[str, Array], members: Iterable[MemberSpec]) -> dict[str, float]:
    """How high the outer faces of bottom chords are that are outlined as really cut, mm."""
    butts: dict[str, float] = {}
    for m in members:
        first, last = nodes[m.nodes[0]], nodes[m.nodes[-1]]
        corners = np.asarray(m.outline or (), float).reshape(-1, 2)
        drawn = len(corners) > 2 and bool(np.isfinite(corners).all())
        if m.role.value != "bottom chord" or not drawn or not np.any(first != last):
            continue
        axis = axis_through(first, last, m.depth)
        along = axis.along(corners)
        across = np.array([axis.side(p) for p in corners])
        for node, end in ((m.nodes[0], along.min()), (m.nodes[-1], along.max())):
            face = across[np.abs(along - end) < SHORTEST]
            butts[node] = float(face.max() - face.min())
    return butts


def _repeated(ids: Iterable[str]) -> list[str]:
    seen: set[str] = set()
    return [i for i in ids if i in seen or seen.add(i)]  # type: ignore[func-returns-value]


def _node_faults(spec: GirderSpec) -> Iterator[Finding]:
    if not spec.nodes:
        yield error("no-nodes", "girder.nodes", "members are given without any nodes")
    for i in _repeated(n.id for n in spec.nodes):
        yield error("id-twice", f"girder.nodes.{i}", f"node {i!r} is given twice")
    for n in spec.nodes:
        if not (math.isfinite(n.x) and math.isfinite(n.y)):
            yield error("not-finite", f"girder.nodes.{n.id}", f"x={n.x}, y={n.y} is no position")


def _member_faults(spec: GirderSpec) -> Iterator[Finding]:
    known = [n.id for n in spec.nodes]
    for i in _repeated(m.id for m in spec.members):
        yield error("id-twice", f"girder.members.{i}", f"member {i!r} is given twice")
    for m in spec.members:
        where = f"girder.members.{m.id}"
        if not (math.isfinite(m.depth) and m.depth >= SHORTEST):
            yield error("zero-length", where, f"depth {m.depth:g} mm must be more than zero")
        if len(m.nodes) < 2:
            yield error("zero-length", where, "a member needs two nodes, one for each end")
        for k in m.nodes:
            if k not in known:
                yield error(
                    "unknown-node", f"{where}.nodes", f"there is no node {k!r}", nearest(k, known)
                )
    for role in ("top chord", "bottom chord"):
        if not any(m.role.value == role for m in spec.members):
            yield error("no-chord", "girder.members", f"no member has the role {role!r}")


def _length_faults(frame: Frame) -> Iterator[Finding]:
    for m in frame.members:
        first, last = frame.nodes[m.nodes[0]], frame.nodes[m.nodes[-1]]
        if np.hypot(*(last - first)) < SHORTEST:
            yield error(
                "zero-length",
                f"girder.members.{m.id}",
                f"{m.id} has no length: its ends {m.nodes[0]} and {m.nodes[-1]} coincide",
            )


def _line_faults(frame: Frame) -> Iterator[Finding]:
    for m in frame.members:
        axis = frame.line(m)
        points = np.array([frame.nodes[k] for k in m.nodes])
        for k, off in zip(m.nodes, np.abs((points - axis.point) @ axis.n), strict=True):
            if off > OFF_LINE:
                yield error(
                    "not-straight",
                    f"girder.members.{m.id}.nodes",
                    f"node {k} is {off:.0f} mm off the straight line of {m.id}; "
                    f"at most {OFF_LINE:g} mm is taken as rounding",
                    "split the chord into runs where it changes direction",
                )
        if np.any(np.diff(axis.along(points)) < SHORTEST):
            yield error(
                "not-straight",
                f"girder.members.{m.id}.nodes",
                f"the nodes of {m.id} are not in order along it, or two coincide",
            )


def _meeting_faults(frame: Frame) -> Iterator[Finding]:
    for m in frame.members:
        if m.role.is_chord:
            continue
        for k in (m.nodes[0], m.nodes[-1]):
            if len(frame.at(k)) < 2:
                yield error(
                    "members-do-not-meet",
                    f"girder.members.{m.id}",
                    f"{m.id} ends at node {k}, where no other member meets it",
                    "name a node of the chord it runs to, and list that node in the chord",
                )
    apart = _not_connected(frame)
    if apart:
        yield error(
            "members-do-not-meet",
            "girder.members",
            f"{', '.join(apart)} share no node with the rest of the girder",
        )


def _not_connected(frame: Frame) -> list[str]:
    reached, todo = set[str](), [frame.members[0]]
    while todo:
        m = todo.pop()
        if m.id not in reached:
            reached.add(m.id)
            todo += [o for k in m.nodes for o in frame.at(k)]
    return [m.id for m in frame.members if m.id not in reached]


def as_point(xy: Array) -> Point:
    """Plain rounded floats of a (2,) position, mm."""
    return (round(float(xy[0]), 6) + 0.0, round(float(xy[1]), 6) + 0.0)
