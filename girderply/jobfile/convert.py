"""From the checked tables of a job file to the plain values of `girderply.jobfile.job`."""

from __future__ import annotations

from collections.abc import Mapping

from girderply.bases.spec import BasisSpec
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.catalogue.screwing import ScrewSpec
from girderply.jobfile.convert_basis import basis_spec, in_cases
from girderply.jobfile.cross_fastening import is_length
from girderply.jobfile.job import (
    AssemblySpec,
    BearingSpec,
    BracketBoltSpec,
    BracketSpec,
    DesignerSpec,
    FasteningSpec,
    FixingSpec,
    GirderSpec,
    Job,
    JobInfo,
    LoadSpec,
    MemberSpec,
    NodeSpec,
    PlateSpec,
    PrescribedSpec,
    Role,
    Saw,
    UnitSystem,
)
from girderply.jobfile.job_form import DesignerTable, JobFile, JobTable
from girderply.jobfile.schema_fastening import FasteningTable, PrescribedTable, ScrewTable
from girderply.jobfile.schema_girder import (
    GirderTable,
    MemberTable,
    PlateTable,
    SectionsTable,
    ShapeTable,
)
from girderply.jobfile.schema_loads import BracketTable, FixingTable, LoadTable
from girderply.shapes.shape_spec import ShapeSpec
from girderply.units.parse import parse_quantity
from girderply.wording import usual_language

_RULES_OF = {"metric": "common-practice", "imperial": "north-american-built-up"}


def to_job(file: JobFile, folder: str = "", given: tuple[tuple[str, str], ...] = ()) -> Job:
    """Make the plain job.

    Args:
        file: a job file whose values, alone and together, have been checked.
        folder: where the file lies.
        given: keys that stand in the file, each with its value in words.

    Returns:
        The job in N, mm and rad.
    """
    system = file.job.units
    basis = basis_spec(file.basis, system)
    screws = {s.key: s for s in file.fastening.screws}
    loads = (_load(entry, number, basis, screws) for number, entry in enumerate(file.loads, 1))
    return Job(
        info=_info(file.job),
        girder=_girder(file.girder),
        basis=basis,
        fastening=_fastening(file.fastening, system),
        loads=tuple(loads),
        folder=folder,
        designer=_designer(file.designer) if file.designer else None,
        assembly=AssemblySpec(**file.assembly.model_dump()),
        given=given,
    )


def _info(t: JobTable) -> JobInfo:
    values = t.model_dump(exclude={"units", "language", "notes", "assumed", "confirmed", "saw"})
    return JobInfo(
        **values,
        language=t.language or usual_language(t.units),
        units=UnitSystem(t.units),
        notes=tuple(t.notes),
        saw=tuple(work for work in Saw if work in t.saw),
        assumed=tuple(t.assumed),
        confirmed=tuple(t.confirmed),
    )


def _girder(t: GirderTable) -> GirderSpec:
    return GirderSpec(
        mark=t.mark,
        quantity=t.quantity,
        plies=t.plies,
        ply_thickness=t.ply_thickness,
        timber=t.timber,
        shape=_shape(t.shape) if t.shape else None,
        depths=_depths(t.sections) if t.sections else {},
        own_depths=dict(t.sections.members) if t.sections else {},
        nodes=tuple(NodeSpec(n.id, n.x, n.y) for n in t.nodes),
        members=tuple(_member(m) for m in t.members),
        plates=tuple(_plate(p) for p in t.plates),
        bearings=tuple(BearingSpec(b.x, b.width) for b in t.bearings),
        hook_ends=dict(t.hook_ends),
        timbers=dict(t.timbers),
        predrilled=t.predrilled,
        split_prone=t.split_prone,
        moisture=t.moisture,
        treated=t.treated,
    )


def _shape(t: ShapeTable) -> ShapeSpec:
    values = t.model_dump(exclude={"panel_lengths"})
    return ShapeSpec(**values, panel_lengths=tuple(t.panel_lengths) if t.panel_lengths else None)


def _depths(t: SectionsTable) -> dict[str, float]:
    return {
        Role.TOP_CHORD.value: t.top_chord,
        Role.BOTTOM_CHORD.value: t.bottom_chord,
        Role.WEB.value: t.web,
    }


def _member(t: MemberTable) -> MemberSpec:
    outline = tuple((x, y) for x, y in t.outline) if t.outline else None
    return MemberSpec(
        t.id, Role(t.role), tuple(t.nodes), t.depth, outline, t.hook_end, t.compression, t.align
    )


def _plate(t: PlateTable) -> PlateSpec:
    return PlateSpec(t.joint, (t.x, t.y), t.width, t.height, t.angle)


def _load(
    t: LoadTable, number: int, basis: BasisSpec, screws: Mapping[str, ScrewTable]
) -> LoadSpec:
    values = t.model_dump(exclude={"id", "bracket", "cases"})
    bracket = _bracket(t.bracket, screws) if t.bracket else None
    spec = LoadSpec(id=t.id or f"L{number}", bracket=bracket, **values)
    return in_cases(spec, t.cases, basis) if t.cases else spec


def _bracket(t: BracketTable, screws: Mapping[str, ScrewTable]) -> BracketSpec:
    values = t.model_dump(exclude={"bolts", "fixing"})
    fixing = _fixing(t.fixing, screws) if t.fixing else None
    bolts = tuple(BracketBoltSpec(b.along, b.across) for b in t.bolts)
    return BracketSpec(bolts=bolts, fixing=fixing, **values)


def _fixing(t: FixingTable, screws: Mapping[str, ScrewTable]) -> FixingSpec:
    own = screws.get(t.screw or "")
    d, length = (own.d, own.length) if own else (t.d or 0.0, t.length or 0.0)
    return FixingSpec(d, length, t.number, t.holes, t.screw)


def _designer(t: DesignerTable) -> DesignerSpec:
    values = t.model_dump(exclude={"reactions"})
    return DesignerSpec(reactions=tuple(t.reactions), **values)


def _fastening(t: FasteningTable, system: str) -> FasteningSpec:
    values = t.model_dump(exclude={"prescribed", "overrides", "rules", "screws", "transfer_by"})
    overrides = {
        name: parse_quantity(value, "length", system) if is_length(name) else value
        for name, value in t.overrides.items()
    }
    return FasteningSpec(
        rules=t.rules or _RULES_OF[system],
        transfer_by=FastenerKind(t.transfer_by),
        overrides=overrides,
        prescribed=tuple(_prescribed(p) for p in t.prescribed),
        screws=tuple(_screw(s) for s in t.screws),
        **values,
    )


def _screw(t: ScrewTable) -> ScrewSpec:
    return ScrewSpec(
        key=t.key,
        source=t.source,
        d=t.d,
        d_root=t.d_root,
        d_shank=t.d_shank,
        head=t.head,
        length=t.length,
        thread=t.thread,
        M_y=t.yield_moment,
        f_ax=t.withdrawal,
        f_head=t.pull_through,
        rho_a=t.density,
        tension=t.tension,
        drill=t.drill or 0.0,
        self_drilling=t.self_drilling,
        thinnest=t.thinnest,
        least=(t.spacing or 0.0, t.gauge or 0.0, t.end or 0.0, t.edge or 0.0),
    )


def _prescribed(t: PrescribedTable) -> PrescribedSpec:
    role = Role(t.role) if t.role else None
    return PrescribedSpec(role, tuple(t.members), t.rows, t.pitch, t.stagger, t.nail, t.source)
