"""A job by shape as the same job by nodes and members, so that one web may be deeper.

The file stays as it is, comments and all; only the tables of the shape give way to lists.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from girderply.errors import TraceError
from girderply.jobfile.job import Job, MemberSpec, NodeSpec, UnitSystem
from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder
from girderply.model.frame import BUTT, BUTT_IMPERIAL, Frame
from girderply.model.girder import Array, Girder, Member
from girderply.model.shapes import frame_from_shape
from girderply.tracing.drawing import Point, refusal
from girderply.tracing.job_text import lists_text
from girderply.tracing.traced import TracedGirder
from girderply.units.exact import MM_PER_IN

_HEADER: Final = re.compile(r"\s*\[{1,2}\s*([\w.-]+)\s*\]{1,2}\s*(#.*)?$")
_GONE: Final = ("girder.shape", "girder.sections")
_PARTS: Final = ("girder.sections.members",)
_SAME: Final = 1e-3  # mm that no outline may move


@dataclass(slots=True)
class _Table:
    """A table of the file: its name, and its lines with the comments above its header."""

    name: str
    lines: list[str]


def as_nodes(text: str, folder: str = "") -> tuple[str, TracedGirder]:
    """Write the same job with nodes and members.

    Args:
        text: of a job whose girder is a shape.
        folder: where it lies.

    Raises:
        JobError: the job cannot be read or built.
        TraceError: its girder is no shape, or the shape stands where it cannot be taken out.
    """
    job = parse_job(text, folder)
    if job.girder.shape is None:
        message = "the girder is given by nodes and members already"
        raise TraceError([refusal("no-shape", "girder", message)])
    before, _ = build_girder(job)
    traced = _lists(job, before)
    size = MM_PER_IN if job.info.units is UnitSystem.IMPERIAL else 1.0
    made = _rewritten(text, list(lists_text(traced, size)))
    _same(before, made, folder)
    return made, traced


def _lists(job: Job, girder: Girder) -> TracedGirder:
    """Nodes and members, with the outlines that the usual rules would cut differently."""
    butt = BUTT_IMPERIAL if job.info.units is UnitSystem.IMPERIAL else BUTT
    frame, _ = frame_from_shape(job.girder, butt)
    assert frame is not None, "it was built before"
    nodes = tuple(NodeSpec(k, *_point(at)) for k, at in frame.nodes.items())
    raised = abs(frame.butt - butt) > _SAME  # then the usual rules would cut its heels otherwise
    outlines = {m.id: tuple(_point(p) for p in m.outline) for m in girder.members}
    members = tuple(_member(m, girder.member(m.id), frame) for m in frame.members)
    return TracedGirder(nodes, members, outlines=outlines, blank=not raised)


def _point(at: Array) -> Point:
    return round(float(at[0]), 6) + 0.0, round(float(at[1]), 6) + 0.0


def _member(m: MemberSpec, made: Member, frame: Frame) -> MemberSpec:
    ends = [frame.nodes[m.nodes[0]], frame.nodes[m.nodes[-1]]]
    along = np.asarray(made.far) - np.asarray(made.hook)
    upright = abs(ends[1][0] - ends[0][0]) < 0.02 * float(np.hypot(*(ends[1] - ends[0])))
    forward = along[1] > 0 if upright else along[0] > 0
    hook: Literal["left", "right"] = "left" if forward else "right"
    return MemberSpec(m.id, m.role, m.nodes, m.depth, None, hook, m.compression)


def _rewritten(text: str, lists: list[str]) -> str:
    tables = _tables(text)
    kept = [t for t in tables if t.name not in (*_GONE, *_PARTS)]
    home = [t for t in kept if t.name == "girder"]
    if len(home) != 1 or not {t.name for t in tables}.issuperset(_GONE):
        message = "the shape and its sections do not stand in tables of their own"
        tip = "write them as [girder.shape] and [girder.sections]"
        raise TraceError([refusal("inline-shape", "girder.shape", message, tip)])
    while home[0].lines and not home[0].lines[-1].strip():
        home[0].lines.pop()
    home[0].lines += ["", *lists, ""]
    lines = [line for t in kept for line in t.lines]
    return "\n".join(_assumed(lines)).rstrip() + "\n"


def _tables(text: str) -> list[_Table]:
    tables = [_Table("", [])]
    for line in text.splitlines():
        header = _HEADER.match(line)
        if header:
            above = _comments(tables[-1].lines)
            tables.append(_Table(header.group(1), above))
        tables[-1].lines.append(line)
    return tables


def _comments(lines: list[str]) -> list[str]:
    """Take the comment lines at the end of a table, which are about the next one."""
    k = len(lines)
    while k and lines[k - 1].lstrip().startswith("#"):
        k -= 1
    above = lines[k:]
    del lines[k:]
    return above


def _assumed(lines: list[str]) -> list[str]:
    """Keys of the shape that are assumed are those of the lists now, each once."""
    pattern = re.compile(r'"girder\.(shape|sections)\.\w+"')
    out: list[str] = []
    done = False
    for line in lines:
        if not pattern.search(line):
            out.append(line)
        elif not done:
            out.append(pattern.sub('"girder.nodes", "girder.members"', line, count=1))
            out[-1] = re.sub(pattern.pattern + r",?\s*", "", out[-1])
            done = True
        elif rest := pattern.sub("", line).replace(",", "").strip():
            out.append(pattern.sub("", line) if rest != "#" else "")
    return out


def _same(before: Girder, text: str, folder: str) -> None:
    """See that the girder by lists is the girder by shape.

    Raises:
        TraceError: a member is cut differently.
    """
    after, _ = build_girder(parse_job(text, folder))
    for a, b in zip(before.members, after.members, strict=True):
        far = np.abs(np.subtract([a.hook, a.far], [b.hook, b.far])).max()
        if a.outline.shape != b.outline.shape or far > _SAME:
            message = f"{a.id} would be cut differently by nodes than by the shape"
            raise TraceError([refusal("not-the-same", a.id, message)])
