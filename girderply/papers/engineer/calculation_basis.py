"""What the calculation rests on: standard, factors, combinations, timber, fasteners, reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

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
from girderply.wording import numeral, phrase, told
from girderply.wording.words import duration_words, kind_words, spec_words

Pairs = Iterator[tuple[str, str]]


def basis_blocks(schedule: Schedule) -> list[Block]:
    """Basis in two columns, then the combinations with their modification factors."""
    return [
        b.heading(phrase("calculation.basis")),
        b.columns(
            ("1fr", "1fr"),
            [b.facts(_standard(schedule))],
            [b.facts([*_timber(schedule), *_fasteners(schedule)])],
        ),
        *_combinations(schedule),
    ]


def edition(schedule: Schedule) -> str:
    """The document that judges, with its edition."""
    return basis_of(schedule.job.basis).document


def _stuff(schedule: Schedule) -> Stuff:
    return stuff_of(schedule.job, schedule.girder, schedule.nails, schedule.bolts)


def _told(facts: Iterable[Fact]) -> Pairs:
    return ((told(name), told(value)) for name, value in facts)


def _standard(schedule: Schedule) -> Pairs:
    job = schedule.job
    show = Printed(job.info.units)
    yield phrase("calculation.standard"), edition(schedule)
    yield from _told(basis_of(job.basis).facts(job.basis, _stuff(schedule)))
    carriers = kind_words(schedule.carriers, 2)
    yield phrase("calculation.carried_by"), phrase("calculation.alone", kind=carriers)
    reach = show.span(reach_of(schedule.job, schedule.rules))
    yield phrase("calculation.zone_of"), phrase("calculation.within_reach", reach=reach)
    yield phrase("calculation.share_of"), _share(schedule)
    yield phrase("calculation.rule_set"), rule_set_title(schedule)


def _share(schedule: Schedule) -> str:
    """What a ply is taken to keep of a load."""
    plies, shares = schedule.girder.plies, schedule.shares
    if not schedule.load_shares or shares is None:
        return phrase("calculation.share", plies=plies)
    most = max((s.share for s in shares.at_bearings), default=1.0)
    limit = factor(1.0 + shares.limit)
    return phrase("calculation.share_computed", limit=limit, plies=plies, most=factor(most))


def _timber(schedule: Schedule) -> Pairs:
    girder, show = schedule.girder, Printed(schedule.job.info.units)
    thickness = show.small(girder.ply_thickness)
    yield (
        phrase("calculation.timber"),
        phrase(
            "calculation.plies_of",
            timber=girder.timber_line.replace(girder.timber, timber(girder.timber).key, 1),
            plies=girder.plies,
            thickness=thickness,
        ),
    )
    yield from _told(basis_of(schedule.job.basis).timber_facts(_stuff(schedule)))
    drilled = bool((schedule.fasteners.drilled[schedule.fasteners.driven] > 0).any())
    yield (
        phrase(f"calculation.{schedule.driven}s"),
        phrase("calculation.predrilled" if drilled else "calculation.not_predrilled"),
    )
    split = phrase("calculation.yes" if girder.split_prone else "calculation.no")
    yield phrase("calculation.split_prone"), split


def _fasteners(schedule: Schedule) -> Pairs:
    show, basis = Printed(schedule.job.info.units), basis_of(schedule.job.basis)
    for key, nail in sorted(schedule.nails.items()):
        name, stress = basis.nail_stress(nail)
        size: str = phrase(
            "calculation.nail_size",
            nail=key, d=show.diameter(nail.d), length=show.small(nail.length),
            surface=phrase(f"calculation.surface_{nail.surface}"),
        )  # fmt: skip
        if isinstance(nail, Screw):
            declared = {"d": show.diameter(nail.d), "length": show.small(nail.length)}
            size = phrase("calculation.screw_size", screw=key, source=nail.source, **declared)
            yield phrase("calculation.screw"), size
            yield phrase("calculation.its", name="M_y,k"), input_value(nail.M_y, "Nmm", show)
            continue
        yield phrase("calculation.nail"), size
        yield phrase("calculation.its", name=name), input_value(stress, "N/mm2", show)
    for spec, choice in sorted(schedule.bolts.items()):
        size = phrase(
            "calculation.bolt_size",
            bolt=spec_words(spec), d=show.diameter(choice.bolt.d), washer=choice.washer.key,
        )  # fmt: skip
        yield phrase("calculation.bolt"), size
        yield phrase("calculation.its", name="f_u"), input_value(choice.bolt.fu, "N/mm2", show)


def _combinations(schedule: Schedule) -> list[Block]:
    asked = demands(schedule.job, schedule.girder, schedule.rules, every=True)
    found = list(dict.fromkeys(d.combination for d in asked))
    cases = _cases(schedule)
    if not found:
        return []
    factor = basis_of(schedule.job.basis).modification_sign
    named = (phrase(f"calculation.head_{n}") for n in ("in_ids", "combination", "duration"))
    heads = (*named, factor, phrase("calculation.head_clause"))
    align = ("left", "left", "left", "right", "left")
    return [
        *cases,
        b.heading(phrase("calculation.combinations")),
        b.table(heads, map(_combination, found), ("auto", "1fr", "auto", "auto", "auto"), align),
        b.words(phrase("calculation.case_ids_how" if cases else "calculation.ids_how")),
    ]


def _cases(schedule: Schedule) -> list[Block]:
    """The job's load cases, as it gives them."""
    basis = schedule.job.basis
    if not basis.cases:
        return []
    factors = basis_of(basis).case_factors
    names = ("case", "kind", "what", "duration", *(["factor"] if factors else []), "group")
    rows: list[list[b.Cell]] = []
    for case in basis.cases:
        others = [c.id for c in basis.cases if case.group and c.group == case.group and c != case]
        kind = phrase(f"action_kind.{case.kind.replace(' ', '_')}")
        factor = [told(numeral(case.factor)) if not case.permanent else ""] if factors else []
        rows.append(
            [b.strong(case.id), kind, case.what, told(duration_words(case.duration)), *factor,
             ", ".join(others)]
        )  # fmt: skip
    heads = tuple(phrase(f"calculation.head_{name}") for name in names)
    widths = ("auto", "auto", "1fr", *["auto"] * (len(names) - 3))
    aligned = tuple("right" if name == "factor" else "left" for name in names)
    return [
        b.heading(phrase("calculation.cases")),
        b.table(heads, rows, widths, aligned),
    ]


def _combination(c: Combination) -> list[b.Cell]:
    duration = duration_words(c.duration)
    return [
        b.strong(c.code),
        told(c.text),
        told(duration),
        told(numeral(c.modification)),
        clause_words(c.clause),
    ]
