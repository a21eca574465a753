"""What the calculation rests on: standard, factors, combinations, timber, fasteners, reach."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.catalogue.timbers_known import timber
from girderply.catalogue.types import Screw
from girderply.papers.engineer.calculation_words import input_value
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.strength.demand import Combination, demands
from girderply.strength.zones import reach_of
from girderply.units.show import NBSP, Show
from girderply.wording import figures, numeral, phrase
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
    from girderply.standards import en1995_1_1_2014, nds_2018

    nds = schedule.job.basis.standard == "NDS 2018"
    return nds_2018.DOCUMENT if nds else en1995_1_1_2014.DOCUMENT


def _standard(schedule: Schedule) -> Pairs:
    job, girder = schedule.job, schedule.girder
    basis, show = job.basis, Show(job.info.units)
    yield phrase("calculation.standard"), edition(schedule)
    if basis.standard == "NDS 2018":
        yield phrase("calculation.design"), phrase("calculation.allowable")
        yield phrase("calculation.moisture"), phrase(f"calculation.moisture_{job.girder.moisture}")
    else:
        yield phrase("calculation.service_class"), f"{basis.service_class}"
        yield phrase("calculation.gamma_M"), numeral(basis.gamma_connection)
        yield (
            phrase("calculation.split_clause"),
            phrase("calculation.in_force" if basis.split_clause else "calculation.not_in_force"),
        )
    carriers = kind_words(schedule.carriers, 2)
    yield phrase("calculation.carried_by"), phrase("calculation.alone", kind=carriers)
    reach = show.span(reach_of(schedule.job, schedule.rules))
    yield phrase("calculation.zone_of"), phrase("calculation.half_way", reach=reach)
    yield phrase("calculation.share_of"), phrase("calculation.share", plies=girder.plies)
    yield phrase("calculation.rule_set"), schedule.rules.title


def _timber(schedule: Schedule) -> Pairs:
    girder, show = schedule.girder, Show(schedule.job.info.units)
    wood = timber(girder.timber)
    thickness = show.small(girder.ply_thickness)
    yield (
        phrase("calculation.timber"),
        phrase("calculation.plies_of", timber=wood.key, plies=girder.plies, thickness=thickness),
    )
    if schedule.job.basis.standard == "NDS 2018":
        yield phrase("calculation.gravity"), numeral(wood.G) if wood.G is not None else ""
    else:
        density = "" if wood.rho_k is None else figures(f"{wood.rho_k:g}{NBSP}kg/m\u00b3")
        yield phrase("calculation.density"), density
    drilled = bool((schedule.fasteners.drilled[schedule.fasteners.driven] > 0).any())
    yield (
        phrase(f"calculation.{schedule.driven}s"),
        phrase("calculation.predrilled" if drilled else "calculation.not_predrilled"),
    )
    split = phrase("calculation.yes" if girder.split_prone else "calculation.no")
    yield phrase("calculation.split_prone"), split


def _fasteners(schedule: Schedule) -> Pairs:
    show, nds = Show(schedule.job.info.units), schedule.job.basis.standard == "NDS 2018"
    for key, nail in sorted(schedule.nails.items()):
        name, stress = ("F_yb", nail.f_yb or 0.0) if nds else ("f_u", nail.fu)
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
    if not found:
        return []
    factor = "C_D" if schedule.job.basis.standard == "NDS 2018" else "k_mod"
    named = (phrase(f"calculation.head_{n}") for n in ("in_ids", "combination", "duration"))
    heads = (*named, factor, phrase("calculation.head_clause"))
    align = ("left", "left", "left", "right", "left")
    return [
        b.heading(phrase("calculation.combinations")),
        b.table(heads, map(_combination, found), ("auto", "1fr", "auto", "auto", "auto"), align),
        b.words(phrase("calculation.ids_how")),
    ]


def _combination(c: Combination) -> list[b.Cell]:
    duration = duration_words(c.duration)
    return [b.strong(c.code), c.text, duration, numeral(c.modification), c.clause]
