"""girderply explain."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product
from girderply.cli.work import JobPath, make_schedule
from girderply.errors import JobError
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule
    from girderply.strength.check_record import Check


def explain(
    job: JobPath,
    check_id: Annotated[
        str | None,
        typer.Argument(metavar="CHECK", help="Id of a check; left out, all ids are listed."),
    ] = None,
) -> None:
    """Follow one check by hand: clause, inputs, every step with its numbers.

    Without a check, all of them are listed, the hardest first.

    Example: girderply explain two-ply-howe.toml T1-5.i1.PV
    """
    schedule = make_schedule(job)
    show = Printed(schedule.job.info.units, ENGLISH)
    if check_id is None:
        product("".join(clean(x) + "\n" for x in listing(schedule, show)))
        raise typer.Exit(Exit.FAILED if schedule.failed else Exit.GOOD)
    check = find(schedule, check_id)
    product("".join(clean(x) + "\n" for x in worked(schedule, check, show)))
    raise typer.Exit(Exit.GOOD if check.ok else Exit.FAILED)


def find(schedule: Schedule, check_id: str) -> Check:
    """The check with this id.

    Raises:
        JobError: there is none; names the nearest ones.
    """
    from girderply.errors import Finding, Severity  # noqa: PLC0415

    by_id = {c.id: c for c in schedule.checks}
    if check_id in by_id:
        return by_id[check_id]
    near = get_close_matches(check_id, by_id, n=3, cutoff=0.4)
    hint = f"; nearest: {', '.join(near)}" if near else ""
    text = f'there is no check "{check_id}" among {len(by_id)}{hint}'
    tip = "girderply explain JOB lists them all"
    raise JobError([Finding("no-such-check", Severity.ERROR, "CHECK", text, tip=tip)])


def _force(check: Check, show: Printed, value: float) -> str:
    return show.force(value) if check.unit == "N" else f"{value:.4g} {check.unit}"


def _ratio(check: Check) -> str:
    """Utilisation in whole percent, a failed one never below 101."""
    return "no resistance" if check.percent is None else f"{check.percent} %"


def listing(schedule: Schedule, show: Printed) -> list[str]:
    """One line per check, the hardest first."""
    rows = [
        (c.id, _force(c, show, c.demand), _force(c, show, c.resistance), _ratio(c), c.clause)
        for c in sorted(schedule.checks, key=lambda c: -c.utilisation)
    ]
    if not rows:
        return ["no load hangs on this girder: nothing is checked"]
    head = ("check", "must pass", "carried", "used", "clause")
    widths = [max(len(r[i]) for r in (head, *rows)) for i in range(5)]
    return [
        "  ".join(c.ljust(w) for c, w in zip(r, widths, strict=True)).rstrip()
        for r in (head, *rows)
    ]


def worked(schedule: Schedule, check: Check, show: Printed) -> list[str]:
    """One check as a worked calculation."""
    sign = "<=" if check.ok else ">"
    out = [f"{check.id}: {english(check.subject)}", f"clause: {check.clause}"]
    if check.mode:
        out.append(f"mode: {english(check.mode)}")
    if check.inputs:
        out.append("inputs:")
        out += [
            f"  {name} = {value:g} {unit}".rstrip() for name, (value, unit) in check.inputs.items()
        ]
    out.append("steps:")
    out += [f"  {english(step)}" for step in check.steps]
    out += swept(schedule, check, show)
    out.append(
        f"{_force(check, show, check.demand)} {sign} {_force(check, show, check.resistance)}: "
        f"{_ratio(check)}, {'good' if check.ok else 'FAILED'}"
    )
    return out


def swept(schedule: Schedule, check: Check, show: Printed) -> list[str]:
    """The tightest window of a check of transfer: who is served in it, and by which fasteners."""
    from girderply.schedule.flows import serving  # noqa: PLC0415

    sweep = check.sweep
    if sweep is None:
        return []
    low, high = (show.span(v) for v in check.window)
    needed, there = (
        f"{v:.2f} fasteners" if sweep.counted else show.force(v)
        for v in (sweep.needed, sweep.there)
    )
    names = serving(schedule, check, sweep)
    return [
        "sweep:",
        f"  tightest from {low} to {high} of {sweep.chord}: {needed} needed, {there} there",
        f"  loads that must be served inside: {', '.join(sweep.loads)}",
        f"  served by {len(names)}: {', '.join(names) or 'none'}",
    ]
