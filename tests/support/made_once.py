"""What is decided and packed for a job is made once per process and shared by the tests.

A schedule depends on its job alone, and a pack on its schedule alone: test_same_bytes.py and
test_same_everywhere.py prove it, in fresh processes. A logo is read from a folder, so a job with
one is decided each time. A test that changes the program while it runs (it asks for
`monkeypatch`), or that is about making twice (`made_anew`), gets everything made anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import pytest

from girderply.cli import pack
from girderply.jobfile.job import Job
from girderply.schedule import build_schedule as building
from girderply.schedule.types import Schedule

MOST = {"decided": 60, "packed": 12}  # what is kept; the oldest goes first
ANEW = ("monkeypatch", "made_anew")


class MadeOnce:
    """Stands in for `decided` of `girderply.schedule.build_schedule` and for `pack_files`."""

    def __init__(self) -> None:
        self.decide, self.pack = building.decided, pack.pack_files
        self.kept: dict[str, dict[tuple[str, ...], Any]] = {"decided": {}, "packed": {}}
        self.shares = True

    def decided(self, job: Job, girder: Any, found: Any, *how: Any, **named: Any) -> Schedule:
        """The schedule, with the folder of this job; one turned or half decided is not kept."""
        if how or named != {"springs": True, "known": None}:
            return self.decide(job, girder, found, *how, **named)
        made = self._once("decided", job, (), lambda: self.decide(job, girder, found))
        return replace(made, job=job)

    def packed(self, schedule: Schedule, wanted: Any = None) -> dict[str, bytes]:
        """The files of the pack."""
        more = (schedule.content_hash, repr(schedule.findings), repr(wanted or pack.Wanted()))
        make = lambda: self.pack(schedule, wanted)  # noqa: E731
        return dict(self._once("packed", schedule.job, more, make))

    def _once(self, what: str, job: Job, more: tuple[str, ...], make: Callable[[], Any]) -> Any:
        if job.info.logo or not self.shares:
            return make()
        kept = self.kept[what]
        key = (repr(replace(job, folder="")), job.source, *more)
        if key not in kept:
            kept[key] = make()
            for old in [*kept][: -MOST[what]]:
                del kept[old]
        return kept[key]


@contextmanager
def shared() -> Iterator[MadeOnce]:
    """Put it in the place of both."""
    with pytest.MonkeyPatch.context() as patch:
        stand_in = MadeOnce()
        patch.setattr(building, "decided", stand_in.decided)
        patch.setattr(pack, "pack_files", stand_in.packed)
        yield stand_in
