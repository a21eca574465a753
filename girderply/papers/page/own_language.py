"""Sheets speak the language of their job."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from girderply.schedule.types import Schedule
from girderply.wording import speaking

P = ParamSpec("P")
R = TypeVar("R")


def in_its_language(
    make: Callable[Concatenate[Schedule, P], R],
) -> Callable[Concatenate[Schedule, P], R]:
    """Wrap a function of a schedule so that it works in the language of the schedule's job.

    Args:
        make: takes a schedule first; everything that it says by `phrase` and `told` comes in that
            language.
    """

    @wraps(make)
    def made(schedule: Schedule, /, *args: P.args, **kwargs: P.kwargs) -> R:
        with speaking(schedule.job.info.language):
            return make(schedule, *args, **kwargs)

    return made
