"""What the spring model found, as plain data for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from girderply.schedule import cautions
from girderply.schedule.contract import tidy
from girderply.schedule.generator import generator

if TYPE_CHECKING:
    from girderply.errors import Finding
    from girderply.schedule.types import Schedule
    from girderply.strength.sharing import Sharing, SharingReport

SCHEMA = "girderply.share/1"
Plain = dict[str, Any]


def sharing_data(schedule: Schedule, report: SharingReport) -> Plain:
    """The report as dictionaries, lists, strings, numbers and None; N and mm, rounded.

    Keys are stable under `SCHEMA`. Without an answer, everything computed is None or empty and
    the findings say why.
    """
    info, girder, c = schedule.job.info, schedule.girder, report.combination
    body: Plain = {
        "schema": SCHEMA,
        "generator": generator(),
        "job": {"number": info.number, "revision": info.revision},
        "content_hash": schedule.content_hash,
        "girder": {"mark": girder.mark, "plies": girder.plies},
        "state": report.state,
        "bolts": report.bolt_slip,
        "combination": {
            "text": c.text, "duration": c.duration, "modification": c.modification,
            "clause": c.clause,
        },
        "E_N_mm2": report.E,
        **_answer(schedule, report),
        **_raised(report),
        "fasteners": _fasteners(schedule, report),
        "findings": [_finding(f) for f in report.findings],
        "for_assembly": not schedule.failed,
        "cautions": list(cautions.scope(schedule.job.assembly)),
    }  # fmt: skip
    return dict(tidy(body))


def _answer(schedule: Schedule, report: SharingReport) -> Plain:
    sharing = report.sharing
    if sharing is None:
        return {"shares": None, "bearings": [], "chords": [], "passed_N": None, "hardest": None,
                "slip_max_mm": None}  # fmt: skip
    return {
        "shares": sharing.shares.tolist(),
        "bearings": [
            {"x_mm": b.x, "reactions_N": sharing.reactions[:, i].tolist(),
             "shares": sharing.bearing_shares[:, i].tolist()}
            for i, b in enumerate(schedule.girder.bearings)
        ],
        "chords": [
            {"member": s.member, "station_mm": s.axial_station, "axial_N": s.axial.tolist(),
             "shares": s.shares.tolist()}
            for s in sharing.chord_shares(schedule.girder)
        ],
        "passed_N": sharing.passed.tolist(),
        "hardest": _hardest(schedule, report, sharing),
        "slip_max_mm": float(sharing.slip_size.max(initial=0.0)),
    }  # fmt: skip


def _hardest(schedule: Schedule, report: SharingReport, sharing: Sharing) -> Plain | None:
    if not sharing.force.size:
        return None
    row, k = sharing.hardest(report.strength)
    force = float(sharing.force_size[row, k])
    held = None if report.strength is None else float(report.strength[row, k])
    used = force / held if held else None
    return {"id": str(schedule.fasteners.id[row]), "interface": k + 1, "force_N": force,
            "resistance_N": held, "utilisation": used}  # fmt: skip


def _raised(report: SharingReport) -> Plain:
    path = report.plastic
    return {
        "first_yield_factor": None if path is None else path.first_yield,
        "load_factor": None if path is None else path.factor,
        "ended_by": None if path is None else path.ended_by,
        "equal_share_factor": report.equal_share,
    }


def _fasteners(schedule: Schedule, report: SharingReport) -> list[Plain]:
    """Every fastener with what it passes on at each interface that it crosses."""
    if report.sharing is None:
        return []
    f = schedule.fasteners
    return [
        {"id": str(f.id[i]), "member": str(f.member[i]), "kind": str(f.kind[i]),
         "relief_N": float(report.relief[i]), "interfaces": _crossed(report, report.sharing, i)}
        for i in range(len(f.id))
    ]  # fmt: skip


def _crossed(report: SharingReport, sharing: Sharing, i: int) -> list[Plain]:
    found = []
    for k in range(sharing.plies - 1):
        if sharing.modulus[i, k] > 0:
            x, y = sharing.force[i, k].tolist()
            held = None if report.strength is None else float(report.strength[i, k])
            found.append({
                "interface": k + 1, "force_x_N": x, "force_y_N": y,
                "slip_mm": float(sharing.slip_size[i, k]), "resistance_N": held,
            })  # fmt: skip
    return found


def _finding(f: Finding) -> Plain:
    return {"code": f.code, "severity": str(f.severity), "where": f.where, "message": f.message,
            "clause": f.clause, "tip": f.tip}  # fmt: skip
