"""Job, basis, girder, members, plates and loads as plain data for the contract."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from girderply.bases.spec import BasisSpec
from girderply.catalogue import timber
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import RangeError
from girderply.fasteners.runs import Run
from girderply.model.girder import Array, Girder, HungLoad, Joint, Member, Plate
from girderply.schedule.design_value import design_value
from girderply.schedule.types import Schedule
from girderply.standards.en338_2016.classes import strength_class
from girderply.strength.zones import reach_of

Plain = dict[str, Any]


def plain_fields(record: Any) -> Plain:
    """The fields of a dataclass, one level deep."""
    return {f.name: getattr(record, f.name) for f in fields(record)}


# What a job says of its papers and their way, and not of the girder.
_NO_CONTENT = ("language", "paper", "saw", "counting", "photos", "consignee", "delivery", "logo")


def job_part(schedule: Schedule) -> Plain:
    """Who, what and which revision; what changes no content is left out."""
    info = schedule.job.info
    part = plain_fields(info) | {"units": str(info.units), "notes": list(info.notes)}
    return {k: v for k, v in part.items() if k not in _NO_CONTENT}


def basis_part(schedule: Schedule) -> Plain:
    """The standard and rule set that judged, with the factors left to the job."""
    basis, rules = schedule.job.basis, schedule.rules
    part: Plain = {
        "reach_mm": reach_of(schedule.job, rules),
        "clench_mm": list(rules.clench_protrusion) if rules.clench_protrusion else None,
        "standard": basis.standard,
        "rules": rules.name,
        "rules_title": rules.title,
        "rules_source": rules.source,
        "transfer_by": schedule.job.fastening.transfer_by,
        "design_by": schedule.job.fastening.design_by,
    }
    durations = ("permanent_duration", "variable_duration", "uplift_duration")
    return part | {key: getattr(basis, key) for key in durations} | dict(basis.options)


def girder_part(schedule: Schedule) -> Plain:
    """Sizes and masses of the whole girder."""
    girder, masses = schedule.girder, schedule.masses
    return {
        "mark": girder.mark,
        "quantity": girder.quantity,
        "plies": girder.plies,
        "ply_thickness_mm": girder.ply_thickness,
        "length_mm": girder.length,
        "height_mm": girder.height,
        "mass_kg": {"ply": masses.ply, "total": masses.total},
        "timber": girder.timber,
        "timber_values": _timber(girder.timber),
        "predrilled": girder.predrilled,
        "moisture": schedule.job.girder.moisture,
        "bearings": [{"x_mm": b.x, "width_mm": b.width} for b in girder.bearings],
    }


def joint_part(joint: Joint) -> Plain:
    """One joint: where its members' centrelines meet, mm, and which members they are."""
    return {"id": joint.id, "x": joint.x, "y": joint.y, "members": list(joint.members)}


def _timber(key: str) -> Plain:
    """What the strength of a fastener needs of the timber; kg/m3, N/mm2, G without unit."""
    wood = timber(key)
    try:
        bearing: float | None = strength_class(key).f_c_90_k
    except RangeError:
        bearing = None  # a class that the table does not have
    return {
        "rho_k": wood.rho_k,
        "G": wood.G,
        "E_mean": wood.E_mean,
        "f_c_90_k": bearing,
    }


def types_part(schedule: Schedule) -> Plain:
    """Every kind of fastener of the girder by spec, so that it can be measured again."""
    nails = {spec: _nail(nail) for spec, nail in schedule.nails.items()}
    bolts = {spec: _bolt(choice) for spec, choice in schedule.bolts.items()}
    return dict(sorted((nails | bolts).items()))


def _nail(nail: Nail) -> Plain:
    hidden = {"key", "mark"} if nail.kind == FastenerKind.SCREW else {"key", "mark", "source"}
    own = {name: value for name, value in plain_fields(nail).items() if name not in hidden}
    return {"kind": nail.kind} | own


def _bolt(choice: BoltChoice) -> Plain:
    bolt, washer = choice.bolt, choice.washer
    own = ("d", "pitch", "head_height", "nut_height", "hole", "hole_max", "fu", "fy")
    return {
        "kind": FastenerKind.BOLT,
        **{name: getattr(bolt, name) for name in own},
        "length": choice.length,
        "threaded_rod": choice.threaded_rod,
        "washer": {name: getattr(washer, name) for name in ("shape", "hole", "outer", "thickness")},
    }


def member_part(girder: Girder, member: Member) -> Plain:
    """One member with its outline as cut; positions in the elevation frame, mm."""
    return {
        "id": member.id,
        "role": str(member.role),
        "timber": girder.timber_of(member),
        "depth_mm": member.depth,
        "length_mm": member.length,
        "hook_end": list(member.hook),
        "far_end": list(member.far),
        "outline": _points(member.outline),
        "joints": list(member.joints),
    }


def plate_part(plate: Plate) -> Plain:
    """One nail plate's footprint, mm."""
    return {
        "joint": plate.joint,
        "outline": _points(plate.outline),
        "assumed": plate.assumed,
    }


def load_part(load: HungLoad, basis: BasisSpec) -> Plain:
    """One hung load: where, which face, and its largest downward design value, N."""
    design, combination = design_value(load, basis)
    return {
        "id": load.id,
        "chord": load.chord,
        "face": str(load.face),
        "x_mm": load.x,
        "design_N": design,
        "plies_reached": load.plies_reached,
        "combination": combination,
        "station_mm": load.station,
        "permanent_N": load.permanent,
        "variable_N": load.variable,
        "uplift_N": load.uplift,
        "cases_N": dict(load.cases),
        "what": load.what,
    }


def run_part(run: Run) -> Plain:
    """One run as it is set out; lengths in mm, rows from the lower edge as the hand sees it."""
    return {
        "id": run.id,
        "member": run.member,
        "stage": run.stage,
        "kind": run.kind,
        "first_mm": run.first,
        "step_mm": run.step,
        "marks": run.marks,
        "rows": run.rows,
        "row_numbers": list(run.numbers),
        "row_offsets_mm": list(run.heights),
        "parity": run.parity,
        "left_out": [
            {"mark": x.mark, "why": x.what, "of": x.name or None, "row": x.row or None}
            for x in run.left_out
        ],
        "single": None
        if run.single is None
        else {
            "why": run.single.what,
            "of": run.single.name or None,
            "off_mm": run.single.off or None,
        },
    }


def _points(outline: Array) -> list[list[float]]:
    return [[float(x), float(y)] for x, y in outline]
