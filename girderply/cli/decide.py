"""girderply decide."""

from __future__ import annotations

import json
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings
from girderply.cli.work import JobPath, deliver, make_schedule
from girderply.wording import english


class DecisionKind(StrEnum):
    """What was decided."""

    NONE = "none"
    MEASURED = "measured"
    ENGINEER = "engineer"


def _real_date(value: str) -> str:
    try:
        return date.fromisoformat(value).isoformat()
    except ValueError:
        raise typer.BadParameter(f"{value!r} is no date such as 2026-11-26") from None


def decide(
    job: JobPath,
    records: Annotated[
        list[Path], typer.Argument(metavar="RECORD...", help="Every record of one girder.")
    ],
    about: Annotated[
        list[str] | None,
        typer.Option("--about", help="Key of the question, eight figures; once for each."),
    ] = None,
    kind: Annotated[
        DecisionKind,
        typer.Option(
            "--as", help="none: nothing to do; measured; engineer: decided as the engineer."
        ),
    ] = DecisionKind.NONE,
    name: Annotated[str, typer.Option("--name", help="Who decides.")] = "",
    on: Annotated[str, typer.Option("--on", help="Date, year-month-day.")] = "",
    text: Annotated[str, typer.Option("--text", help="Why, or what was measured.")] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="File of the new record, which must not be there.")
    ] = None,
) -> None:
    """Record what a person decided about a girder; without --about list what is open.

    The decision becomes a record of its own that follows the others: give it to inspect, lot or
    accept together with them. What needs an engineer is decided --as engineer and by nothing else.
    No earlier record is changed.

    Example: girderply decide G1.toml G1-1.json --about 94387494 --as engineer --name "B. Engineer"
    --on 2026-11-26 --text "sound knot, 20 mm" --out G1-1-decided.json
    """
    from girderply.inspection.chains import chains
    from girderply.inspection.deciding import deciding_record, open_questions
    from girderply.inspection.history import History
    from girderply.inspection.record import Decision, RecordError, parse_record
    from girderply.inspection.result_words import headline

    history = History(make_schedule(job))
    try:
        pieces = chains(history.schedule, records)
        if len(pieces) != 1:
            raise typer.BadParameter(
                f"the records are of girders no. {', '.join(map(str, pieces))}"
            )
        for path in next(iter(pieces.values())):
            history.take_file(path)
        if not about:
            for q in open_questions(history):
                product(clean(f"{q.key} ({q.needs}): {english(q.text)}") + "\n")
            raise typer.Exit(Exit.GOOD)
        if not name.strip() or not text.strip():
            raise typer.BadParameter("a decision has a --name and says why with --text")
        day = _real_date(on)
        made = [Decision(key, kind.value, name.strip(), day, text.strip()) for key in about]
        data = json.dumps(deciding_record(history, made), indent=1, ensure_ascii=False) + "\n"
        result = history.take(parse_record(data, history.schedule))
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    deliver(data, out, keep=True)
    say(english(headline(result.verdict)))
    raise typer.Exit(Exit.GOOD if result.accepted else Exit.FAILED)
