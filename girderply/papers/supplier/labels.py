"""Labels of bundles: A6, four on a page of A4, with a mark to be read from 3 m and a QR code.

A bundle is the plies of one girder. There is a label for each piece of a girder's quantity.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from typing import Any

from girderply.drawing.lettering import font_size, text_width, wrap
from girderply.drawing.style import SMALL
from girderply.jobfile.job import JobInfo
from girderply.papers.page.flags import flags
from girderply.papers.page.heading import heading_of
from girderply.papers.page.timber_words import plank_words
from girderply.papers.page.typeset import typeset
from girderply.schedule import cautions
from girderply.schedule.speech import their_voice
from girderply.schedule.total import delivery_units
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

PER_PAGE = 4
WIDTH = 105.0 - 2 * 8.0  # for lettering: A6 without margins, mm
# Capitals of a 200th of the distance are read without effort: 15 mm from 3 m (common practice,
# no source); larger where the mark is short.
MARK_LEAST = 15.0
MARK_GAP = 3.2  # between lines of the mark, mm
NAME, FACT = 34.0, 51.0  # for the name of a fact and for its value, mm
ROOM = 81.0  # above the QR code, mm
MARK_ROOM = (32.0, 14.0)  # for the mark: as a rule, and at least where much else is said, mm
RULES = 18.0  # for lines, gaps and which girder it is, mm
BESIDE = 45.0  # left of the QR code, mm
_VALUE = 3.5
_HASH = 12


def labels_pdf(schedules: Sequence[Schedule]) -> bytes:
    """One PDF with a label for every bundle of the delivery, four on a page.

    Raises:
        DeliveryError: no girder, the same one twice, or girders in different unit systems.
        OutputError: the page template could not be laid out.
    """
    voice = their_voice(schedules)
    delivery_units(schedules)
    made = [label for schedule in schedules for label in _labels(voice, schedule)]
    pages = [made[k : k + PER_PAGE] for k in range(0, len(made), PER_PAGE)]
    names = ", ".join(f"{s.job.info.number} {s.girder.mark}" for s in schedules)
    data = {
        "title": voice.phrase("label.title", names=names),
        "author": "",
        "language": voice.language,
        "words": {
            "revision": voice.phrase("label.revision"),
            "hash": voice.phrase("label.hash"),
            "caution": voice.phrase("label.caution"),
        },
        "pages": pages,
    }
    return typeset("labels", data, max(s.job.info.date for s in schedules))


def qr_text(voice: Voice, schedule: Schedule, piece: int = 0) -> str:
    """What the QR code says, as text that any telephone shows, a line for each thing.

    Whatever a job says is put on one line, so that no word of it can pass for another line.

    Args:
        voice: that tells it.
        schedule: of the girder.
        piece: which of its bundles the code is on; 0: none, it is on a sheet.
    """
    info, girder = schedule.job.info, schedule.girder
    lines = [
        voice.phrase("label.qr_job", job=_one_line(info.number)),
        voice.phrase("label.qr_girder", mark=_one_line(girder.mark)),
        voice.phrase("label.qr_bundle", piece=piece, all=girder.quantity) if piece else "",
        voice.phrase("label.qr_revision", revision=_one_line(info.revision)),
        voice.phrase("label.qr_hash", hash=schedule.content_hash),
    ]
    return "\n".join(line for line in lines if line)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def qr_svg(text: str) -> str:
    """The text as a QR code of medium error correction with its quiet zone, as SVG."""
    import segno

    out = io.BytesIO()
    code = segno.make(text, error="m", micro=False, boost_error=False)
    code.save(out, kind="svg", border=4, xmldecl=False, svgclass=None, lineclass=None)
    return out.getvalue().decode()


def mark_lines(mark: str, room: float = MARK_ROOM[0]) -> tuple[list[str], float]:
    """The mark in one to three lines, and the height of its capitals in mm; nothing is left out.

    It is broken only where one line would be less than `MARK_LEAST` high, and then so that the
    letters are as tall as the room allows.

    Args:
        mark: of the girder.
        room: height of its field, mm.
    """
    tries = [_broken(mark, n) for n in (1, 2, 3)]
    most = [(room - 1.0 - MARK_GAP * (n - 1)) / n for n in (1, 2, 3)]
    heights = [min(m, _height(lines)) for m, lines in zip(most, tries, strict=True)]
    best = 0 if heights[0] >= MARK_LEAST else heights.index(max(heights))
    return tries[best], heights[best]


def _height(lines: list[str]) -> float:
    """Height of capitals at which the longest line fills the label's width, mm."""
    return WIDTH / max(text_width(line, 1.0, bold=True) for line in lines)


