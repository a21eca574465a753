"""A check in words and figures for the calculation sheet, in the job's own units."""

from __future__ import annotations

from collections.abc import Mapping

from girderply.strength.check_record import Check
from girderply.units.show import NBSP, Printed
from girderply.wording import Voice, figures

_IN_LB = 25.4 * 0.45359237 * 9.80665  # N mm in one inch-pound
_GREEK = {"rho": "\u03c1", "gamma": "\u03b3", "alpha": "\u03b1", "theta": "\u03b8"}
_SIGNS = {"N/mm2": "N/mm\u00b2", "kg/m3": "kg/m\u00b3", "Nmm": "N\u00a0mm"}


def series(check: Check, of_load: Mapping[str, str]) -> str:
    """Entries of the job whose loads a check is about: "F+B" of "F-6+B-6".

    Args:
        check: its loads are joined by "+", which no name of a load may hold.
        of_load: load -> its entry of the job.
    """
    names = (of_load.get(load, load) for load in check.about.split("+"))
    return "+".join(dict.fromkeys(names))


def kind(voice: Voice, check: Check) -> str:
    """What kind of check it is, in words."""
    if check.interface:
        return voice.phrase("calculation.kind_interface", interface=check.interface)
    return voice.phrase("calculation.kind_receiving" if check.ply else "calculation.kind_splitting")


def kind_rank(check: Check) -> tuple[bool, int, bool]:
    """Kinds in the order of the sheet: interfaces, splitting, splitting of a receiving ply."""
    return not check.interface, check.interface, check.ply > 0


def hardest_first(checks: tuple[Check, ...]) -> list[Check]:
    """Failed ones first, then by utilisation; equal ones stay in their order."""
    return sorted(checks, key=lambda c: (c.ok, -round(min(c.utilisation, 1e9), 9)))


def used_words(voice: Voice, check: Check) -> str:
    """Utilisation in whole percent; a failed check never reads less than 101 %."""
    if check.percent is None:
        return voice.phrase("calculation.no_resistance")
    return f"{check.percent}{NBSP}%"


def short_clause(clause: str, document: str) -> str:
    """The clause without the document's name, which the sheet says once."""
    return clause.removeprefix(f"{document}, ")


def document_of(checks: tuple[Check, ...]) -> str:
    """The document that most clauses are of, up to the first comma; empty without checks."""
    names = [c.clause.partition(", ")[0] for c in checks if c.clause]
    return max(dict.fromkeys(names), key=names.count, default="")


def symbol(voice: Voice, name: str) -> str:
    """A symbol as the steps write it: f_h_k is f_h,k; an input of more words is said."""
    if " " in name:
        return voice.phrase(f"calculation.input_{name}")
    head, _, tail = name.partition("_")
    head = _GREEK.get(head, head)
    return f"{head}_{tail.replace('_', ',')}" if tail else head


def input_value(voice: Voice, value: float, unit: str, show: Printed) -> str:
    """An input with its unit: inches, pounds and psi in an imperial job."""
    if unit == "rad":
        return show.angle(value)
    if show.imperial and unit in ("N", "mm", "N/mm2", "Nmm"):
        return _imperial(voice, value, unit, show)
    return f"{_figures(voice, value, show)} {_SIGNS.get(unit, unit)}".rstrip()


def _imperial(voice: Voice, value: float, unit: str, show: Printed) -> str:
    if unit == "N":
        return show.force(value)
    if unit == "mm":
        return show.diameter(value)
    if unit == "N/mm2":
        return show.stress(value)
    return f"{_figures(voice, value / _IN_LB, show)}{NBSP}in-lb"


def _figures(voice: Voice, value: float, show: Printed) -> str:
    """Four figures, or all of the whole number."""
    if abs(value) >= 1000:
        return show.number(value)
    return voice.told(figures(f"{value:.4g}"))
