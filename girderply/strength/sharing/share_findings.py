"""Where the spring model speaks against the equal share, in words for a truss designer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numpy as np

from girderply.errors import Finding, Severity
from girderply.model.girder import Girder
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.plastic import Plastic
from girderply.strength.sharing.results import Sharing
from girderply.strength.stack_columns import Names
from girderply.units.show import Show
from girderply.wording import Said, said

MARGIN = 0.10  # of its design share: what a ply may carry more before it is said; no source
_FELT = 0.01  # of the whole load: bearings that carry less are not spoken of


class Named(Protocol):
    """Fasteners by the ids that people say."""

    @property
    def id(self) -> Names:
        """Such as BC1-N12."""

    @property
    def kind(self) -> Names:
        """Nail, bolt, screw."""


def findings_of(
    sharing: Sharing,
    girder: Girder,
    columns: Named,
    show: Show,
    *,
    strength: Floats | None = None,
    plastic: Plastic | None = None,
    margin: float = MARGIN,
) -> tuple[Finding, ...]:
    """Findings of the spring model; empty where it bears out the equal share.

    Args:
        sharing: at load factor 1.
        girder: bearings.
        columns: ids and kinds of the fasteners.
        show: writes the job's units.
        strength: (F,) or (F, n - 1) resistances, N, or None where there are none.
        plastic: what happens as the load is raised, or None where it was not asked.
        margin: part of its design share that a ply may carry more at a bearing.
    """
    found = [*_near_ply(sharing, girder, show, margin)]
    if strength is not None and sharing.force.size:
        found += _over(sharing, columns, show, strength, plastic)
    return tuple(found)


def _near_ply(sharing: Sharing, girder: Girder, show: Show, margin: float) -> Iterator[Finding]:
    """The ply and the bearing where a ply carries most beyond its design share."""
    n, total = sharing.plies, sharing.reactions.sum(axis=0)
    felt = np.abs(total) > _FELT * np.abs(sharing.loads).sum()
    if not felt.any():
        return
    excess = np.where(felt, np.nan_to_num(sharing.bearing_shares * n - 1.0), -np.inf)
    ply, bearing = np.unravel_index(int(np.argmax(np.round(excess, 9))), excess.shape)
    if excess[ply, bearing] <= margin:
        return
    carried, equal = sharing.reactions[ply, bearing], total[bearing] / n
    yield Finding(
        "sharing-near-ply",
        Severity.WARNING,
        said("sharing.where_bearing", bearing=int(bearing) + 1),
        said(
            "sharing.near_ply",
            ply=_ply(int(ply), n),
            carried=show.force(carried),
            x=show.span(girder.bearings[bearing].x),
            part=show.percent(carried / total[bearing]),
            share=show.percent(1 / n),
            equal=show.force(equal),
            excess=show.percent(float(excess[ply, bearing])),
            margin=show.percent(margin),
        ),
        tip=said("sharing.check_ply", ply=int(ply) + 1, carried=show.force(carried)),
    )


def _ply(ply: int, plies: int) -> Said:
    name = {0: "ply_front", plies - 1: "ply_back"}.get(ply, "ply")
    return said(f"sharing.{name}", ply=ply + 1)


def _over(
    sharing: Sharing, columns: Named, show: Show, strength: Floats, plastic: Plastic | None
) -> Iterator[Finding]:
    """Fasteners that the springs load beyond their resistance."""
    used = sharing.utilisation(strength)
    over = (used > 1.0 + 1e-6).any(axis=1)
    if not over.any():
        return
    row, k = sharing.hardest(strength)
    name, force = str(columns.id[row]), sharing.force_size[row, k]
    count = int(over.sum())
    yield Finding(
        "sharing-fastener-over",
        Severity.WARNING,
        name,
        said(
            "sharing.fastener_over",
            n=count,
            fastener=name,
            first=k + 1,
            second=k + 2,
            force=show.force(force),
            resistance=show.force(force / used[row, k]),
            used=show.percent(float(used[row, k])),
            then=_redistribution(plastic, show),
        ),
        tip=said("sharing.more_near", fastener=name),
    )


def _redistribution(plastic: Plastic | None, show: Show) -> Said:
    """What the second step says about giving way."""
    if plastic is None:
        return said("sharing.not_raised")
    reached = show.percent(plastic.factor)
    if plastic.factor >= 1.0:
        return said("sharing.taken_over", reached=reached)
    return said("sharing.not_taken_over", reached=reached)
