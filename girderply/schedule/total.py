"""One order list over all girders of a delivery."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import GirderplyError
from girderply.jobfile.job import UnitSystem
from girderply.schedule.types import OrderLine, Schedule
from girderply.wording import Words, english, joined

_KINDS = (*FastenerKind, "threaded rod", "washer", "nut")


class DeliveryError(GirderplyError, ValueError):
    """Girders that cannot go into one delivery."""


def delivery_units(schedules: Sequence[Schedule]) -> UnitSystem:
    """The unit system that all girders of a delivery share.

    Raises:
        DeliveryError: there is no girder, two have the same name, or their unit systems differ.
    """
    if not schedules:
        raise DeliveryError("a delivery needs at least one girder")
    systems = sorted({str(s.job.info.units) for s in schedules})
    if len(systems) > 1:
        raise DeliveryError(
            "girders in metric and in imperial units cannot share one delivery; make one for each"
        )
    seen: set[tuple[str, str]] = set()
    for s in schedules:
        name = (s.job.info.number.casefold(), s.girder.mark.casefold())
        if name in seen:
            raise DeliveryError(
                f"girder {s.girder.mark} of job {s.job.info.number} is in the delivery twice; "
                "raise its quantity instead, or leave one revision out"
            )
        seen.add(name)
    return UnitSystem(systems[0])


def total_order(schedules: Sequence[Schedule]) -> list[OrderLine]:
    """What to order for all girders together: for each, the number of pieces times its own list.

    The allowance is that of each girder's own list, rounded up there, so that the total is the
    sum of what the girders' own order lists say.

    Returns:
        Lines with `needed` and `ordered` in pieces and `mass` in kg of those ordered (0 where
        one of them is not known); nails first, then bolts, washers, nuts, each by name.
    """
    found: dict[tuple[str, str, Words], OrderLine] = {}
    for schedule in schedules:
        for line in schedule.order:
            more = _times(line, schedule.girder.quantity)
            key = (line.kind, line.spec, line.finish)  # another finish is another article
            found[key] = _sum(found[key], more) if key in found else more
    return sorted(found.values(), key=_rank)


def _times(line: OrderLine, count: int) -> OrderLine:
    return replace(
        line, needed=line.needed * count, ordered=line.ordered * count, mass=line.mass * count
    )


def _sum(one: OrderLine, two: OrderLine) -> OrderLine:
    known = one.mass > 0 and two.mass > 0
    notes = list(dict.fromkeys(n for n in (one.note, two.note) if n))
    return OrderLine(
        one.kind,
        one.spec,
        one.needed + two.needed,
        one.ordered + two.ordered,
        one.mass + two.mass if known else 0.0,
        joined("; ", notes) if len(notes) > 1 else next(iter(notes), ""),
        one.finish,
    )


def _rank(line: OrderLine) -> tuple[int, str, str, str]:
    known = _KINDS.index(line.kind) if line.kind in _KINDS else len(_KINDS)
    return known, line.kind, line.spec, english(line.finish)
