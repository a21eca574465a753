"""What bolt holes leave of a member: a note for the truss designer, who answers for the member."""

from __future__ import annotations

import numpy as np

from girderply.bases.registry import basis_of
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder, Member
from girderply.standards.en1995_1_1_2014.bolting import net_depth_ratio
from girderply.strength.stack_columns import FastenerColumns, Floats
from girderply.units.show import Show
from girderply.wording import said

_TINY = 1e-6  # mm


def net_section_notes(job: Job, girder: Girder, fasteners: FastenerColumns) -> tuple[Finding, ...]:
    """The least share of depth that bolt holes leave, one note per drilled member.

    Holes nearer along the grain than the basis says, on either side of a section through one of
    them, count in it. Holes drilled for nails and screws are not looked at.

    Args:
        job: units, standard.
        girder: members.
        fasteners: columns of all fasteners; bolts with a hole are read.

    Returns:
        Notes in the order of the members.
    """
    show = Show(job.info.units)
    notes = []
    for member in girder.members:
        mine = (
            (fasteners.member == member.id)
            & (fasteners.kind == FastenerKind.BOLT)
            & (fasteners.drilled > 0)
        )
        if np.any(mine):
            notes.append(_note(show, job, member, fasteners.station[mine], fasteners.drilled[mine]))
    return tuple(notes)


def _note(show: Show, job: Job, member: Member, station: Floats, hole: Floats) -> Finding:
    widest = float(hole.max())
    least = basis_of(job.basis).net_section(widest)
    count, at = fullest_section(station, least.value)
    ratio = net_depth_ratio(member.depth, widest, count)
    return Finding(
        "net-section",
        Severity.NOTE,
        member.id,
        said(
            "finding.net_section",
            n=count,
            share=show.percent(ratio),
            depth=show.small(member.depth),
            hole=show.small(widest),
            station=show.span(at),
        ),
        least.clause,
    )


def fullest_section(station: Floats, near: float) -> tuple[int, float]:
    """Most holes within `near` of a section through one of them, on either side of it.

    Args:
        station: (m,) of the holes, mm.
        near: mm along the grain.

    Returns:
        How many, and the station of the first of them.
    """
    order = np.sort(station)
    first = np.searchsorted(order, order - near - _TINY, side="left")
    counts = np.searchsorted(order, order + near + _TINY, side="right") - first
    fullest = int(counts.argmax())
    return int(counts[fullest]), float(order[first[fullest]])
