"""Plies, members, nail plates and brackets of an IFC file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from girderply.exchange.ifc.space import Space
from girderply.exchange.ifc.step import Ref, Typed, enum
from girderply.model.girder import Array, Girder, HungLoad, Member, Plate

SHEET: Final = 1.0  # plates and brackets are drawn this thick, mm: their thickness is not known


@dataclass(frozen=True, slots=True)
class Made:
    """A ply and where it stands."""

    ply: Ref
    members: tuple[Ref, ...]


def make_plies(space: Space, girder: Girder, under: Ref) -> list[Made]:
    """Every ply with its members and plates, ply 1 in front."""
    return [_ply(space, girder, k, under) for k in range(1, girder.plies + 1)]


def _ply(space: Space, girder: Girder, k: int, under: Ref) -> Made:
    place = space.placed(under, space.at((0.0, (k - 1) * girder.ply_thickness, 0.0)))
    ply = space.step.add(
        *("IFCELEMENTASSEMBLY", space.guid("ply", k), None, f"Ply {k}", None, None, place, None),
        *(f"{girder.mark} ply {k}", enum("FACTORY"), enum("TRUSS")),
    )
    members = tuple(_member(space, girder, m, k, place) for m in girder.members)
    plates = tuple(
        _plate(space, girder, plate, (k, face), place)
        for plate in girder.plates
        for face in ("front", "back")
    )
    space.parts(ply, (*members, *plates), "ply", k)
    return Made(ply, members)


def _corners(outline: Array) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in outline]


def _member(space: Space, girder: Girder, m: Member, k: int, under: Ref) -> Ref:
    from shapely import Polygon

    thick = girder.ply_thickness
    solid = space.slab(m.id, _corners(m.outline), thick, thick)
    ends = [(float(x), thick / 2, float(y)) for x, y in (m.hook, m.far)]
    shape = space.shape(space.solids(solid), space.line(*ends))
    made = space.step.add(
        *("IFCMEMBER", space.guid("member", k, m.id), None, m.id, str(m.role), str(m.role)),
        *(space.placed(under), shape, m.id, enum("CHORD" if m.role.is_chord else "MEMBER")),
    )
    volume = Polygon(m.outline).area * thick * 1e-9
    values = {
        "Role": Typed("IFCLABEL", str(m.role)),
        "Ply": Typed("IFCINTEGER", k),
        "Depth": Typed("IFCPOSITIVELENGTHMEASURE", m.depth),
        "Length": Typed("IFCPOSITIVELENGTHMEASURE", m.length),
        "NetVolume": Typed("IFCVOLUMEMEASURE", volume),
        "HookEnd": Typed("IFCLABEL", "axis start"),
    }
    space.properties(made, "Girderply_Member", values, k, m.id)
    return made


def _plate(space: Space, girder: Girder, plate: Plate, side: tuple[int, str], under: Ref) -> Ref:
    """A nail plate pressed into one face of a ply."""
    k, face = side
    back = SHEET if face == "front" else girder.ply_thickness
    solid = space.slab(f"plate {plate.joint}", _corners(plate.outline), back, SHEET)
    made = space.step.add(
        *("IFCMECHANICALFASTENER", space.guid("plate", k, face, plate.joint), None),
        *(f"Nail plate {plate.joint} {face}", None, None, space.placed(under)),
        *(space.shape(space.solids(solid)), plate.joint, None, None, enum("NAILPLATE")),
    )
    values = {
        "Joint": Typed("IFCIDENTIFIER", plate.joint),
        "Face": Typed("IFCLABEL", face),
        "Assumed": Typed("IFCBOOLEAN", plate.assumed),
        "ThicknessKnown": Typed("IFCBOOLEAN", False),
    }
    space.properties(made, "Girderply_Plate", values, k, face, plate.joint)
    return made


def make_brackets(space: Space, girder: Girder, under: Ref) -> Iterator[Ref]:
    """What hangs on the faces, as thin sheets where its footprint is known."""
    for load in girder.loads:
        if load.footprint is not None and load.face in ("front", "back"):
            yield _bracket(space, girder, load, _corners(load.footprint), under)


def _bracket(
    space: Space, girder: Girder, load: HungLoad, corners: list[tuple[float, float]], under: Ref
) -> Ref:
    back = 0.0 if load.face == "front" else girder.stack + SHEET
    solid = space.slab(f"bracket {load.id}", corners, back, SHEET)
    made = space.step.add(
        *("IFCDISCRETEACCESSORY", space.guid("bracket", load.id), None, f"Bracket {load.id}"),
        *(load.what or None, None, space.placed(under), space.shape(space.solids(solid))),
        *(load.id, enum("BRACKET")),
    )
    values = {
        "Chord": Typed("IFCIDENTIFIER", load.chord),
        "Face": Typed("IFCLABEL", str(load.face)),
        "Station": Typed("IFCLENGTHMEASURE", load.station),
        "PliesReached": Typed("IFCINTEGER", load.plies_reached),
        "ThicknessKnown": Typed("IFCBOOLEAN", False),
    }
    space.properties(made, "Girderply_Bracket", values, load.id)
    return made
