"""The design bases by name: every module of this package that has a `BASIS`."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib import import_module
from typing import TypeVar

import girderply.bases as home
from girderply.bases.protocol import Basis
from girderply.bases.spec import BasisSpec, Value
from girderply.errors import CatalogueError, UnansweredError

_ADDED: dict[str, Basis] = {}
T = TypeVar("T")


@cache
def _found() -> dict[str, Basis]:
    """Bases of this package by name, in the order of their modules."""
    names = sorted(m.name for m in pkgutil.iter_modules(home.__path__))
    modules = (import_module(f"{home.__name__}.{name}") for name in names)
    bases = [m.BASIS for m in modules if hasattr(m, "BASIS")]
    return {basis.name: basis for basis in bases}


def names() -> tuple[str, ...]:
    """What a job may call its basis."""
    return (*_found(), *_ADDED)


def basis(name: str) -> Basis:
    """The basis of this name.

    Raises:
        CatalogueError: there is none.
    """
    known = _found() | _ADDED
    if name not in known:
        raise CatalogueError(f"no design basis is called {name!r}; there are {', '.join(known)}")
    return known[name]


def basis_of(spec: BasisSpec) -> Basis:
    """The basis that a job names."""
    return basis(spec.standard)


def usual(units: str) -> str:
    """Name of the basis of jobs in these units ("metric" or "imperial") that name none."""
    return next(b.name for b in _found().values() if b.units == units)


def spec_of(name: str = "", *, reach: float | None = None, **changes: Value) -> BasisSpec:
    """What a job says that leaves everything to its basis, but for these changes.

    Args:
        name: of the basis; left out: that of metric jobs.
        reach: how far a load's fasteners stand either side, mm; None: the rule set's.
        **changes: durations and options by their keys.

    Raises:
        CatalogueError: there is no such basis.
        UnansweredError: it does not say what a job may choose.
    """
    chosen = basis(name or usual("metric"))
    always, sometimes, up = chosen.usual_durations
    return BasisSpec(
        standard=chosen.name,
        permanent_duration=str(changes.get("permanent_duration", always)),
        variable_duration=str(changes.get("variable_duration", sometimes)),
        uplift_duration=str(changes.get("uplift_duration", up)),
        options=tuple((o.key, changes.get(o.key, o.default)) for o in chosen.options),
        reach=reach,
    )


def said(ask: Callable[[Basis], tuple[T, ...]]) -> dict[str, tuple[T, ...]]:
    """What every basis says to one question; nothing for one that does not answer it."""
    answers: dict[str, tuple[T, ...]] = {}
    for name in names():
        try:
            answers[name] = ask(basis(name))
        except UnansweredError:
            answers[name] = ()
    return answers


@contextmanager
def added(new: Basis) -> Iterator[None]:
    """Know another basis inside a `with` block.

    Raises:
        CatalogueError: its name is taken.
    """
    if new.name in names():
        raise CatalogueError(f"design basis {new.name} is known already")
    _ADDED[new.name] = new
    try:
        yield
    finally:
        del _ADDED[new.name]
