"""The certificate of one girder: what was to be, who saw what when, what stands and what it bears.

Made only of a girder that lacks nothing; the tables of people's words stand in `certificate_seen`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import girderply
from girderply.inspection.acceptance import Acceptance
from girderply.jobfile.logo import MIMES
from girderply.papers.inspector.certificate_seen import decisions, faults, hold_points, visits
from girderply.papers.inspector.photo_blocks import photo_blocks
from girderply.papers.inspector.verdict_sheet import counts_table, grouped, safe
from girderply.papers.page import blocks as b
from girderply.papers.page.attached import Attached, digest_of
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.paper import Paper
from girderply.papers.page.sheet_words import check_value
from girderply.papers.page.typeset import render_made
from girderply.schedule import cautions
from girderply.schedule.assumed import folded
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

HARDEST: Final = 12  # checks that are told one by one


def certificate_pdf(schedule: Schedule, made: Acceptance, files: Sequence[Attached]) -> bytes:
    """One PDF/A-3 of the certificate, with its files inside; the same girder, the same bytes.

    Args:
        schedule: that the girder was to be built by.
        made: of a girder that lacks nothing.
        files: job, schedule, records, result.

    Raises:
        ValueError: something is lacking.
        OutputError: the page template could not be laid out.
    """
    voice = own_voice(schedule)
    if made.lacking:
        raise ValueError("a girder that lacks something has no certificate")
    return render_made(schedule, [certificate_sheet(voice, schedule, made, files)], attached=files)


def attached_files(
    schedule: Schedule,
    sources: Mapping[str, bytes],
    contract: str,
    records: Sequence[tuple[str, str]],
    result: str,
) -> list[Attached]:
    """What goes into a certificate, in the order in which it is read.

    Args:
        schedule: in whose language the files are described.
        sources: job.toml and, where the job has them, rules.toml and the logo.
        contract: schedule.json.
        records: ending of its file and text of each, oldest first.
        result: of the last record, as JSON.
    """
    voice = Voice(schedule.job.info.language)
    words = {"job.toml": "file_job", "rules.toml": "file_rules"}
    files = []
    for name, data in sources.items():
        about = voice.phrase(f"certificate.{words.get(name, 'file_logo')}")
        content = data.decode() if name in words else data
        kind = MIMES.get(name, "application/toml")
        files.append(Attached(name, content, kind, about, "source"))
    json_kind = "application/json"
    told = voice.phrase("certificate.file_schedule")
    files.append(Attached("schedule.json", contract, json_kind, told, "source"))
    for n, (ending, text) in enumerate(records, 1):
        kind = "text/csv" if ending == ".csv" else json_kind
        name = f"record-{n}{'.csv' if ending == '.csv' else '.json'}"
        told = voice.phrase("certificate.file_record", n=n)
        files.append(Attached(name, text, kind, told, "source"))
    told = voice.phrase("certificate.file_result")
    files.append(Attached("result.json", result, json_kind, told, "data"))
    return files


def certificate_sheet(
    voice: Voice, schedule: Schedule, made: Acceptance, files: Sequence[Attached]
) -> Sheet:
    """The certificate as a sheet, A4 or letter."""
    show = Printed(schedule.job.info.units, voice)
    paper: Paper = "letter" if show.imperial else "A4"
    last = made.last
    sheet = Sheet("certificate", voice.phrase("certificate.title"), paper)
    piece = voice.phrase("inspection.piece", piece=last.piece, all=schedule.girder.quantity)
    sheet.blocks += [
        b.title(
            voice.phrase("certificate.large"),
            voice.phrase("certificate.of", mark=safe(last.mark), piece=piece),
        ),
        *_statement(voice, schedule, made),
        b.facts(_facts(voice, schedule, made, files, show)),
        b.keep(b.signatures(_names(voice))),
        *_ledger(voice, schedule),
        *visits(voice, made),
        *hold_points(voice, made, show),
        *faults(voice, made, show),
        *decisions(voice, made),
        b.heading(voice.phrase("certificate.counts")),
        counts_table(voice, schedule, last),
        *_checks(voice, schedule, made, show),
        *photo_blocks(voice, made.seen),
        *_inside(voice, files),
    ]
    return sheet


def _names(voice: Voice) -> tuple[str, ...]:
    return (
        voice.phrase("inspection.by_inspector"),
        voice.phrase("certificate.by_firm"),
        voice.phrase("inspection.by_engineer"),
        voice.phrase("sheet.date"),
    )


def _statement(voice: Voice, schedule: Schedule, made: Acceptance) -> Iterator[Block]:
    looked = [r for r in made.records if r.marks or r.counts]
    last = (looked or list(made.records))[-1]  # a decision alone looks at nothing
    said = voice.phrase("certificate.statement", name=safe(last.inspector), date=safe(last.date))
    yield b.callout(
        voice.phrase("certificate.title"), [said, voice.phrase("certificate.second_engine")]
    )
    if schedule.job.info.demo:
        yield b.words(voice.told(cautions.demo()))


def _facts(
    voice: Voice, schedule: Schedule, made: Acceptance, files: Sequence[Attached], show: Printed
) -> list[tuple[str, str]]:
    last, info = made.last, schedule.job.info
    own = {"job": safe(last.job), "mark": safe(last.mark), "revision": safe(last.revision)}
    due, found, counting = (
        sum(getattr(c, name) for c in last.counts) for name in ("due", "found", "counting")
    )
    apart = [show.small(v) for v in (made.seen.gap_mm, made.seen.alignment_mm) if v is not None]
    return [
        (voice.phrase("inspection.fact_girder"), voice.phrase("inspection.girder_revision", **own)),
        (voice.phrase("sheet.date"), info.date),
        (voice.phrase("certificate.basis"), schedule.job.basis.standard),
        (voice.phrase("certificate.design"), grouped(schedule.content_hash)),
        (
            voice.phrase("certificate.fasteners"),
            voice.phrase("certificate.due_found", due=due, found=found, counting=counting),
        ),
        (voice.phrase("certificate.gap"), "; ".join(apart)),
        (
            voice.phrase("certificate.made_by"),
            voice.phrase("certificate.version", version=girderply.__version__),
        ),
        (voice.phrase("certificate.number"), grouped(digest_of(files))),
    ]


def _ledger(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    yield b.heading(voice.phrase("certificate.assumed"))
    if not schedule.assumed:
        yield b.words(voice.phrase("certificate.assumed_none"))
        return
    heads = tuple(voice.phrase(f"certificate.assumed_{n}") for n in ("what", "value", "where"))
    rows: list[list[b.Cell]] = [
        [b.strong(voice.told(a.what)), voice.told(a.value), voice.told(a.where)]
        for a in folded(schedule.assumed)
    ]
    yield b.table(heads, rows, ("1fr", "1fr", "1fr"), ("left", "left", "left"))


def _checks(voice: Voice, schedule: Schedule, made: Acceptance, show: Printed) -> Iterator[Block]:
    checks = sorted(made.last.checks, key=lambda c: (-c.utilisation, c.id))
    yield b.heading(voice.phrase("certificate.checks"))
    yield b.words(
        voice.phrase(
            "certificate.checks_hold",
            n=len(checks),
            tolerance=show.small(schedule.rules.tolerance),
            gap=show.small(made.seen.gap_mm or 0.0),
        )
    )
    rows: list[list[b.Cell]] = [
        [
            c.id,
            voice.told(c.subject),
            check_value(voice, c.demand, c.unit, show),
            check_value(voice, c.resistance, c.unit, show),
            b.strong(show.percent(c.utilisation)),
        ]
        for c in checks[:HARDEST]
    ]
    heads = tuple(
        voice.phrase(f"certificate.{n}") for n in ("check", "what", "demand", "resistance", "used")
    )
    align = ("left", "left", "right", "right", "right")
    yield b.table(heads, rows, ("auto", "1fr", "auto", "auto", "auto"), align)


def _inside(voice: Voice, files: Sequence[Attached]) -> Iterator[Block]:
    rows: list[list[b.Cell]] = [[b.strong(f.name), f.what, grouped(f.digest)] for f in files]
    heads = tuple(voice.phrase(f"certificate.{n}") for n in ("file", "what", "sha"))
    yield b.heading(voice.phrase("certificate.inside"))
    yield b.words(voice.phrase("certificate.inside_how"))
    yield b.table(heads, rows, ("auto", "auto", "1fr"), ("left", "left", "left"))