def _broken(mark: str, count: int) -> list[str]:
    """The mark in so many lines, broken behind signs near the even places, else anywhere."""
    lines, rest = [], mark
    for left in range(count, 1, -1):
        even = len(rest) / left
        signs = [k + 1 for k, c in enumerate(rest[:-1]) if not c.isalnum()]
        near = [k for k in signs if abs(k - even) <= even / 3]
        at = min(((abs(k - even), k) for k in near), default=(0.0, math.ceil(even)))[1]
        lines.append(rest[:at].strip())
        rest = rest[at:]
    return [line for line in (*lines, rest.strip()) if line] or [mark]


def _labels(voice: Voice, schedule: Schedule) -> Iterator[dict[str, object]]:
    info, girder = schedule.job.info, schedule.girder
    shared: dict[str, object] = {
        **_fitted(f"{info.number}  {info.title}", girder.mark, _facts(voice, schedule)),
        "revision": info.revision,
        "revision_size": _size(min(7.0, BESIDE / text_width(info.revision or "-", 1.0, bold=True))),
        "date": voice.phrase("label.of_date", date=info.date),
        "hash": schedule.content_hash[:_HASH],
        "qr_alt": voice.phrase("label.qr_alt"),
        "flags": [
            word
            for word in flags(voice, heading_of(schedule))
            if word != voice.told(cautions.not_for_assembly())
        ],
        "refused": voice.told(cautions.not_for_assembly()) if schedule.failed else "",
    }
    for piece in range(1, girder.quantity + 1):
        which = voice.phrase("label.piece", piece=piece, all=girder.quantity, n=girder.plies)
        size = min(7.0, (WIDTH - 1.0) / text_width(which, 1.0, bold=True))
        code = qr_svg(qr_text(voice, schedule, piece))
        yield shared | {"piece": which, "piece_size": _size(size), "qr": code}


def _fitted(job: str, mark: str, facts: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """Job, mark and facts in lines, all of each: much to say is written smaller, never cut off."""
    small = 1.0
    while True:
        head, fact = _VALUE * small, SMALL * small
        lines = wrap(job, WIDTH - 2.0, head, bold=True)
        rows = [(wrap(n, NAME, fact), wrap(v, FACT, fact, bold=True)) for n, v in facts]
        used = len(lines) * 1.7 * head
        used += sum(max(len(n), len(v)) * 1.7 * fact + 0.8 for n, v in rows)
        left = ROOM - RULES - used
        if left >= MARK_ROOM[1] or small < 0.3:
            break
        small -= 0.1
    room = max(MARK_ROOM[1], min(MARK_ROOM[0], left))
    shown, height = mark_lines(mark, room)
    return {
        "job": "\n".join(lines),
        "job_size": _size(head),
        "facts": [["\n".join(n), "\n".join(v)] for n, v in rows],
        "fact_size": _size(fact),
        "mark": shown,
        "mark_size": _size(height),
        "mark_room": f"{room:.2f}mm",
    }


def _finish(voice: Voice, schedule: Schedule) -> str:
    """Each finish that is ordered or asked for, once; empty where none is."""
    return "; ".join(
        dict.fromkeys(voice.told(line.finish) for line in schedule.order if line.finish)
    )


def _facts(voice: Voice, schedule: Schedule) -> list[tuple[str, str]]:
    girder, masses = schedule.girder, schedule.masses
    show = Printed(schedule.job.info.units, voice)
    ply = voice.phrase(
        "label.ply",
        thickness=show.small(girder.ply_thickness),
        timber=girder.timber_line,
        mass=show.mass(masses.ply),
    )
    facts = [
        (voice.phrase("label.each_ply"), ply),
        (voice.phrase("label.planks"), _called(voice, schedule, show)),
        (
            voice.phrase("label.size"),
            f"{show.span(girder.length)} \u00d7 {show.span(girder.height)}",
        ),
        (voice.phrase("label.mass_bundle"), show.mass(masses.plies)),
        (voice.phrase("label.mass_fastened"), show.mass(masses.total)),
        *_way(voice, schedule.job.info),
        (voice.phrase("label.finish"), _finish(voice, schedule)),
    ]
    return [(name, value) for name, value in facts if value]


def _called(voice: Voice, schedule: Schedule, show: Printed) -> str:
    """The planks by what they are called, in inches; empty where they are called by their size."""
    if not show.imperial:
        return ""
    girder = schedule.girder
    depths = sorted({round(m.depth, 2) for m in girder.members}, reverse=True)
    return ", ".join(plank_words(voice, girder.ply_thickness, depth, show) for depth in depths)


def _way(voice: Voice, info: JobInfo) -> list[tuple[str, str]]:
    """Where the bundle goes: to whom, else to which site, and with which delivery."""
    to = (voice.phrase("label.consignee"), info.consignee)
    return [
        to if info.consignee else (voice.phrase("label.site"), info.site),
        (voice.phrase("label.delivery"), info.delivery),
    ]


def _size(height: float) -> str:
    """Font size for capitals of this height in mm, as the template reads it."""
    return f"{font_size(height) - 0.005:.2f}mm"
