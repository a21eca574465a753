"""Where the spring model speaks against the equal share, in words for a truss designer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numpy as np

from girderply.errors import Finding, Severity
from girderply.model.girder import Girder
from girderply.strength.columns import Words
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.plastic import Plastic
from girderply.strength.sharing.results import Sharing
from girderply.units.show import Show

MARGIN = 0.10  # of its design share: what a ply may carry more before it is said; no source
_FELT = 0.01  # of the whole load: bearings that carry less are not spoken of


class Named(Protocol):
    """Fasteners by the ids that people say."""

    @property
    def id(self) -> Words:
        """Such as BC1-N12."""

    @property
    def kind(self) -> Words:
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
        f"bearing {bearing + 1}",
        f"ply {ply + 1}{_face(int(ply), n)} carries {show.force(carried)} at the bearing at x = "
        f"{show.span(girder.bearings[bearing].x)}: {show.percent(carried / total[bearing])} of "
        f"the reaction there. The fastening is designed for equal shares, "
        f"{show.percent(1 / n)} or {show.force(equal)} each; that is "
        f"{show.percent(float(excess[ply, bearing]))} more than its share, and more than the "
        f"{show.percent(margin)} that pass without a word. Fasteners slip before they carry, so "
        "the ply that is loaded keeps more than the equal share",
        tip=f"the truss designer should check ply {ply + 1} and its bearing for "
        f"{show.force(carried)}, or load more plies directly",
    )


def _face(ply: int, plies: int) -> str:
    return {0: " (front)", plies - 1: " (back)"}.get(ply, "")


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
    noun = "fastener" if count == 1 else "fasteners"
    yield Finding(
        "sharing-fastener-over",
        Severity.WARNING,
        name,
        f"{count} {noun} would carry more than the design resistance if fasteners only stretched "
        f"and never gave way; hardest is {name} between plies {k + 1} and {k + 2} with "
        f"{show.force(force)} against {show.force(force / used[row, k])} "
        f"({show.percent(float(used[row, k]))}). {_redistribution(plastic, show)}",
        tip=f"more fasteners close to {name} help most; far from the loads they hardly help",
    )


def _redistribution(plastic: Plastic | None, show: Show) -> str:
    """What the second step says about giving way."""
    if plastic is None:
        return "How far its neighbours take over has not been computed"
    reached = show.percent(plastic.factor)
    if plastic.factor >= 1.0:
        return (
            "Once it gives way its neighbours take over, and the transfer goes on to "
            f"{reached} of the design load"
        )
    return (
        "Its neighbours cannot take over enough: the transfer from ply to ply stops to grow at "
        f"{reached} of the design load, and what is added after that stays in the loaded ply"
    )
