"""The job said back in plain sentences, so that a second person can hold it against the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Severity
from girderply.jobfile.job import BracketSpec, DesignerSpec, FixingSpec, LoadSpec, Role
from girderply.model.girder import HungLoad
from girderply.schedule import read_back_values as values_of
from girderply.schedule.rare import rare_lines
from girderply.schedule.sums import Forces, Sums
from girderply.schedule.types import Schedule
from girderply.schedule.unlike import unlike_lines
from girderply.strength.sharing.shares import factor
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import face_words, field_words, kind_words, role_words

UNUSUAL = frozenset({
    "no-loads", "all-on-top", "load-small", "load-large", "one-bearing", "bearing-width",
    "free-end", "bearing-lifts", "bearing-pressure", "stands-by-bending", "does-not-stand",
    "no-webs", "designer-differs", "plate-turned", "plate-large", "plate-misses-member",
    "plate-missing", "plates-overlap", "brackets-overlap", "bracket-beyond-chord",
    "bracket-over-edge", "load-missing", "web-too-flat", "thickness-not-covered",
    "confirms-nothing", "sign-differs", "reach-not-proved", "bracket-nail-through",
    "depth-unusual", "web-deep", "chords-unlike", "parts-unlike", "row-step", "row-short",
    "bracket-size", "plate-small", "pitch-unusual", "heel-high", "uplift-large", "duration-brief",
    "bracket-nail-short", "outline-askew", "halves-differ", "bearing-beyond", "bearing-inside",
    "load-over-bearing", "bolts-not-counted",
})  # fmt: skip
"""Findings about what was put in, which a reader looks at beside the sentences."""


@dataclass(frozen=True, slots=True)
class ReadBack:
    """A job in plain sentences.

    Attributes:
        said: what the job says. unusual: what is unusual for its kind. not_checked: what nobody
            has checked here.
    """

    said: tuple[Words, ...]
    unusual: tuple[Words, ...]
    not_checked: tuple[Words, ...]


def read_back(schedule: Schedule) -> ReadBack:
    """Say a job back.

    Args:
        schedule: with its sums; every sentence is in no language yet.
    """
    show = Show(schedule.job.info.units)
    sentences = [
        *_girder(schedule, show),
        *(_load(schedule, load, show) for load in schedule.job.loads),
        *_sums(schedule, show),
        _supports(schedule, show),
        *_basis(schedule),
        *values_of.basis_lines(schedule, show),
        *values_of.fastening_lines(schedule, show),
        *values_of.designer_lines(schedule, show),
        _result(schedule),
    ]
    return ReadBack(tuple(sentences), tuple(_unusual(schedule)), tuple(_not_checked(schedule)))


def _girder(schedule: Schedule, show: Show) -> Iterator[Said]:
    girder = schedule.girder
    yield said(
        "read_back.girder",
        mark=girder.mark,
        plies=girder.plies,
        thickness=show.small(girder.ply_thickness),
        timber=girder.timber_line,
        length=show.span(girder.length),
        height=show.span(girder.height),
        mass=show.mass(schedule.masses.total),
        n=girder.quantity,
    )
    depths: list[Words] = []
    for role in Role:
        mine = [m for m in girder.members if m.role is role]
        if mine:
            sizes = joined(", ", map(show.small, sorted({m.depth for m in mine})))
            depths.append(
                said("read_back.members", count=len(mine), role=role_words(role), sizes=sizes)
            )
    yield said("read_back.made_of", parts=joined(said("sheet.semicolon"), depths))
    assumed = sum(p.assumed for p in girder.plates)
    given = len(girder.plates) - assumed
    yield said("read_back.plates", given=given, assumed=assumed)
    yield from values_of.shape_lines(schedule, show)
    yield values_of.timber_line(schedule)


def _load(schedule: Schedule, load: LoadSpec, show: Show) -> Said:
    mine = [x for x in schedule.girder.loads if x.series == load.id]
    return said(
        "read_back.load",
        what=_name(load),
        n=len(mine),
        force=_force(load, len(mine), show),
        place=_place(schedule, load, mine, show),
        fixing=_fixing(load, mine, show),
    )


def _name(load: LoadSpec) -> Words:
    return said("read_back.named", what=load.what, id=load.id) if load.what else load.id


def _force(load: LoadSpec, count: int, show: Show) -> Said:
    """Each part and all of them together; what lifts is said apart."""
    parts = [v for v in (load.permanent, load.variable) if v is not None]
    if load.design is not None:
        return said(
            "read_back.design", each=show.force(load.design), all=show.force(load.design * count)
        )
    words: list[Words] = []
    if load.cases:
        words.append(values_of.load_words(load, show))
    if parts:
        words.append(
            said(
                "read_back.parts",
                permanent=show.force(load.permanent or 0.0),
                variable=show.force(load.variable or 0.0),
                all=show.force(sum(parts) * count),
            )
        )
    if load.uplift:
        words.append(
            said(
                "read_back.uplift",
                each=show.force(load.uplift),
                all=show.force(load.uplift * count),
            )
        )
    return joined(said("sheet.semicolon"), words)


def _place(schedule: Schedule, load: LoadSpec, mine: list[HungLoad], show: Show) -> Said:
    """Where, from which end: the end is written large, since a tape can be hooked at either."""
    chord = schedule.girder.member(load.chord)
    left = chord.hook[0] <= chord.far[0]
    end = said("read_back.left") if left else said("read_back.right")
    values = {
        "chord": load.chord,
        "face": face_words(load.face),
        "first": show.span(mine[0].station if mine else load.at),
        "end": end,
    }
    if len(mine) > 1 and load.every:
        last = show.span(mine[-1].station)
        return said("read_back.row", every=show.span(load.every), last=last, **values)
    return said("read_back.single", **values)


def _fixing(load: LoadSpec, mine: list[HungLoad], show: Show) -> Said:
    """How it is fixed, and how many plies that reaches, or is said to where nothing proves it."""
    if load.face == "top":
        return said("read_back.no_transfer")
    bracket, reach = load.bracket, {"n": load.plies_reached}
    if bracket is None:
        return said("read_back.no_bracket", **reach)
    size = _size(bracket, show)
    if bracket.bolts:
        return said(
            "read_back.bracket_bolts", size=size, count=len(bracket.bolts),
            bolt=bracket.bolt or "", at=values_of.bolts_words(bracket, show), **reach,
        )  # fmt: skip
    if bracket.fixing is not None:
        proved = mine[0].plies_reached if mine else load.plies_reached
        return _fixed(bracket.fixing, size, proved, show)
    if bracket.nail_length is None:
        return said("read_back.bracket_bare", size=size, **reach)
    return said(
        "read_back.bracket_nails", size=size, length=show.small(bracket.nail_length), **reach
    )


def _size(bracket: BracketSpec, show: Show) -> Said:
    values = {"width": show.small(bracket.width), "height": show.small(bracket.height)}
    if not bracket.offset:
        return said("read_back.size", **values)
    way = said("read_back.above" if bracket.offset > 0 else "read_back.below")
    return said("read_back.size_off", off=show.small(abs(bracket.offset)), way=way, **values)


def _fixed(fixing: FixingSpec, size: Words, plies: int, show: Show) -> Said:
    holes = said("read_back.in_holes", holes=fixing.holes) if fixing.holes else ""
    values = {"size": size, "count": fixing.number, "n": plies, "holes": holes}
    if fixing.screw:
        return said("read_back.bracket_screwed", screw=fixing.screw, **values)
    d, length = show.small(fixing.d), show.small(fixing.length)
    return said("read_back.bracket_fixed", d=d, length=length, **values)


def _sums(schedule: Schedule, show: Show) -> Iterator[Said]:
    sums = schedule.sums
    if sums is None or not sums.count:
        return
    faces = [
        said(f"read_back.on_{face}", force=_all(forces, show))
        for face, forces in sums.faces.items()
    ]
    yield said(
        "read_back.sum",
        n=sums.count,
        force=_all(sums.total, show),
        design=show.force(sums.total.design),
        faces=joined(said("sheet.semicolon"), faces),
    )


def _all(forces: Forces, show: Show) -> Said:
    return show.force(forces.unfactored)


def _supports(schedule: Schedule, show: Show) -> Said:
    girder, sums = schedule.girder, schedule.sums
    parts: list[Words] = []
    for i, b in enumerate(girder.bearings):
        values = {"at": show.span(b.x), "width": show.small(b.width)}
        if sums is None or sums.reactions is None:
            parts.append(said("read_back.bearing", **values))
        else:
            parts.append(_reaction(sums, i, values, show))
    bearings = joined(said("sheet.semicolon"), parts)
    return said("read_back.bearings", n=len(parts), bearings=bearings)


def _reaction(sums: Sums, i: int, values: dict[str, Said], show: Show) -> Said:
    reaction = sums.reactions[i] if sums.reactions else sums.total
    return said(
        "read_back.bearing_reaction",
        force=_all(reaction, show),
        design=show.force(reaction.design),
        **values,
    )


def _basis(schedule: Schedule) -> Iterator[Said]:
    basis = schedule.job.basis
    yield said(
        "read_back.basis",
        standard=basis.standard,
        rules=schedule.rules.name,
        carriers=kind_words(schedule.carriers, 2),
    )
    if schedule.load_shares and schedule.shares is not None:
        yield said("read_back.by_computed", limit=factor(1.0 + schedule.shares.limit))
    elif any(x.face != "top" for x in schedule.girder.loads):
        yield said("read_back.by_equal", plies=schedule.girder.plies)
    yield from values_of.choices_line(basis)


def _result(schedule: Schedule) -> Said:
    kinds = schedule.fasteners.kind.tolist()
    counts = [
        said("read_back.counted", count=kinds.count(kind), kind=kind_words(kind, 2))
        for kind in FastenerKind
        if kind in kinds
    ]
    worst = max(schedule.checks, key=lambda c: c.utilisation, default=None)
    if worst is None:
        hardest: Words = said("read_back.no_check")
    elif worst.percent is None:
        hardest = said("read_back.nothing_carries")
    else:
        hardest = said("read_back.hardest", percent=worst.percent)
    return said("read_back.result", counts=joined(", ", counts), hardest=hardest)


def _unusual(schedule: Schedule) -> Iterator[Said]:
    """Findings about the input, and what a reader would not expect of a girder."""
    for finding in schedule.findings:
        if finding.code in UNUSUAL:
            yield said("read_back.at", where=finding.where, text=finding.message)
    girder = schedule.girder
    turned = [m.id for m in girder.members if m.role is Role.BOTTOM_CHORD and m.hook > m.far]
    if turned:
        yield said("read_back.from_the_right", members=", ".join(turned))
    high = [x.id for x in girder.loads if girder.member(x.chord).role is Role.TOP_CHORD]
    if high:
        yield said("read_back.on_top_chord", n=len(high))
    yield from unlike_lines(schedule)
    yield from rare_lines(schedule)
    deep = sorted({x.series for x in girder.loads if x.plies_reached > 1 and x.face != "top"})
    if deep:
        yield said("read_back.reaches_more", loads=", ".join(deep))


def _not_held(drawn: DesignerSpec) -> list[Said | str]:
    """What the truss designer's drawing says and nobody has put into the job to be compared."""
    own = ("reactions_are", "self_weight")
    keys = [f.name for f in fields(DesignerSpec) if f.name not in own]
    open_ = [k for k in keys if getattr(drawn, k) in (None, ())]
    return [field_words("designer", key) for key in open_]


def _not_checked(schedule: Schedule) -> Iterator[Words]:
    drawn = schedule.job.designer
    if drawn is None:
        yield said("read_back.nothing_held")
    elif open_ := _not_held(drawn):
        yield said("read_back.not_held", parts=joined(said("sheet.semicolon"), open_))
    yield said("read_back.not_truss")
    if not any(x.uplift for x in schedule.job.loads) and not schedule.job.basis.cases:
        yield said("unusual.no_uplift")
    yield said("read_back.not_plates")
    if any(x.bracket is not None for x in schedule.girder.loads):
        yield said("read_back.not_brackets")
    checked = "not_beyond_seats" if schedule.seats else "not_bearings"
    yield said(f"read_back.{checked}")
    yield said("read_back.not_bracing")
    for finding in schedule.findings:
        if finding.code.endswith("-not-checked") and finding.severity is not Severity.ERROR:
            yield finding.message
