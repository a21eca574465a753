"""What the calculation rests on: standard, factors, combinations, timber, fasteners, reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from girderply.bases.answers import Stuff
from girderply.bases.combining import Combination
from girderply.bases.protocol import Fact
from girderply.bases.registry import basis_of
from girderply.catalogue.catalogue_types import Screw
from girderply.catalogue.timbers_known import timber
from girderply.papers.engineer.calculation_words import input_value
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.cited_words import clause_words, rule_set_title
from girderply.schedule.types import Schedule
from girderply.strength.demand import demands
from girderply.strength.in_force import stuff_of
from girderply.strength.sharing.shares import factor
from girderply.strength.zones import reach_of
from girderply.units.show import Printed
from girderply.wording import Voice, numeral
from girderply.wording.words import duration_words, kind_words, spec_words

Pairs = Iterator[tuple[str, str]]


def basis_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """Basis in two columns, then the combinations with their modification factors."""
    return [
        b.heading(voice.phrase("calculation.basis")),
        b.columns(
            ("1fr", "1fr"),
            [b.facts(_standard(voice, schedule))],
            [b.facts([*_timber(voice, schedule), *_fasteners(voice, schedule)])],
        ),
        *_combinations(voice, schedule),
    ]


def edition(schedule: Schedule) -> str:
    """The document that judges, with its edition."""
    return basis_of(schedule.job.basis).document


def _stuff(schedule: Schedule) -> Stuff:
    return stuff_of(schedule.job, schedule.girder, schedule.nails, schedule.bolts)


def _told(voice: Voice, facts: Iterable[Fact]) -> Pairs:
    return ((voice.told(name), voice.told(value)) for name, value in facts)


def _standard(voice: Voice, schedule: Schedule) -> Pairs:
    job = schedule.job
    show = Printed(job.info.units, voice)
    yield voice.phrase("calculation.standard"), edition(schedule)
    yield from _told(voice, basis_of(job.basis).facts(job.basis, _stuff(schedule)))
    carriers = kind_words(schedule.carriers, 2)
    yield voice.phrase("calculation.carried_by"), voice.phrase("calculation.alone", kind=carriers)
    reach = show.span(reach_of(schedule.job, schedule.rules))
    yield voice.phrase("calculation.zone_of"), voice.phrase("calculation.within_reach", reach=reach)
    yield voice.phrase("calculation.share_of"), _share(voice, schedule)
    yield voice.phrase("calculation.rule_set"), rule_set_title(voice, schedule)


def _share(voice: Voice, schedule: Schedule) -> str:
    """What a ply is taken to keep of a load."""
    plies, shares = schedule.girder.plies, schedule.shares
    if not schedule.load_shares or shares is None:
        return voice.phrase("calculation.share", plies=plies)
    most = max((s.share for s in shares.at_bearings), default=1.0)
    limit = factor(1.0 + shares.limit)
    return voice.phrase("calculation.share_computed", limit=limit, plies=plies, most=factor(most))


def _timber(voice: Voice, schedule: Schedule) -> Pairs:
    girder, show = schedule.girder, Printed(schedule.job.info.units, voice)
    thickness = show.small(girder.ply_thickness)
    yield (
        voice.phrase("calculation.timber"),
        voice.phrase(
            "calculation.plies_of",
            timber=girder.timber_line.replace(girder.timber, timber(girder.timber).key, 1),
            plies=girder.plies,
            thickness=thickness,
        ),
    )
    yield from _told(voice, basis_of(schedule.job.basis).timber_facts(_stuff(schedule)))
    drilled = bool((schedule.fasteners.drilled[schedule.fasteners.driven] > 0).any())
    yield (
        voice.phrase(f"calculation.{schedule.driven}s"),
        voice.phrase("calculation.predrilled" if drilled else "calculation.not_predrilled"),
    )
    split = voice.phrase("calculation.yes" if girder.split_prone else "calculation.no")
    yield voice.phrase("calculation.split_prone"), split


def _fasteners(voice: Voice, schedule: Schedule) -> Pairs:
    show, basis = Printed(schedule.job.info.units, voice), basis_of(schedule.job.basis)
    for key, nail in sorted(schedule.nails.items()):
        name, stress = basis.nail_stress(nail)
        size: str = voice.phrase(
            "calculation.nail_size",
            nail=key, d=show.diameter(nail.d), length=show.small(nail.length),
            surface=voice.phrase(f"calculation.surface_{nail.surface}"),
        )  # fmt: skip
        if isinstance(nail, Screw):
            declared = {"d": show.diameter(nail.d), "length": show.small(nail.length)}
            size = voice.phrase("calculation.screw_size", screw=key, source=nail.source, **declared)
            yield voice.phrase("calculation.screw"), size
            yield (
                voice.phrase("calculation.its", name="M_y,k"),
                input_value(voice, nail.M_y, "Nmm", show),
            )
            continue
        yield voice.phrase("calculation.nail"), size
        yield voice.phrase("calculation.its", name=name), input_value(voice, stress, "N/mm2", show)
    for spec, choice in sorted(schedule.bolts.items()):
        size = voice.phrase(
            "calculation.bolt_size",
            bolt=spec_words(spec), d=show.diameter(choice.bolt.d), washer=choice.washer.key,
        )  # fmt: skip
        yield voice.phrase("calculation.bolt"), size
        yield (
            voice.phrase("calculation.its", name="f_u"),
            input_value(voice, choice.bolt.fu, "N/mm2", show),
        )


def _combinations(voice: Voice, schedule: Schedule) -> list[Block]:
    asked = demands(schedule.job, schedule.girder, schedule.rules, every=True)
    found = list(dict.fromkeys(d.combination for d in asked))
    cases = _cases(voice, schedule)
    if not found:
        return []
    factor = basis_of(schedule.job.basis).modification_sign
    named = (voice.phrase(f"calculation.head_{n}") for n in ("in_ids", "combination", "duration"))
    heads = (*named, factor, voice.phrase("calculation.head_clause"))
    align = ("left", "left", "left", "right", "left")
    return [
        *cases,
        b.heading(voice.phrase("calculation.combinations")),
        b.table(
            heads,
            map(partial(_combination, voice), found),
            ("auto", "1fr", "auto", "auto", "auto"),
            align,
        ),
        b.words(voice.phrase("calculation.case_ids_how" if cases else "calculation.ids_how")),
    ]


def _cases(voice: Voice, schedule: Schedule) -> list[Block]:
    """The job's load cases, as it gives them."""
    basis = schedule.job.basis
    if not basis.cases:
        return []
    factors = basis_of(basis).case_factors
    names = ("case", "kind", "what", "duration", *(["factor"] if factors else []), "group")
    rows: list[list[b.Cell]] = []
    for case in basis.cases:
        others = [c.id for c in basis.cases if case.group and c.group == case.group and c != case]
        kind = voice.phrase(f"action_kind.{case.kind.replace(' ', '_')}")
        factor = [voice.told(numeral(case.factor)) if not case.permanent else ""] if factors else []
        rows.append(
            [b.strong(case.id), kind, case.what, voice.told(duration_words(case.duration)), *factor,
             ", ".join(others)]
        )  # fmt: skip
    heads = tuple(voice.phrase(f"calculation.head_{name}") for name in names)
    widths = ("auto", "auto", "1fr", *["auto"] * (len(names) - 3))
    aligned = tuple("right" if name == "factor" else "left" for name in names)
    return [
        b.heading(voice.phrase("calculation.cases")),
        b.table(heads, rows, widths, aligned),
    ]


def _combination(voice: Voice, c: Combination) -> list[b.Cell]:
    duration = duration_words(c.duration)
    return [
        b.strong(c.code),
        voice.told(c.text),
        voice.told(duration),
        voice.told(numeral(c.modification)),
        clause_words(voice, c.clause),
    ]
