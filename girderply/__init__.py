"""Girderply: the fastening of multi-ply timber girder trusses, decided, proved and drawn.

For programs: `read`, `check`, `schedule`, `share`, `pack` and `trace`, described in
`girderply.api`. They print nothing; what is wrong comes as an exception with its findings.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from girderply.api import Verdict as Verdict
    from girderply.api import check as check
    from girderply.api import pack as pack
    from girderply.api import read as read
    from girderply.api import schedule as schedule
    from girderply.api import share as share
    from girderply.api import trace as trace

__version__ = "0.1.0"

_CALLS = ("Verdict", "check", "pack", "read", "schedule", "share", "trace")


def __getattr__(name: str) -> Any:
    """Import the calls when one is used, so that `girderply --help` stays light."""
    if name in _CALLS:
        return getattr(import_module("girderply.api"), name)
    raise AttributeError(f"module 'girderply' has no attribute {name!r}")


def __dir__() -> list[str]:
    """What there is to use."""
    return sorted([*globals(), *_CALLS])


class _Package(ModuleType):
    """Keeps `girderply.schedule` the call, although a room of that name is imported."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _CALLS and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package
