"""Sheets speak the language of their job; whatever was decided before is said again in it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from girderply.schedule.types import Schedule
from girderply.wording import DEFAULT, retold, speaking

P = ParamSpec("P")
R = TypeVar("R")


def in_its_language(
    make: Callable[Concatenate[Schedule, P], R],
) -> Callable[Concatenate[Schedule, P], R]:
    """Wrap a function of a schedule so that it works in the language of the schedule's job.

    Args:
        make: takes a schedule first; everything that it says by `phrase` comes in that language,
            and so does what the schedule itself says (stages, findings, checks).
    """

    @wraps(make)
    def made(schedule: Schedule, /, *args: P.args, **kwargs: P.kwargs) -> R:
        language = schedule.job.info.language
        with speaking(language):
            told = schedule if language == DEFAULT else retold(schedule)
            return make(told, *args, **kwargs)

    return made
