"""The same plies and fasteners in PyNiteFEA 3.2 (an independent 3D frame solver), built on its own.

Plies lie in parallel planes; every node may move in its plane only. A fastener is a short member
square to the plies, built in at both ends, with 12 E I / h^3 equal to the slip modulus and no
torsion.
Nothing of `girderply.strength` is used here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from Pynite import FEModel3D

from girderply.model.girder import Girder, Member

GAP = 45.0
TINY = 1e-9
SHORT = 1e-3  # mm: a fastener nearer to its node than this needs no arm


@dataclass
class PynitePlies:
    """Builds the model; `solve` runs it."""

    girder: Girder
    columns: object
    modulus: np.ndarray  # (F,) N/mm
    E: float
    arm: float = 0.0  # 1e-7 of the stiffness of arms, N/mm; 0: fasteners are centred
    model: FEModel3D = field(default_factory=FEModel3D)

    def build(self, loads: np.ndarray) -> PynitePlies:
        """Loads are (L, n), N, downward."""
        m = self.model
        m.add_material("wood", self.E, 1.0, 0.3, 0.0)
        self.chains = [self._chain(member) for member in self.girder.members]
        for ply in range(self.girder.plies):
            self._ply(ply)
            for load, row in zip(self.girder.loads, loads, strict=True):
                if row[ply]:
                    m.add_node_load(self._at(load.chord, load.station, ply), "FY", -row[ply])
        self._fasteners()
        self._hold()
        return self

    def solve(self) -> PynitePlies:
        self.model.analyze_linear(check_stability=False)
        return self

    def force(self, fastener: int, interface: int) -> np.ndarray:
        """What ply k gives to ply k + 1 (0-based k), x and y, N."""
        f = self.model.members[f"F{fastener}-{interface}"].F("Combo 1")
        return np.array([float(f[0, 0]), float(f[1, 0])])

    def reaction(self, x: float, ply: int) -> float:
        """Upward, N."""
        node = self.model.nodes[self._at("BC1", x, ply)]
        return float(node.RxnFY["Combo 1"])

    def fall(self, member: str, station: float, ply: int) -> float:
        """Downward displacement, mm."""
        return -float(self.model.nodes[self._at(member, station, ply)].DY["Combo 1"])

    def pieces(self, member: str, ply: int) -> np.ndarray:
        """(p, 3) axial force (tension positive), shear and moment at the first end of each piece.

        Shear and moment as `girderply` signs them, N and N mm: its y axis is to the left of a
        member's direction, PyNite's points up (of an upright member it may be either).
        """
        index = [m.id for m in self.girder.members].index(member)
        names = [f"{member}.{i}/{ply}" for i in range(len(self.chains[index]) - 1)]
        ends = [self.model.members[name].f("Combo 1")[:, 0] for name in names]
        up = np.sign(np.cos(self.girder.members[index].angle))
        return np.array([[-float(f[0]), up * float(f[1]), -up * float(f[5])] for f in ends])

    def _chain(self, member: Member) -> list[tuple[float, str]]:
        """Stations and node names (without the ply) along a member."""
        places = {}
        for joint in self.girder.joints:
            if joint.id in member.joints:
                s = member.to_local(np.array([[joint.x, joint.y]]))[0, 0]
                places[round(float(s), 3)] = joint.id
        mine = self.columns.member == member.id
        others = self.columns.station[mine].tolist()
        others += [v.station for v in self.girder.loads if v.chord == member.id]
        if member.id == "BC1":
            others += [b.x for b in self.girder.bearings]
        for s in others:
            places.setdefault(round(s, 3), f"{member.id}@{round(s, 3)}")
        return sorted(places.items())

    def _at(self, member: str, station: float, ply: int) -> str:
        index = [m.id for m in self.girder.members].index(member)
        return f"{dict(self.chains[index])[round(station, 3)]}/{ply}"

    def _section(self, name: str, area: float, inertia: float, torsion: float) -> str:
        if name not in self.model.sections:
            self.model.add_section(name, area, inertia, inertia, torsion)
        return name

    def _ply(self, ply: int) -> None:
        turned: set[str] = set()  # joints whose rotation a member has taken already
        for member, chain in sorted(
            zip(self.girder.members, self.chains, strict=True),
            key=lambda pair: not pair[0].role.is_chord,
        ):
            t, d = self.girder.ply_thickness, member.depth
            section = self._section(f"d{d:g}", t * d, t * d**3 / 12, 1.0)
            for s, name in chain:
                self._node(name, member, s, ply)
            for i, ((_, a), (_, b)) in enumerate(pairwise(chain)):
                piece = f"{member.id}.{i}/{ply}"
                self.model.add_member(piece, f"{a}/{ply}", f"{b}/{ply}", "wood", section)
                first = i == 0 and a in turned
                last = i == len(chain) - 2 and b in turned
                if first or last:
                    self.model.def_releases(piece, Rzi=first, Rzj=last)
            turned |= {name for _, name in chain if name.startswith("J")}

    def _node(self, name: str, member: Member, station: float, ply: int) -> None:
        key = f"{name}/{ply}"
        if key not in self.model.nodes:
            x, y = self._place(member, station)
            self.model.add_node(key, float(x), float(y), ply * GAP)

    def _place(self, member: Member, station: float) -> tuple[float, float]:
        """On the straight line between the joints on either side; past the last one, along it.

        A heel joint may lie off the rafter's centreline: the rafter then runs to the joint.
        """
        joints = [j for j in self.girder.joints if j.id in member.joints]
        at = sorted((member.to_local(np.array([[j.x, j.y]]))[0, 0], j.x, j.y) for j in joints)
        before = [j for j in at if j[0] <= station + 1e-6]
        after = [j for j in at if j[0] >= station - 1e-6]
        if before and after:
            (s, x, y), (t, u, v) = before[-1], after[0]
            part = 0.0 if t - s < 1e-6 else (station - s) / (t - s)
            return x + part * (u - x), y + part * (v - y)
        s, x, y = before[-1] if before else after[0]
        run = station - s
        return x + run * np.cos(member.angle), y + run * np.sin(member.angle)

    def _fasteners(self) -> None:
        c = self.columns
        for i in range(len(c.member)):
            low, high = sorted((int(c.from_ply[i]), int(c.to_ply[i])))
            inertia = self.modulus[i] * GAP**3 / (12 * self.E)
            name = self._section(f"K{self.modulus[i]!r}", 1.0, inertia, TINY)
            for k in range(low - 1, high - 1):
                ends = [self._point(i, ply) for ply in (k, k + 1)]
                self.model.add_member(f"F{i}-{k}", *ends, "wood", name)

    def _point(self, i: int, ply: int) -> str:
        c = self.columns
        foot = self._at(str(c.member[i]), float(c.station[i]), ply)
        owner = self.girder.member(str(c.member[i]))
        place = owner.to_elevation(np.array([[c.station[i], c.offset[i]]]))[0]
        node = self.model.nodes[foot]
        if np.hypot(node.X - place[0], node.Y - place[1]) < SHORT or not self.arm:
            return foot
        key = f"A{i}/{ply}"
        if key not in self.model.nodes:
            self.model.add_node(key, float(place[0]), float(place[1]), ply * GAP)
            stiff = self._arm_section(float(np.hypot(node.X - place[0], node.Y - place[1])))
            self.model.add_member(f"arm{key}", foot, key, "wood", stiff)
        return key

    def _arm_section(self, length: float) -> str:
        """As stiff sideways whatever its length: a short one would else spoil the solution."""
        k, size = 1e7 * self.arm, round(length, 1)
        return self._section(f"arm{size}", k * size / self.E, k * size**3 / (12 * self.E), 1.0)

    def _hold(self) -> None:
        """In the plane only; up at the bearings, sideways softly at each: 5e-7 of E t, N/mm."""
        up = {self._at("BC1", b.x, p) for b in self.girder.bearings for p in self._plies()}
        soft = 5e-7 * self.E * self.girder.ply_thickness
        for name in self.model.nodes:
            self.model.def_support(name, False, name in up, True, True, True, False)
        for name in sorted(up):
            self.model.def_support_spring(name, "DX", soft)

    def _plies(self) -> range:
        return range(self.girder.plies)
