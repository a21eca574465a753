"""A girder as an IFC4 file: assembly, plies, members, plates, fasteners, stages.

[ISO 16739-1:2018] The elevation's x and y are the model's x and z; ply 1 lies in front, plies
follow along y. Names hang on the content hash: the same job gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence

import girderply
from girderply.exchange.ifc.fastening import make_fasteners
from girderply.exchange.ifc.sequence import make_tasks
from girderply.exchange.ifc.space import Space, new_space
from girderply.exchange.ifc.step import Ref, Typed, Value, enum
from girderply.exchange.ifc.timber import Made, make_brackets, make_plies
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.wording import english

VIEW = "ViewDefinition [ReferenceView_V1.2]"


def ifc_bytes(schedule: Schedule) -> bytes:
    """The file of one girder; the same schedule gives the same bytes."""
    space, units = new_space(schedule.content_hash)
    project, girder, place = _frame(space, schedule, units)
    plies = make_plies(space, schedule.girder, place)
    fasteners = make_fasteners(space, schedule, place)
    brackets = make_brackets(space, schedule.girder, place)
    parts = [*(p.ply for p in plies), *fasteners.values(), *brackets]
    space.parts(girder, parts, "girder")
    timbers = map(schedule.girder.timber_of, schedule.girder.members)
    for timber in dict.fromkeys([schedule.girder.timber, *timbers]):
        _material(space, schedule, timber, plies)
    make_tasks(space, schedule, project, fasteners)
    name = f"{schedule.job.info.number} {schedule.girder.mark}.ifc"
    stamp = f"{schedule.job.info.date or '1970-01-01'}T00:00:00"
    system = f"girderply {girderply.__version__}"
    return space.step.text(VIEW, name, stamp, system).encode("ascii")


def _frame(space: Space, schedule: Schedule, units: Ref) -> tuple[Ref, Ref, Ref]:
    add, guid, info = space.step.add, space.guid, schedule.job.info
    project = add(
        *("IFCPROJECT", guid("project"), None, info.number, info.title or None, None, None, None),
        *((space.context,), units),
    )
    at = space.placed(None)
    building = add(
        *("IFCBUILDING", guid("building"), None, info.site or "Building", None, None, at, None),
        *(None, enum("ELEMENT"), None, None, None),
    )
    space.parts(project, (building,), "project")
    place = space.placed(at)
    mark = schedule.girder.mark
    girder = add(
        *(
            "IFCELEMENTASSEMBLY",
            guid("girder"),
            None,
            mark,
            " ".join(map(english, cautions.scope(schedule.job.assembly))),
            None,
        ),
        *(place, None, mark, enum("SITE" if schedule.job.assembly.upright else "FACTORY")),
        enum("GIRDER"),
    )
    space.properties(girder, "Girderply_Girder", _properties(schedule))
    holds = (guid("holds"), None, None, None, (girder,), building)
    add("IFCRELCONTAINEDINSPATIALSTRUCTURE", *holds)
    return project, girder, place


def _properties(schedule: Schedule) -> dict[str, Typed]:
    info, girder = schedule.job.info, schedule.girder
    values: dict[str, tuple[str, Value]] = {
        "ContentHash": ("IFCIDENTIFIER", schedule.content_hash),
        "Revision": ("IFCIDENTIFIER", info.revision),
        "Quantity": ("IFCINTEGER", girder.quantity),
        "Plies": ("IFCINTEGER", girder.plies),
        "PlyThickness": ("IFCPOSITIVELENGTHMEASURE", girder.ply_thickness),
        "ForAssembly": ("IFCBOOLEAN", not schedule.failed),
        "PlatesAssumed": ("IFCBOOLEAN", schedule.plates_assumed),
        "Demo": ("IFCBOOLEAN", info.demo),
        "Basis": ("IFCLABEL", str(schedule.job.basis.standard)),
        "Rules": ("IFCLABEL", schedule.rules.name),
        "Mass": ("IFCMASSMEASURE", schedule.masses.total),
    }
    return {key: Typed(name, value) for key, (name, value) in values.items()}


def _material(space: Space, schedule: Schedule, timber: str, plies: Sequence[Made]) -> None:
    """A timber, and every member that is of it."""
    girder = schedule.girder
    own = [girder.timber_of(m) == timber for m in girder.members]
    members = tuple(ref for p in plies for ref, mine in zip(p.members, own, strict=True) if mine)
    if members:
        material = space.step.add("IFCMATERIAL", timber, None, "wood")
        guid = space.guid("material", *([] if timber == girder.timber else [timber]))
        space.step.add("IFCRELASSOCIATESMATERIAL", guid, None, None, None, members, material)
