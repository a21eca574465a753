"""From a job to a girder: shape or lists, cuts, plates, bearings, loads; all faults at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

import numpy as np
import shapely
from shapely.geometry import Polygon

from girderply.errors import Finding, JobError, Severity, has_errors
from girderply.jobfile.job import BearingSpec, GirderSpec, Job, MemberSpec, Role, UnitSystem
from girderply.model import plates as plate_maker
from girderply.model.buildable import (
    bearing_faults,
    cut_faults,
    outline_faults,
    plate_faults,
    plates_overlapping,
    reference_faults,
)
from girderply.model.cutting import cut_frame, heel_joint
from girderply.model.frame import (
    BUTT,
    BUTT_IMPERIAL,
    Frame,
    as_point,
    error,
    frame_from_lists,
)
from girderply.model.girder import Girder, HungLoad, Joint, Member, Plate
from girderply.model.hooking import End, forward, hook_end
from girderply.model.hung import load_faults, place, place_faults
from girderply.model.lines import corners
from girderply.model.looks import bracket_looks, depth_faults, plate_looks, row_looks
from girderply.model.plate_need import MODULE, MODULE_IMPERIAL
from girderply.model.shapes import frame_from_shape
from girderply.units.show import Show
from girderply.wording import english, said

BEARING = 90.0  # width assumed for a bearing, mm
BEARING_IMPERIAL = 88.9  # 3 1/2 in
Cut = Mapping[str, Polygon]


def build_girder(job: Job) -> tuple[Girder, tuple[Finding, ...]]:
    """Build the girder that a job describes.

    Args:
        job: as read; lengths in mm, angles in rad.

    Returns:
        The girder, and what a person should know about it (warnings and notes).

    Raises:
        JobError: with every fault found, when the geometry cannot be built.
    """
    spec = job.girder
    frame, findings = _frame(job)
    findings += [*outline_faults(spec.members), *_load_faults(job, frame)]
    if frame is None:
        raise JobError(findings)
    findings += [*reference_faults(spec, frame)]
    cut = _cut(frame, findings)
    findings += [*depth_faults(frame, Show(job.info.units))]
    plates = _plates(job, frame, cut, findings)
    hooks = {m.id: hook_end(spec, frame, m, cut[m.id], plates) for m in frame.members}
    members = tuple(
        _member(frame, m, cut[m.id], hooks[m.id], _own_timber(spec, m.id)) for m in frame.members
    )
    findings += _mixed(spec, members)
    findings += [*_raised_notes(job, frame)]
    bearings = _bearings(job, members, findings)
    loads = _loads(job, members, findings)
    if has_errors(findings):
        raise JobError(f for f in findings if f.severity is not Severity.NOTE)
    girder = Girder(
        mark=spec.mark,
        quantity=spec.quantity,
        plies=spec.plies,
        ply_thickness=spec.ply_thickness,
        timber=spec.timber,
        members=members,
        joints=_joints(frame),
        plates=plates,
        bearings=bearings,
        loads=loads,
        predrilled=spec.predrilled,
        split_prone=spec.split_prone,
    )
    return girder, tuple(findings)


def _imperial(job: Job) -> bool:
    return job.info.units is UnitSystem.IMPERIAL


def _frame(job: Job) -> tuple[Frame | None, list[Finding]]:
    spec, butt = job.girder, BUTT_IMPERIAL if _imperial(job) else BUTT
    findings = [*_ply_faults(spec)]
    if spec.shape is not None and (spec.members or spec.nodes):
        message = "give either a shape or nodes and members, and not both"
        return None, [*findings, error("shape-and-members", "girder", message)]
    if spec.members or spec.nodes:
        frame, faults = frame_from_lists(spec, butt)
    else:
        frame, faults = frame_from_shape(spec, butt)
    return frame, findings + faults


def _ply_faults(spec: GirderSpec) -> Iterator[Finding]:
    if not (math.isfinite(spec.ply_thickness) and spec.ply_thickness > 0):
        message = f"{spec.ply_thickness:g} mm must be more than zero"
        yield error("not-positive", "girder.ply_thickness", message)


def _load_faults(job: Job, frame: Frame | None) -> Iterator[Finding]:
    members = frame.members if frame else job.girder.members or None
    return load_faults(job.loads, members, job.girder.plies)


def _cut(frame: Frame, findings: list[Finding]) -> dict[str, Polygon]:
    """Outlines of all members; raises with everything found so far when one is missing."""
    if any(english(f.where).endswith(".outline") for f in findings):
        raise JobError(findings)
    cut = cut_frame(frame)
    findings += [*cut_faults(frame, cut)]
    whole = {i: shape for i, shape in cut.items() if shape is not None}
    if len(whole) < len(cut):
        raise JobError(findings)
    return whole


def _own_timber(spec: GirderSpec, member: str) -> str:
    """Its timber where it is another than the girder's."""
    name = spec.timbers.get(member, spec.timber)
    return "" if name == spec.timber else name


