"""Lines of the tick-off table that count nothing: who, when, gap, what a stage was made of."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from girderply.bases.finishes import BARE
from girderply.errors import Finding
from girderply.inspection.questions import due_finish
from girderply.inspection.record import Plain, fault_at
from girderply.layout.records import Stage
from girderply.schedule.types import Schedule
from girderply.units.short_text import did_you_mean, shown

WHOLE: Final = ("inspector", "date", "gap mm", "alignment mm", "note")
OF_STAGE: Final = ("nail size", "finish", "washers as drawn", "clenched", "signed by", "signed on")
_SIZE: Final = re.compile(r"^([0-9]+(?:[.,][0-9]+)?)\s*[xX*]\s*([0-9]+(?:[.,][0-9]+)?)(?:\s*mm)?$")


@dataclass(frozen=True, slots=True)
class Line:
    """One line: of which stage (0: the whole girder), what it asks for, what is due."""

    stage: int
    kind: str
    due: str = ""


def asked_besides(schedule: Schedule) -> Iterator[Line]:
    """The lines that a girder's table has, in the order in which they are filled in."""
    for stage in schedule.stages:
        yield from _of_stage(schedule, stage)
    for kind in WHOLE:
        yield Line(0, kind)


def _of_stage(schedule: Schedule, stage: Stage) -> Iterator[Line]:
    f = schedule.fasteners
    mine = f.stage == stage.number
    for spec in dict.fromkeys(f.spec[mine & f.driven].tolist()):
        nail = schedule.nails[spec]
        yield Line(stage.number, "nail size", f"{nail.d:g} x {nail.length:g}")
    if mine.any():
        due = due_finish(schedule, stage.number)
        yield Line(stage.number, "finish", "" if due == BARE else due)
    if (mine & f.bolted).any():
        yield Line(stage.number, "washers as drawn", "yes")
    if (mine & f.clench).any():
        yield Line(stage.number, "clenched", str(int((mine & f.clench).sum())))
    if stage.hold_point:
        yield Line(stage.number, "signed by")
        yield Line(stage.number, "signed on")


def answers(
    rows: Sequence[dict[str, str]], schedule: Schedule, found: list[Finding]
) -> dict[str, Any]:
    """What such lines say, as parts of a record; faults go to `found`."""
    whole: dict[str, str] = {}
    stages: dict[int, dict[str, list[str]]] = {}
    for row in rows:
        kind, said = row.get("kind", "").lower(), row.get("found", "")
        if kind not in (*WHOLE, *OF_STAGE):
            text, tip = f"{shown(kind)} is nothing that is asked for", did_you_mean(kind, WHOLE)
            found.append(fault_at("bad-value", "kind", text, tip))
        elif said and kind in WHOLE:
            whole[kind] = said
        elif said:
            number = row.get("stage", "")
            stages.setdefault(int(number) if number.isdigit() else 0, {}).setdefault(
                kind, []
            ).append(said)
    return {
        "inspector": whole.get("inspector", ""),
        "date": whole.get("date", ""),
        "plies": {
            "gap_mm": _number(whole.get("gap mm"), "gap mm", found),
            "alignment_mm": _number(whole.get("alignment mm"), "alignment mm", found),
        },
        "note": whole.get("note", ""),
        "signatures": [
            {
                "stage": n,
                "name": said.get("signed by", [""])[0],
                "date": said.get("signed on", [""])[0],
            }
            for n, said in sorted(stages.items())
            if "signed by" in said
        ],
        "stages": [_stage(n, said, schedule, found) for n, said in sorted(stages.items())],
    }


def _stage(
    number: int, said: dict[str, list[str]], schedule: Schedule, found: list[Finding]
) -> Plain:
    washers = said.get("washers as drawn", [""])[0].lower()
    clenched = _number(said.get("clenched", [None])[0], "clenched", found)
    sizes = [_size(text, schedule, found) for text in said.get("nail size", [])]
    return {
        "stage": number,
        "nails": [size for size in sizes if size],
        "finish": said.get("finish", [""])[0],
        "washers": {"yes": "as drawn", "y": "as drawn", "": None}.get(washers, "other"),
        "clenched": None if clenched is None else int(clenched),
    }


def _size(text: str, schedule: Schedule, found: list[Finding]) -> Plain | None:
    """A size such as "4.0 x 100" in mm, or a size by its name, with box or nail after it."""
    words = text.lower()
    source = "nail" if words.endswith(" nail") else "box"
    words = words.removesuffix(" nail").removesuffix(" box").strip()
    named = {key.lower(): nail for key, nail in schedule.nails.items()}
    if words in named:
        nail = named[words]
        return {"d_mm": nail.d, "length_mm": nail.length, "read_from": source}
    match = _SIZE.match(words)
    if match is None:
        text = f"{shown(text)} is no size such as 4.0 x 100"
        found.append(fault_at("bad-value", "nail size", text))
        return None
    d, length = (float(v.replace(",", ".")) for v in match.groups())
    return {"d_mm": d, "length_mm": length, "read_from": source}


def _number(text: str | None, what: str, found: list[Finding]) -> float | None:
    if text is None:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 100_000.0:
        found.append(fault_at("bad-value", what, f"{shown(text)} is no number of 0 or more"))
        return None
    return value
