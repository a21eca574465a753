"""Every value of a job that a sentence of the read-back does not say already, with its name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import TYPE_CHECKING

from girderply.jobfile.job import BracketSpec, LoadSpec, MemberSpec, PlateSpec, PrescribedSpec
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, numeral, said
from girderply.wording.words import duration_words, field_words, role_words

if TYPE_CHECKING:
    from girderply.bases.spec import BasisSpec, Case
    from girderply.catalogue.screwing import ScrewSpec

Pair = tuple[str, Words | bool | int | None]
"""A key, and its value as it is printed; None or empty where the job does not say it."""
_CHOICES = frozenset(
    (
        "kind",
        "web_pattern",
        "way",
        "faces",
        "moisture",
        "reactions_are",
        "finish",
        "bolt_finish",
        "variable_duration",
    )
)
"""Keys whose value is one of a few words."""


def shape_lines(schedule: Schedule, show: Show) -> Iterator[Said]:
    """The shape, or panel points and members as they are listed, and the plates that are given."""
    spec = schedule.job.girder
    if spec.shape is not None:
        yield _table("shape", "girder_shape", _shape(schedule, show))
    if spec.own_depths:
        own = (_named(name, show.small(depth)) for name, depth in spec.own_depths.items())
        yield said("read_back.own_depths", parts=joined(", ", own))
    if spec.nodes:
        points = (_named(n.id, _point(n.x, n.y, show)) for n in spec.nodes)
        yield said("read_back.points", parts=joined(_semicolon(), points))
    if spec.members:
        rows = (_member(m, show) for m in spec.members)
        yield said("read_back.listed", parts=joined(_semicolon(), rows))
    for m in spec.members:
        if m.outline:
            corners = joined(_semicolon(), (_point(x, y, show) for x, y in m.outline))
            yield said("read_back.outline", member=m.id, n=len(m.outline), corners=corners)
    if spec.plates:
        plates = (_plate(p, show) for p in spec.plates)
        yield said("read_back.plates_given", parts=joined(_semicolon(), plates))


def timber_line(schedule: Schedule) -> Said:
    """What the timber is like: whether it is drilled, splits, is moist or treated."""
    spec = schedule.job.girder
    pairs: list[Pair] = [("predrilled", spec.predrilled), ("split_prone", spec.split_prone)]
    if schedule.job.says("girder.moisture") or schedule.job.says("girder.treated"):
        pairs += [("moisture", spec.moisture), ("treated", spec.treated)]
    return _table("timber", "girder", pairs)


def load_words(load: LoadSpec, show: Show) -> Words:
    """Values by load case, where they are given so."""
    each = (_named(case, show.force(value)) for case, value in load.cases)
    return said("read_back.by_case", parts=joined(", ", each))


def bolts_words(bracket: BracketSpec, show: Show) -> Said:
    """Where a bracket's own bolts stand, from its middle."""
    at = (_point(b.along, b.across, show) for b in bracket.bolts)
    return joined(_semicolon(), at)


def choices_line(basis: BasisSpec) -> Iterator[Said]:
    """What the basis leaves to the job."""
    pairs = [(key, v if isinstance(v, bool | str) else numeral(v)) for key, v in basis.options]
    if pairs:
        yield said("read_back.choices", choices=_pairs("basis", pairs))


def basis_lines(schedule: Schedule, show: Show) -> Iterator[Said]:
    """Durations, load cases, how far fasteners count for a load."""
    basis = schedule.job.basis
    durations = {
        name: duration_words(getattr(basis, f"{name}_duration"))
        for name in ("permanent", "variable", "uplift")
    }
    yield said("read_back.durations", **durations)
    for case in basis.cases:
        yield _case(case)
    reach = schedule.rules.zone_reach if basis.reach is None else basis.reach
    yield said("read_back.reach", reach=show.span(reach))


def fastening_lines(schedule: Schedule, show: Show) -> Iterator[Said]:
    """What the job asks for of fasteners and their rules; prescribed patterns, declared screws."""
    spec, assembly = schedule.job.fastening, schedule.job.assembly
    limit = spec.share_limit
    overrides = (_named(k, str(v)) for k, v in sorted(spec.overrides.items()))
    yield _table(
        "fastening", "fastening",
        [
            ("nail", spec.nail), ("screw", spec.screw), ("bolt", spec.bolt),
            ("washer", spec.washer), ("finish", spec.finish), ("bolt_finish", spec.bolt_finish),
            ("share_limit", None if limit is None else numeral(limit)),
            ("design_to_load", spec.design_to_load),
            ("order_allowance", numeral(spec.order_allowance)),
            ("rules_file", spec.rules_file),
            ("overrides", joined(", ", overrides) if spec.overrides else None),
        ],
    )  # fmt: skip
    for pattern in spec.prescribed:
        yield _prescribed(pattern, show)
    for screw in spec.screws:
        yield _screw(screw, show)
    yield _table("assembly", "assembly", [("way", assembly.way), ("faces", assembly.faces)])


