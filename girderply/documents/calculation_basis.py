"""What the calculation rests on: standard, factors, combinations, timber, fasteners, reach."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.catalogue.timbers_known import timber
from girderply.documents import blocks as b
from girderply.documents.blocks import Block
from girderply.documents.calculation_words import input_value
from girderply.schedule.types import Schedule
from girderply.strength.demand import Combination, demands
from girderply.strength.zones import reach_of
from girderply.units.show import NBSP, Show

Pairs = Iterator[tuple[str, str]]


def basis_blocks(schedule: Schedule) -> list[Block]:
    """Basis in two columns, then the combinations with their modification factors."""
    return [
        b.heading("Basis"),
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
    yield "Standard", edition(schedule)
    if basis.standard == "NDS 2018":
        yield "Design", "allowable stress"
        yield "Moisture", job.girder.moisture
    else:
        yield "Service class", f"{basis.service_class}"
        yield "\u03b3_M, connections", f"{basis.gamma_connection:g}"
        yield "Clause 8.3.1.2(7)", "in force" if basis.split_clause else "not in force"
    yield "Carried across by", f"{job.fastening.transfer_by}s alone"
    yield (
        "Zone of a load",
        f"half-way to the next, at most {show.span(reach_of(schedule.job, schedule.rules))}",
    )
    yield "Share of each ply", f"1/{girder.plies} of the load"
    yield "Rule set", schedule.rules.title


def _timber(schedule: Schedule) -> Pairs:
    girder, show = schedule.girder, Show(schedule.job.info.units)
    wood = timber(girder.timber)
    yield "Timber", f"{wood.key}, {girder.plies} plies of {show.small(girder.ply_thickness)}"
    if schedule.job.basis.standard == "NDS 2018":
        yield "Specific gravity G", f"{wood.G:g}" if wood.G is not None else ""
    else:
        density = "" if wood.rho_k is None else f"{wood.rho_k:g}{NBSP}kg/m\u00b3"
        yield "Density \u03c1_k", density
    yield "Nails", "in predrilled holes" if girder.predrilled else "not predrilled"
    yield "Prone to split", "yes" if girder.split_prone else "no"


def _fasteners(schedule: Schedule) -> Pairs:
    show, nds = Show(schedule.job.info.units), schedule.job.basis.standard == "NDS 2018"
    for key, nail in sorted(schedule.nails.items()):
        name, stress = ("F_yb", nail.f_yb or 0.0) if nds else ("f_u", nail.fu)
        size = f"{show.diameter(nail.d)}, {show.small(nail.length)} long, {_surface(nail.surface)}"
        yield "Nail", f"{key}: {size}"
        yield f"  its {name}", input_value(stress, "N/mm2", show)
    for spec, choice in sorted(schedule.bolts.items()):
        size = f"shank {show.diameter(choice.bolt.d)}, washers {choice.washer.key}"
        yield "Bolt", f"{spec}: {size}"
        yield "  its f_u", input_value(choice.bolt.fu, "N/mm2", show)


def _surface(surface: str) -> str:
    return "ring or helical shank" if surface == "other" else f"{surface} shank"


def _combinations(schedule: Schedule) -> list[Block]:
    asked = demands(schedule.job, schedule.girder, schedule.rules, every=True)
    found = list(dict.fromkeys(d.combination for d in asked))
    if not found:
        return []
    factor = "C_D" if schedule.job.basis.standard == "NDS 2018" else "k_mod"
    heads = ("In ids", "Combination", "Duration", factor, "Clause")
    align = ("left", "left", "left", "right", "left")
    return [
        b.heading("Combinations"),
        b.table(heads, map(_combination, found), ("auto", "1fr", "auto", "auto", "auto"), align),
        b.words(
            "G permanent, Q variable, U uplift. The id of a check: load or loads of one place, "
            "i and the interface (1 is between plies 1 and 2) or split, combination; where both "
            "faces are loaded, also with one face alone."
        ),
    ]


def _combination(c: Combination) -> list[b.Cell]:
    return [b.strong(c.code), c.text, c.duration, f"{c.modification:g}", c.clause]
