"""Layouts with the shares of their plies, kept for jobs that differ in their papers alone.

Who is named in the title block, what the truss designer printed and what language the sheets are in
moves no fastener. A layout is always made from the job without them (`bare`), so that one that is
kept is the one that would be made again.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.job import Job, JobInfo
from girderply.layout.brief import Brief
from girderply.schedule.design import Designed
from girderply.schedule.plies import PlyResults

MOST: Final = 2  # kept of one girder
Solution = tuple[Designed, PlyResults, tuple[Finding, ...]]
_PAPERS: Final = ("job", "designer")


def bare(job: Job) -> Job:
    """A job without what its papers alone hang on; its unit system stays.

    Args:
        job: as it was read.
    """
    info = JobInfo(number="", title="", revision="", date="", units=job.info.units)
    given = tuple(g for g in job.given if g[0].partition(".")[0] not in _PAPERS)
    return replace(job, info=info, designer=None, given=given, source="")


@dataclass(slots=True)
class _Kept:
    """One solution; packed until somebody asks for it, where it came from another process."""

    about: tuple[Any, ...]
    solution: Solution | None
    whole: bool
    packed: bytes = b""

    def unpacked(self) -> Solution:
        if self.solution is None:
            self.solution, self.packed = pickle.loads(self.packed), b""
        return self.solution


@dataclass(slots=True)
class Solutions:
    """The last few layouts of a girder, by what they hang on."""

    _kept: list[_Kept] = field(default_factory=list)

    def of(self, brief: Brief, make: Callable[[], Solution], *, whole: bool) -> Solution:
        """The solution that is kept for a brief, or one that is made now.

        Args:
            brief: with the bare job.
            make: makes it.
            whole: whether the shares of the plies must be in it; where they are not asked for, one
                that has them is as good.
        """
        about = _about(brief)
        fitting = [k for k in self._kept if k.about == about and k.whole >= whole]
        found = max(fitting, key=lambda k: k.whole, default=None)
        if found is None:
            found = _Kept(about, make(), whole)
        self._keep(found)
        return found.unpacked()

    def packed(self, job: Job) -> bytes:
        """The solution with shares of a job, for another process; empty where there is none.

        Args:
            job: as it was read.
        """
        found = next((k for k in reversed(self._kept) if k.about[0] == bare(job) and k.whole), None)
        return pickle.dumps(found.unpacked(), pickle.HIGHEST_PROTOCOL) if found else b""

    def add(self, job: Job, packed: bytes) -> None:
        """Keep what another process worked out for a job that stands here without its shares.

        Args:
            job: as it was read.
            packed: by `packed`.
        """
        found = next((k for k in reversed(self._kept) if k.about[0] == bare(job)), None)
        if found is not None and packed and not found.whole:
            self._keep(_Kept(found.about, None, True, packed))

    def _keep(self, one: _Kept) -> None:
        others = [k for k in self._kept if k.about != one.about]
        self._kept = [*others, one][-MOST:]


def _about(brief: Brief) -> tuple[Any, ...]:
    """All that a layout is made from; the girder is made from the job and from nothing else."""
    return (brief.job, brief.rules, brief.ply_rule, brief.nail, brief.bolt, brief.washer,
            brief.hole, brief.rho_k)  # fmt: skip
