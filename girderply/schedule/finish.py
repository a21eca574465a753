"""The finish of every fastener: the least in its place, what the job says, what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from girderply.bases.answers import Climate
from girderply.bases.finishes import BARE, LeastFinish
from girderply.bases.registry import basis_of
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.layout.lay_out import Layout
from girderply.schedule.types import OrderLine, Schedule
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import kind_words, spec_words


@dataclass(frozen=True, slots=True)
class Finished:
    """The finish of one kind of fastener.

    Attributes:
        kind: nail, screw or bolt. spec: as ordered. key: of the job file that says it.
        least: that its place asks for. said: by the job, or empty.
    """

    kind: str
    spec: str
    key: str
    least: LeastFinish
    said: str

    @property
    def words(self) -> Words:
        """What to order: what the job says, or the least; empty where nobody asks for one."""
        if self.said:
            return said("finish.said", finish=finish_words(self.said))
        if self.least.finish == BARE:
            return ""
        return said("finish.least", finish=finish_words(self.least.finish))


def finish_words(finish: str) -> Said:
    """A finish as people read it."""
    return said(f"finish.{finish.lower().replace(' ', '_').replace('/', '_').replace('-', '_')}")


def finishes(job: Job, layout: Layout | Schedule) -> tuple[Finished, ...]:
    """Every kind of fastener of the girder with its finish, nails before bolts, by spec."""
    basis, own = basis_of(job.basis), job.fastening
    climate = Climate(job.girder.moisture, job.girder.treated)
    used = set(layout.fasteners.spec.tolist())
    found = []
    for spec in sorted(used & {*layout.nails}):
        nail = layout.nails[spec]
        least = basis.finish(job.basis, nail.kind, nail.d, climate)
        found.append(Finished(nail.kind, spec, "fastening.finish", least, own.finish or ""))
    key = "fastening.bolt_finish" if own.bolt_finish else "fastening.finish"
    for spec in sorted(used & {*layout.bolts}):
        least = basis.finish(job.basis, FastenerKind.BOLT, layout.bolts[spec].bolt.d, climate)
        said = own.bolt_finish or own.finish or ""
        found.append(Finished(FastenerKind.BOLT, spec, key, least, said))
    return tuple(found)


def finish_findings(found: tuple[Finished, ...]) -> Iterator[Finding]:
    """An error for a finish that is too little, a warning for one that nobody names."""
    for one in found:
        if one.least.met_by(one.said or BARE):
            continue
        values = {
            "kind": kind_words(one.kind, 2),
            "spec": spec_words(one.spec),
            "least": finish_words(one.least.finish),
        }
        if one.said:
            text = said("finish.too_little", said=finish_words(one.said), **values)
            yield Finding("finish-too-little", Severity.ERROR, one.key, text, one.least.clause)
        else:
            text, tip = said("finish.missing", **values), said("finish.name_it")
            yield Finding("finish-missing", Severity.WARNING, one.key, text, one.least.clause, tip)


def with_finish(lines: tuple[OrderLine, ...], found: tuple[Finished, ...]) -> tuple[OrderLine, ...]:
    """The order list with the finish in the notes; washers and nuts have that of the bolts."""
    words = {one.spec: one.words for one in found}
    bolts = next((one.words for one in found if one.kind == FastenerKind.BOLT), "")
    made = []
    for line in lines:
        told = words.get(line.spec, bolts)
        notes = [text for text in (told, line.note) if text]
        note = joined("; ", notes) if len(notes) > 1 else told or line.note
        made.append(replace(line, note=note, finish=told))
    return tuple(made)
