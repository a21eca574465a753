"""An IFC model as a `Drawing`: the members of one assembly, or chosen ones, in one plane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np

from girderply.errors import TraceError
from girderply.model.girder import Array
from girderply.tracing.drawing import Drawing, Options, refusal
from girderply.tracing.planar import Solid, drawing_of

MEMBERS: Final = ("IfcMember", "IfcBeam", "IfcColumn")
EXTRA: Final = "pip install 'girderply[ifc]'"


def read_ifc(path: Path, options: Options) -> Drawing:
    """Read an IFC file (IFC2x3 or IFC4) with ifcopenshell.

    Args:
        path: of the file.
        options: `members` names the assembly, or the members with commas between.

    Raises:
        TraceError: ifcopenshell is not there, no IFC file, no members, not in one plane.
    """
    try:
        import ifcopenshell
    except ImportError as fault:
        message = "building models are read by ifcopenshell, which is not installed"
        raise TraceError([refusal("extra", path.name, message, EXTRA)]) from fault
    with path.open("rb"):  # so that a file that is not there says so itself
        pass
    try:
        model = ifcopenshell.open(str(path))
    except Exception as fault:  # reason: its reader raises whatever a spoilt file makes it meet
        message = f"is no IFC file that can be read: {fault}"
        raise TraceError([refusal("not-ifc", path.name, message)]) from fault
    chosen = _chosen(model, options.members, path.name)
    plates = [p for p in model.by_type("IfcMechanicalFastener") if _is_plate(p)]
    solids = list(_solids(chosen))
    return drawing_of(solids, list(_solids(plates)), path.name)


def _is_plate(fastener: Any) -> bool:
    return str(getattr(fastener, "PredefinedType", "")) == "NAILPLATE"


def _chosen(model: Any, wanted: str, name: str) -> list[Any]:
    from ifcopenshell.util.element import get_decomposition

    members = [m for kind in MEMBERS for m in model.by_type(kind)]
    names = {w.strip() for w in wanted.split(",") if w.strip()}
    assemblies = {a.Name or a.GlobalId: a for a in model.by_type("IfcElementAssembly")}
    girders = [a for a in assemblies.values() if str(a.PredefinedType) == "GIRDER"]
    if names & set(assemblies):
        inside = {e for n in names & set(assemblies) for e in get_decomposition(assemblies[n])}
        return [m for m in members if m in inside]
    if names:
        return [m for m in members if names & {m.Name, m.GlobalId, m.Tag}]
    if len(girders) > 1:
        known = ", ".join(str(a.Name) for a in girders)
        message = f"holds {len(girders)} girders: {known}"
        raise TraceError([refusal("two-girders", name, message, "name one with --members")])
    inside = set(get_decomposition(girders[0])) if girders else set(members)
    return [m for m in members if m in inside]


def _solids(elements: Sequence[Any]) -> Iterator[Solid]:
    import ifcopenshell.geom

    geom: Any = ifcopenshell.geom
    settings = geom.settings()
    settings.set("use-world-coords", True)
    for e in elements:
        if e.Representation is None:
            continue
        made = geom.create_shape(settings, e).geometry
        corners = np.array(made.verts, float).reshape(-1, 3) * 1000.0
        faces = np.array(made.faces, int).reshape(-1, 3).tolist()
        yield Solid(e.Name or "", corners, faces, _timber(e), _hook(e))


def _timber(element: Any) -> str:
    from ifcopenshell.util.element import get_material

    material = get_material(element)
    return str(getattr(material, "Name", "") or "")


def _hook(element: Any) -> Array | None:
    """Start of the axis, where our own properties say that it is the hook end."""
    from ifcopenshell.util.element import get_pset
    from ifcopenshell.util.placement import get_local_placement

    if get_pset(element, "Girderply_Member", "HookEnd") != "axis start":
        return None
    for shape in element.Representation.Representations:
        if shape.RepresentationIdentifier == "Axis":
            start = shape.Items[0].Points[0].Coordinates
            matrix = np.asarray(get_local_placement(element.ObjectPlacement), float)
            return np.asarray(matrix @ [*start, 1.0])[:3]
    return None
