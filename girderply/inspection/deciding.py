"""A decision as a record of its own: it looks at nothing and follows what it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from girderply.inspection.history import History
from girderply.inspection.questions import Question
from girderply.inspection.record import SCHEMA, Decision, Plain, RecordError, fault_at
from girderply.units.short_text import did_you_mean, shown
from girderply.wording import english


def open_questions(history: History) -> tuple[Question, ...]:
    """What somebody has to decide about the last record, each with its key."""
    return tuple(q for q in history.results[-1].asks if q.decided is None)


def deciding_record(history: History, decisions: Sequence[Decision]) -> Plain:
    """The data of a record that decides questions of a girder and follows its last record.

    Args:
        history: with its records taken.
        decisions: all by one person on one day.

    Raises:
        RecordError: no such question is open, or it is the engineer's.
    """
    waiting = {q.key: q for q in open_questions(history)}
    found = []
    for d in decisions:
        if d.about not in waiting:
            text = f"{shown(d.about)} is no open question of this girder"
            tip = did_you_mean(d.about, waiting) or f"open: {', '.join(waiting) or 'none'}"
            found.append(fault_at("no-question", "about", text, tip))
        elif waiting[d.about].needs == "engineer" and d.kind != "engineer":
            text = f"{d.about} is for the engineer to decide: {english(waiting[d.about].text)}"
            found.append(fault_at("engineers", "as", text))
    if found:
        raise RecordError(found)
    last = history.records[-1]
    return {
        "schema": SCHEMA,
        **{n: getattr(last, n) for n in ("job", "mark", "piece", "revision", "content_hash")},
        "inspector": decisions[0].name,
        "date": decisions[0].date,
        "previous": last.hash,
        "marks": [],
        "counts": [],
        "plies": {"gap_mm": None, "alignment_mm": None},
        "signatures": [],
        "note": "",
        "stages": [],
        "shifts": [],
        "decisions": [asdict(d) for d in decisions],
        "photos": [],
    }