def designer_lines(schedule: Schedule, show: Show) -> Iterator[Said]:
    """What the truss designer's drawing is said to say, which this job was held against."""
    drawn = schedule.job.designer
    if drawn is None:
        return
    pairs = [(f.name, _drawn(f.name, getattr(drawn, f.name), show)) for f in fields(drawn)]
    if not drawn.reactions:
        pairs = [(k, v) for k, v in pairs if k not in ("reactions_are", "self_weight")]
    yield _table("designer", "designer", pairs)


def _drawn(key: str, value: object, show: Show) -> Words | bool | int | None:
    if isinstance(value, tuple):
        return joined(_semicolon(), map(show.force, value)) if value else None
    if isinstance(value, float):
        kinds = {
            "mass": show.mass,
            **dict.fromkeys(("permanent", "variable", "uplift"), show.force),
        }
        return kinds.get(key, show.small)(value)
    return value if isinstance(value, bool | int | str) else None


def _shape(schedule: Schedule, show: Show) -> Iterator[Pair]:
    spec = schedule.job.girder.shape
    if spec is None:
        return
    yield "kind", spec.kind
    yield "span", show.span(spec.span)
    yield "pitch", None if spec.pitch is None else show.pitch(spec.pitch)
    for key in ("height", "heel_height", "flat_height"):
        size = getattr(spec, key)
        yield key, None if size is None else show.span(size)
    lengths = spec.panel_lengths
    yield "panels", None if lengths else spec.panels
    yield "panel_lengths", joined(_semicolon(), map(show.span, lengths)) if lengths else None
    yield "overhang", show.span(spec.overhang)
    yield "web_pattern", spec.web_pattern


def _member(m: MemberSpec, show: Show) -> Said:
    extra: list[Words] = []
    if m.hook_end:
        extra.append(said(f"read_back.hooked_{m.hook_end}"))
    if m.compression is not None:
        extra.append(said("designer.compressed" if m.compression else "designer.pulled"))
    if m.align != "centre":
        extra.append(said(f"read_back.align_{m.align}"))
    return joined(
        ", ",
        [
            said("read_back.member", id=m.id, role=role_words(m.role), depth=show.small(m.depth),
                 nodes="-".join(m.nodes)),
            *extra,
        ],
    )  # fmt: skip


def _plate(p: PlateSpec, show: Show) -> Said:
    return said(
        "read_back.plate", joint=p.joint, at=_point(*p.centre, show), width=show.small(p.width),
        height=show.small(p.height), angle=show.angle(p.angle),
    )  # fmt: skip


def _case(case: Case) -> Said:
    kind, duration = said(f"choice.{case.kind}"), duration_words(case.duration)
    return said(
        "read_back.case", id=case.id, kind=kind, duration=duration, factor=numeral(case.factor),
        group=case.group or "-", what=case.what or "-",
    )  # fmt: skip


def _prescribed(p: PrescribedSpec, show: Show) -> Said:
    where = role_words(p.role) if p.role else ", ".join(p.members)
    pairs: list[Pair] = [
        ("rows", p.rows), ("pitch", show.span(p.pitch)), ("stagger", p.stagger),
        ("nail", p.nail), ("source", p.source),
    ]  # fmt: skip
    return said("read_back.prescribed", where=where, parts=_pairs("fastening_prescribed", pairs))


def _screw(s: ScrewSpec, show: Show) -> Said:
    least = [show.small(v) if v else None for v in s.least]
    pairs: list[Pair] = [
        ("d", show.diameter(s.d)), ("d_root", show.diameter(s.d_root)),
        ("d_shank", show.diameter(s.d_shank)), ("head", show.diameter(s.head)),
        ("length", show.small(s.length)), ("thread", show.small(s.thread)),
        ("yield_moment", numeral(s.M_y)), ("withdrawal", show.stress(s.f_ax)),
        ("pull_through", show.stress(s.f_head)), ("density", numeral(s.rho_a)),
        ("tension", show.force(s.tension)), ("drill", show.diameter(s.drill) if s.drill else None),
        ("self_drilling", s.self_drilling),
        ("thinnest", None if s.thinnest is None else show.small(s.thinnest)),
        *zip(("spacing", "gauge", "end", "edge"), least, strict=True),
        ("source", s.source),
    ]  # fmt: skip
    return said("read_back.screw", key=s.key, parts=_pairs("fastening_screws", pairs))


def _table(name: str, table: str, pairs: Iterable[Pair]) -> Said:
    return said(f"read_back.table_{name}", parts=_pairs(table, pairs))


def _pairs(table: str, pairs: Iterable[Pair]) -> Said:
    """Names and values; what the job does not say is left out."""
    given = (
        said("read_back.pair", name=field_words(table, key), value=_value(key, value))
        for key, value in pairs
        if value is not None and value != ""
    )
    return joined(_semicolon(), given)


def _value(key: str, value: Words | bool | int | None) -> Words:
    if key in _CHOICES:
        return said(f"choice.{value}")
    if isinstance(value, bool):
        return said("read_back.yes" if value else "read_back.no")
    return value if isinstance(value, Said | str) else str(value)


def _named(name: str, value: Words) -> Said:
    return said("read_back.own", name=name, value=value)


def _point(x: float, y: float, show: Show) -> Said:
    return said("read_back.point", x=show.length(x), y=show.length(y))


def _semicolon() -> Said:
    return said("sheet.semicolon")
