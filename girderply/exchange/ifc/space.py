"""Places, solids and representations of an IFC file; x to the right, y to the back, z up, mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from girderply.exchange.identity import ifc_guid
from girderply.exchange.ifc.step import DERIVED, Ref, StepFile, Typed, Value, enum

Triple = tuple[float, float, float]
Corners = Sequence[tuple[float, float]]
ORIGIN: Triple = (0.0, 0.0, 0.0)
UP: Triple = (0.0, 0.0, 1.0)
RIGHT: Triple = (1.0, 0.0, 0.0)
TO_FRONT: Triple = (0.0, -1.0, 0.0)


@dataclass(slots=True)
class Space:
    """A file with its units and contexts, and the content hash that every name hangs on."""

    step: StepFile
    content: str
    body: Ref
    axis: Ref
    context: Ref

    def guid(self, *keys: str | int) -> str:
        """The name of a thing, from the content hash."""
        return ifc_guid(self.content, *keys)

    def at(self, place: Triple, z: Triple = UP, x: Triple = RIGHT) -> Ref:
        """Axes at a place."""
        point = self.step.once("IFCCARTESIANPOINT", place)
        if (z, x) == (UP, RIGHT):
            return self.step.once("IFCAXIS2PLACEMENT3D", point, None, None)
        axes = (self.step.once("IFCDIRECTION", z), self.step.once("IFCDIRECTION", x))
        return self.step.once("IFCAXIS2PLACEMENT3D", point, *axes)

    def placed(self, under: Ref | None, axes: Ref | None = None) -> Ref:
        """A placement in that of another thing."""
        return self.step.add("IFCLOCALPLACEMENT", under, axes or self.at(ORIGIN))

    def slab(self, name: str, corners: Corners, back: float, thickness: float) -> Ref:
        """A solid of an outline in the elevation, from its back face towards the front."""
        add, once = self.step.add, self.step.once
        points = [once("IFCCARTESIANPOINT", (x, y)) for x, y in [*corners, corners[0]]]
        line = add("IFCPOLYLINE", tuple(points))
        profile = add("IFCARBITRARYCLOSEDPROFILEDEF", enum("AREA"), name, line)
        place = self.at((0.0, back, 0.0), TO_FRONT, RIGHT)
        return add("IFCEXTRUDEDAREASOLID", profile, place, once("IFCDIRECTION", UP), thickness)

    def shank(self, diameter: float, length: float) -> Ref:
        """A round bar from the origin along z."""
        add = self.step.add
        flat = self.step.once(
            "IFCAXIS2PLACEMENT2D", self.step.once("IFCCARTESIANPOINT", (0.0, 0.0)), None
        )
        circle = add("IFCCIRCLEPROFILEDEF", enum("AREA"), None, flat, diameter / 2)
        up = self.step.once("IFCDIRECTION", UP)
        return add("IFCEXTRUDEDAREASOLID", circle, self.at(ORIGIN), up, length)

    def shape(self, *representations: Ref) -> Ref:
        """What a thing looks like."""
        return self.step.add("IFCPRODUCTDEFINITIONSHAPE", None, None, representations)

    def solids(self, *items: Ref) -> Ref:
        """A body of solids."""
        return self.step.add("IFCSHAPEREPRESENTATION", self.body, "Body", "SweptSolid", items)

    def line(self, a: Triple, b: Triple) -> Ref:
        """The axis of a member."""
        ends = tuple(self.step.once("IFCCARTESIANPOINT", p) for p in (a, b))
        curve = self.step.add("IFCPOLYLINE", ends)
        return self.step.add("IFCSHAPEREPRESENTATION", self.axis, "Axis", "Curve3D", (curve,))

    def parts(self, whole: Ref, parts: Iterable[Ref], *keys: str | int) -> None:
        """Say that a thing is put together from parts."""
        guid = self.guid("parts", *keys)
        self.step.add("IFCRELAGGREGATES", guid, None, None, None, whole, tuple(parts))

    def properties(self, thing: Ref, name: str, values: dict[str, Typed], *keys: str | int) -> None:
        """Give a thing a property set of ours."""
        add = self.step.add
        single: tuple[Value, ...] = tuple(
            self.step.once("IFCPROPERTYSINGLEVALUE", key, None, value, None)
            for key, value in values.items()
        )
        made = add("IFCPROPERTYSET", self.guid(name, *keys), None, name, None, single)
        guid = self.guid("has", name, *keys)
        add("IFCRELDEFINESBYPROPERTIES", guid, None, None, None, (thing,), made)


def new_space(content: str) -> tuple[Space, Ref]:
    """A file with its contexts, and the units that a project names."""
    step = StepFile()
    once, add = step.once, step.add
    origin = once("IFCAXIS2PLACEMENT3D", once("IFCCARTESIANPOINT", ORIGIN), None, None)
    context = add("IFCGEOMETRICREPRESENTATIONCONTEXT", None, "Model", 3, 1e-5, origin, None)
    body, axis = (_view(step, context, *view) for view in (("Body", "MODEL"), ("Axis", "GRAPH")))
    units = [
        add("IFCSIUNIT", DERIVED, enum(kind), enum(prefix) if prefix else None, enum(name))
        for kind, prefix, name in (
            ("LENGTHUNIT", "MILLI", "METRE"),
            ("AREAUNIT", "", "SQUARE_METRE"),
            ("VOLUMEUNIT", "", "CUBIC_METRE"),
            ("PLANEANGLEUNIT", "", "RADIAN"),
            ("MASSUNIT", "KILO", "GRAM"),
            ("FORCEUNIT", "", "NEWTON"),
        )
    ]
    return Space(step, content, body, axis, context), add("IFCUNITASSIGNMENT", tuple(units))


def _view(step: StepFile, context: Ref, name: str, target: str) -> Ref:
    inherited: tuple[Value, ...] = (DERIVED,) * 4
    rest: tuple[Value, ...] = (context, None, enum(f"{target}_VIEW"), None)
    return step.add("IFCGEOMETRICREPRESENTATIONSUBCONTEXT", name, "Model", *inherited, *rest)
