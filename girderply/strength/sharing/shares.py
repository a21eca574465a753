"""The worst share of every ply, told in front: how far equal shares are from what the springs say.

A share of 1 is the equal share: what a ply carries beside 1/n of what all carry there, in the same
combination. At a bearing it is that of the reactions, which says how much of the whole load ends up
in a ply; in a member that of the largest axial force. Near a hung load the member of the loaded ply
can carry several times its share before the load has spread, so the two are told apart. Shears and
moments are in the table of forces.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.errors import Finding, Severity
from girderply.jobfile.job import FasteningSpec
from girderply.model.girder import Girder
from girderply.strength.load_shares import state_words
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.ply_forces import PlyForces, State
from girderply.wording import Said, joined, numeral, said

LIMIT = 0.10  # beyond the equal share, from where on it is a warning; no source
FELT_BEARING = 0.01  # of the whole load: bearings that carry less are not spoken of
FELT_MEMBER = 0.10  # of the largest axial force of any member, likewise
_EVEN = 5e-4  # shares that differ by less are one: the sorting must not hang on rounding


@dataclass(frozen=True, slots=True)
class PlyShare:
    """The worst share of one ply at a bearing or in a member.

    Attributes:
        ply: 1-based. share: 1.0 is the equal share.
        bearing: 1-based, or 0. member: id, or empty.
        combination: id of the combination, such as "PV" or "PV.front"; text: in words.
        state: of the fasteners.
    """

    ply: int
    share: float
    bearing: int
    member: str
    combination: str
    text: str
    state: State

    def circumstances(self) -> Said:
        """Under which combination and in which state, in words."""
        return said(
            "sharing.circumstances",
            combination=self.text,
            state=state_words(self.state.bolts, self.state.age),
        )


@dataclass(frozen=True, slots=True)
class Shares:
    """How unequal the plies share.

    Attributes:
        limit: beyond the equal share, from where on it is said as a warning.
        worst: per ply the worst at a bearing and the worst in a member, the largest share first.
    """

    limit: float
    worst: tuple[PlyShare, ...]

    @property
    def at_bearings(self) -> tuple[PlyShare, ...]:
        """Those of the reactions, the largest first."""
        return tuple(s for s in self.worst if s.bearing)

    @property
    def in_members(self) -> tuple[PlyShare, ...]:
        """Those of the axial forces, the largest first."""
        return tuple(s for s in self.worst if s.member)

    def over(self, shares: tuple[PlyShare, ...]) -> tuple[PlyShare, ...]:
        """Those beyond the limit."""
        return tuple(s for s in shares if s.share > 1.0 + self.limit + 1e-9)

    def words(self) -> Said:
        """How much the plies really carry, in a sentence for the truss designer."""
        if not self.at_bearings:
            return said("sharing.nothing_carried")
        most, beyond = self.at_bearings[0], self.over(self.at_bearings)
        values = {
            "ply": most.ply,
            "share": factor(most.share),
            "bearing": most.bearing,
            "where": most.circumstances(),
        }
        if not beyond:
            return said("sharing.told_even", **values)
        each = [said("sharing.told_each", ply=s.ply, share=factor(s.share)) for s in beyond]
        return said("sharing.told_unequal", each=joined(", ", each), **values)

    def member_words(self) -> Said:
        """The member that carries most beyond its share; empty where none is beyond the limit."""
        beyond = self.over(self.in_members)
        if not beyond:
            return said("sharing.no_member")
        most = beyond[0]
        return said(
            "sharing.told_member", ply=most.ply, share=factor(most.share), member=most.member,
            where=most.circumstances(),
        )  # fmt: skip


def share_limit(fastening: FasteningSpec) -> float | None:
    """What a ply may take beyond its equal share where that binds, else None."""
    asked = fastening.share_limit
    return LIMIT if asked is None and fastening.by_computed else asked


def factor(share: float) -> Said:
    """A share to two places, such as 1.47; upward, so that none is told less than it is."""
    return numeral(np.ceil(share * 100 - 1e-6) / 100, ".2f")


def shares_of(found: PlyForces, girder: Girder, limit: float = LIMIT) -> Shares:
    """The worst share of every ply over all combinations and states.

    Args:
        found: forces of every ply.
        girder: depths, thickness, bearings.
        limit: beyond the equal share.
    """
    # of combinations with the same shares the one with the largest forces is told
    heavy = np.argsort([-sum(map(abs, c.values)) for c in found.cases], kind="stable")
    bearings, members = bearing_shares(found), member_shares(found, girder)
    worst: list[PlyShare] = []
    for ply in range(girder.plies):
        for kind, table in (("bearing", bearings), ("member", members)):
            mine = np.nan_to_num(table[:, heavy, ply], nan=-np.inf)
            if not mine.size or not np.isfinite(mine.max()):
                continue
            steps = np.floor(mine / _EVEN + 0.5)
            s, c, i = np.unravel_index(int(np.argmax(steps)), mine.shape)
            case = found.cases[heavy[c]]
            worst.append(
                PlyShare(
                    ply + 1,
                    float(mine.max()),
                    int(i) + 1 if kind == "bearing" else 0,
                    girder.members[i].id if kind == "member" else "",
                    case.id,
                    case.text,
                    found.states[s],
                )
            )
    return Shares(limit, tuple(sorted(worst, key=lambda v: (-round(v.share, 6), v.ply))))


def bearing_shares(found: PlyForces) -> Floats:
    """(s, c, n, B) share of each ply in each reaction; NaN where a bearing hardly carries."""
    whole = found.reactions.sum(axis=2, keepdims=True)
    load = np.abs(found.loads).sum(axis=(1, 2))[None, :, None, None]
    n = found.reactions.shape[2]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = n * found.reactions / whole
    return np.where(np.abs(whole) > FELT_BEARING * load, share, np.nan)


def member_shares(found: PlyForces, girder: Girder) -> Floats:
    """(s, c, n, M) share of each ply in each member's axial force; NaN where that is small."""
    axial = found.pieces[..., 3]
    own = _along(found, axial, girder)
    whole = _along(found, axial.sum(axis=2, keepdims=True), girder) / girder.plies
    felt = whole > FELT_MEMBER * whole.max(axis=3, keepdims=True, initial=0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(felt & (whole > 0.0), own / whole, np.nan)


def _along(found: PlyForces, axial: Floats, girder: Girder) -> Floats:
    """(s, c, p, M) largest magnitude along each member."""
    mesh = found.mesh
    member = mesh.member[mesh.ends[:, 0]]
    size = np.abs(axial)
    each = [size[..., member == i].max(axis=3, initial=0.0) for i in range(len(girder.members))]
    return np.stack(each, axis=3)


def share_findings(shares: Shares) -> tuple[Finding, ...]:
    """To the truss designer: a warning where a ply takes more of the load than equal shares allow.

    A member that carries more than its share before the load has spread is a note.
    """
    found = []
    if shares.over(shares.at_bearings):
        tip = said("sharing.told_tip")
        where = said("sharing.ply", ply=shares.at_bearings[0].ply)
        found.append(Finding("ply-share", Severity.WARNING, where, shares.words(), tip=tip))
    if shares.over(shares.in_members):
        tip, most = said("sharing.member_tip"), shares.in_members[0]
        words = shares.member_words()
        found.append(Finding("member-share", Severity.NOTE, most.member, words, tip=tip))
    return tuple(found)
