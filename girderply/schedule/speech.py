"""The papers of a delivery speak one language: that of all its jobs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from girderply.schedule.total import DeliveryError
from girderply.schedule.types import Schedule
from girderply.wording import DEFAULT, speaking

P = ParamSpec("P")
R = TypeVar("R")


def delivery_language(schedules: Sequence[Schedule]) -> str:
    """The language that the papers of a delivery speak.

    Raises:
        DeliveryError: the jobs ask for different languages.
    """
    found = sorted({s.job.info.language for s in schedules})
    if len(found) > 1:
        raise DeliveryError(
            f"the jobs ask for {' and '.join(found)}, and the papers of one delivery speak one "
            "language; give the same language in each job, or choose one with --language"
        )
    return found[0] if found else DEFAULT


def in_their_language(
    make: Callable[Concatenate[Sequence[Schedule], P], R],
) -> Callable[Concatenate[Sequence[Schedule], P], R]:
    """Wrap a function of the schedules of a delivery so that it works in the language they share.

    What it wraps raises DeliveryError where their jobs ask for different languages.
    """

    @wraps(make)
    def made(schedules: Sequence[Schedule], /, *args: P.args, **kwargs: P.kwargs) -> R:
        language = delivery_language(schedules)
        with speaking(language):
            return make(schedules, *args, **kwargs)

    return made