def _mixed(spec: GirderSpec, members: Iterable[Member]) -> Iterator[Finding]:
    """That members are of another timber, and by which one everything is judged."""
    ids = [m.id for m in members if m.timber]
    if ids:
        text = said("finding.timbers_mixed", members=", ".join(ids), timber=spec.timber)
        yield Finding("timbers-mixed", Severity.NOTE, "girder.timbers", text)


# --- members and joints -----------------------------------------------------------------------


def _member(frame: Frame, m: MemberSpec, shape: Polygon, hook: End, own_timber: str) -> Member:
    axis = frame.axis(m)
    outline = corners(shape)
    reach = axis.along(outline)
    low, high = axis.point + reach.min() * axis.u, axis.point + reach.max() * axis.u
    joints = [k for k in m.nodes if len(frame.at(k)) > 1]
    if not forward(axis, hook):
        low, high, joints = high, low, joints[::-1]
    return Member(
        id=m.id,
        role=m.role,
        depth=m.depth,
        hook=as_point(low),
        far=as_point(high),
        outline=outline,
        joints=tuple(joints),
        compression=m.compression,
        timber=own_timber,
    )


def _raised_notes(job: Job, frame: Frame) -> Iterator[Finding]:
    """A chord off the line of its joints: what that bends it with is not in the forces."""
    show = Show(job.info.units)
    for name, off in frame.raised.items():
        if off:
            text = said("finding.chord_off_nodes", member=name, off=show.small(abs(off)))
            yield Finding("chord-off-nodes", Severity.NOTE, name, text)


def _joints(frame: Frame) -> tuple[Joint, ...]:
    found = []
    for k in frame.joints():
        met = frame.at(k)
        spot = frame.nodes[k]
        chords = [m for m in met if m.role.is_chord]
        if len(chords) == 1:  # a rounded node is taken back to the chord's centreline
            spot = frame.axis(chords[0]).away_from(spot).point
        elif len({m.role for m in chords}) == 2:
            spot = heel_joint(frame, k, chords)
        x, y = as_point(spot)
        found.append(Joint(k, x, y, tuple(m.id for m in met)))
    return tuple(found)


# --- plates, bearings, loads ------------------------------------------------------------------


def _plates(job: Job, frame: Frame, cut: Cut, findings: list[Finding]) -> tuple[Plate, ...]:
    spec, joints = job.girder, frame.joints()
    if any(english(f.where).startswith("girder.plates") for f in findings):
        return ()
    given = [plate_maker.given_plate(p) for p in spec.plates]
    findings += [*plate_faults(spec, frame, [Polygon(p.outline) for p in given], cut)]
    if has_errors(findings):
        return ()
    findings += [*plate_looks(spec, frame, cut, Show(job.info.units))]
    missing = [k for k in joints if k not in {p.joint for p in given}]
    module = MODULE_IMPERIAL if _imperial(job) else MODULE
    made = [plate_maker.estimated_plate(frame, k, cut, module) for k in missing]
    if made:
        message = said("finding.plates_assumed", count=len(made), all=len(joints))
        tip = said("finding.give_plates_first")
        findings.append(Finding("plates-assumed", Severity.NOTE, "girder.plates", message, tip=tip))
    plates = sorted([*given, *made], key=lambda p: joints.index(p.joint))
    findings += [*plates_overlapping(plates)]
    return tuple(plates)


def _bearings(
    job: Job, members: tuple[Member, ...], findings: list[Finding]
) -> tuple[BearingSpec, ...]:
    chords = [m.outline for m in members if m.role is Role.BOTTOM_CHORD]
    xs = np.concatenate(chords)[:, 0]
    left, right = float(xs.min()), float(xs.max())
    if job.girder.bearings:
        findings += [*bearing_faults(job.girder, left, right)]
        return tuple(sorted(job.girder.bearings, key=lambda b: b.x))  # whatever their order
    width = BEARING_IMPERIAL if _imperial(job) else BEARING
    message = said("finding.bearings_assumed")
    findings.append(Finding("bearings-assumed", Severity.NOTE, "girder.bearings", message))
    return (BearingSpec(left + width / 2, width), BearingSpec(right - width / 2, width))


def _loads(job: Job, members: tuple[Member, ...], findings: list[Finding]) -> tuple[HungLoad, ...]:
    if any(f.where == "loads" for f in findings):
        return ()
    specs = job.girder.members or None  # of a shape the members are known here only
    good = [s for s in job.loads if not [*load_faults([s], specs, job.girder.plies)]]
    chords = {m.id: m for m in members}
    good = [s for s in good if s.chord in chords and chords[s.chord].role.is_chord]
    loads = [one for spec in good for one in place(spec, chords[spec.chord])]
    timber = shapely.union_all([Polygon(m.outline) for m in members])
    for one in loads:
        findings += [*place_faults(one, chords[one.chord], timber)]
    show = Show(job.info.units)
    findings += [*bracket_looks(loads, chords, show), *row_looks(loads, show)]
    return tuple(loads)
