"""Where people can reach one face only: what cannot be done from there, and what would work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from girderply.catalogue.catalogue_types import Screw
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout
from girderply.layout.stages import opposite
from girderply.schedule.advice import TRIALS, Tried, candidates, carries, unfit, with_nail
from girderply.schedule.look_up import make_brief, rule_for
from girderply.schedule.suited import suited
from girderply.wording import Said, said
from girderply.wording.words import face_words, kind_words


def reach_faults(brief: Brief, layout: Layout) -> Iterator[Finding]:
    """Findings of a girder that is fastened from one face; none where both can be reached."""
    faces = brief.job.assembly.faces
    if faces == "both":
        return
    bolts = int(layout.fasteners.bolted.sum())
    far = face_words(opposite(faces))
    if bolts:
        text = said("finding.bolts_out_of_reach", n=bolts, face=far)
        where, tip = "assembly.faces", said("finding.one_face_tip")
        yield Finding("bolt-out-of-reach", Severity.ERROR, where, text, brief.rules.source, tip)
    if bolts or (brief.nail is not None and unfit(brief)):
        yield from _what_would_work(brief)
    yield from _rule_faces(brief)
    for load in brief.job.loads:
        if load.face == opposite(faces):
            text = said("finding.bracket_out_of_reach", load=load.id, face=far)
            where = f"loads.{load.id}.face"
            yield Finding("bracket-out-of-reach", Severity.WARNING, where, text)


def _rule_faces(brief: Brief) -> Iterator[Finding]:
    """A rule that asks for nails from both faces, or for plies added at both, is not kept."""
    rule = rule_for(brief.rules, brief.girder.plies)
    if {s.drive for s in rule.stages} in ({"front"}, {"back"}):
        return
    face = face_words(brief.job.assembly.faces)
    text = said("finding.rule_both_faces", rules=brief.rules.name, face=face)
    where = "assembly.faces"
    yield Finding("rule-faces", Severity.WARNING, where, text, brief.rules.source)


def _what_would_work(brief: Brief) -> Iterator[Finding]:
    """Each proposal has been laid out and checked: this face without bolts, and both faces."""
    both = replace(brief.job, assembly=replace(brief.job.assembly, faces="both"))
    reached, _ = suited(make_brief(both, brief.girder))
    tries = (
        (("fastening", b) for b in _from_here(brief)),
        (("assembly.faces", b) for b in (reached,)),
    )
    for attempt in tries:
        for where, tried in attempt:
            done = carries(tried)
            if done is not None and not done.failed:
                text = said("finding.would_carry", change=_change(tried, done))
                tip = said("finding.engineer")
                yield Finding("would-work", Severity.NOTE, where, text, tip=tip)
                break


def _change(tried: Brief, done: Tried) -> Said:
    """What is done otherwise."""
    if tried.job.assembly.faces == "both":
        return said("finding.would_both_faces")
    count = int(done.layout.fasteners.driven.sum())
    nail = tried.nail.key if tried.nail else ""
    many = kind_words(tried.driven, count)
    return said("finding.would_one_face", count=count, many=many, nail=nail)


def _from_here(brief: Brief) -> Iterator[Brief]:
    """The same girder without a bolt; where its nail does not suit the stack, with others."""
    if brief.nail is None or any(x.bracket and x.bracket.bolts for x in brief.job.loads):
        return  # nothing but bolts holds the plies, or the brackets
    asked, rule = brief.job.fastening, rule_for(brief.rules, brief.girder.plies)
    off: dict[str, float | int | str | bool] = {**asked.overrides, "joint_bolts": False}
    if rule.through_bolt_rows:
        off["through_bolt_rows"] = 0
    fastening = replace(asked, transfer_by=FastenerKind.NAIL, overrides=off)
    bare, _ = suited(make_brief(replace(brief.job, fastening=fastening), brief.girder))
    if not unfit(bare):
        yield bare
    elif bare.nail is not None and not isinstance(bare.nail, Screw):
        yield from (with_nail(bare, nail) for nail in candidates(bare, bare.nail)[:TRIALS])
