"""girderply swap."""

from __future__ import annotations

import json
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, Any

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings, working
from girderply.cli.work import JobPath
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.schedule.compare import Comparison, Side


class SwapFormat(StrEnum):
    """How the comparison is given."""

    TABLE = "table"
    JSON = "json"


def swap(
    job: JobPath,
    nail: Annotated[
        str | None, typer.Option(metavar="NAIL", help='Another nail, such as "3.1 x 90".')
    ] = None,
    screw: Annotated[
        str | None,
        typer.Option(metavar="SCREW", help="A screw that the job declares, instead of the nails."),
    ] = None,
    bolt: Annotated[str | None, typer.Option(metavar="BOLT", help="Another bolt: M16.")] = None,
    washer: Annotated[
        str | None, typer.Option(metavar="WASHER", help='Another washer, such as "ISO 7094 M12".')
    ] = None,
    plies: Annotated[
        int | None, typer.Option(min=2, max=6, metavar="N", help="Another number of plies.")
    ] = None,
    form: Annotated[SwapFormat, typer.Option("--format", help="table or json.")] = SwapFormat.TABLE,
) -> None:
    """Ask what changes with another nail, screw, bolt, washer or number of plies.

    Nothing is written.

    Both layouts are made and checked: counts, the hardest check, what moves, and which sheets to
    print anew. Exit 1 when the other one may not be assembled.

    Example: girderply swap two-ply-howe.toml --nail "3.1 x 90"
    """
    from girderply.jobfile.place import open_job  # noqa: PLC0415
    from girderply.schedule.build_schedule import build_schedule  # noqa: PLC0415
    from girderply.schedule.compare import compare, swapped  # noqa: PLC0415

    if nail is not None and screw is not None:
        raise typer.BadParameter("--nail and --screw are both given; one of the two is allowed")
    if all(x is None for x in (nail, screw, bolt, washer, plies)):
        raise typer.BadParameter("name at least one of --nail, --screw, --bolt, --washer, --plies")
    read = open_job(job)
    with working("Laying out the girder twice"):
        before = build_schedule(read)
        after = build_schedule(
            swapped(read, nail=nail, screw=screw, bolt=bolt, washer=washer, plies=plies)
        )
    found = compare(before, after)
    say_findings(f for f in after.findings if f.where == "fastening.nail")
    if plies is not None and plies != read.girder.plies:
        was = read.girder.plies
        say(
            f"WARNING the plies were designed to carry 1/{was} of the loads each: as {plies} they "
            f"carry 1/{plies}. The truss designer must design them anew; nothing here checks them."
        )
    if form is SwapFormat.JSON:
        product(json.dumps(as_data(found), indent=2, ensure_ascii=False) + "\n")
    else:
        product("".join(clean(line) + "\n" for line in lines(found)))
    raise typer.Exit(Exit.GOOD if found.after.good else Exit.FAILED)


def _side_data(side: Side) -> dict[str, Any]:
    return {
        "specs": side.specs,
        "stages": side.stages,
        "utilisation": None if side.utilisation == float("inf") else round(side.utilisation, 4),
        "hardest": side.hardest,
        "failed": side.failed,
        "errors": list(side.errors),
        "good": side.good,
        "minutes": round(side.minutes, 1),
    }


def as_data(found: Comparison) -> dict[str, Any]:
    """The comparison as plain data; a utilisation of null stands for nothing there at all."""
    return {
        "schema": "girderply.swap/1",
        "before": _side_data(found.before),
        "after": _side_data(found.after),
        "members": [
            {"id": c.member, "kept": c.kept, "added": c.added, "removed": c.removed}
            for c in found.changes
        ],
        "sheets": list(found.sheets),
    }


def lines(found: Comparison) -> list[str]:
    """The comparison as a person reads it, both sides in columns."""
    before, after = found.before, found.after
    rows = [("", "as it is", "with the change")]
    for spec in sorted({*before.specs, *after.specs}):
        rows.append((spec, str(before.specs.get(spec, 0)), str(after.specs.get(spec, 0))))
    rows.append(("stages", str(before.stages), str(after.stages)))
    rows.append(("minutes (estimate)", f"{before.minutes:.0f}", f"{after.minutes:.0f}"))
    rows.append(("hardest check", _ratio(before), _ratio(after)))
    rows.append(("", before.hardest, after.hardest))
    rows.append(("verdict", _verdict(before), _verdict(after)))
    widths = [max(len(r[i]) for r in rows) for i in range(3)]
    out = ["  ".join(c.ljust(w) for c, w in zip(r, widths, strict=True)).rstrip() for r in rows]
    out += [f"why not: {english(text)}" for text in after.errors]
    for c in found.changes:
        out.append(f"{c.member}: {c.kept} stay, {c.added} new, {c.removed} gone")
    out.append("print anew: " + (", ".join(found.sheets) if found.sheets else "nothing"))
    return out


def _ratio(side: Side) -> str:
    if side.percent is None:
        return "nothing there"
    return f"{side.percent} %" if side.hardest else "no load"


def _verdict(side: Side) -> str:
    return (
        "good"
        if side.good
        else f"NOT FOR ASSEMBLY ({side.failed} checks, {len(side.errors)} errors)"
    )
