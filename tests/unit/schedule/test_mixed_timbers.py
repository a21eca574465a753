"""Members of another timber: masses, shares and grades by member, every fastener by the lightest.

Mean densities of C24 and C30 are 420 and 460 kg/m3, characteristic ones of C24 and C50 350 and 430
[EN 338:2016, Table 1; from memory].
"""

from __future__ import annotations

from xml.etree import ElementTree

import ifcopenshell
import numpy as np
import pytest
from command import girderply
from shapely.geometry import Polygon

from girderply.errors import JobError
from girderply.exchange.btlx.btlx_file import btlx_bytes
from girderply.exchange.ifc.ifc_file import ifc_bytes
from girderply.exchange.second_opinion import seconded
from girderply.jobfile import new_job, parse_job
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.look_up import make_brief
from girderply.schedule.types import Schedule
from girderply.strength.sharing.ply_frame import relative_stiffness
from girderply.strength.sharing.springs import densities
from girderply.tracing.from_shape import as_nodes
from girderply.wording import english

HEAD = "[girder.shape]"


def text(timbers: str = "", timber: str = "C24", **options: object) -> str:
    made = new_job("howe", "7.2 m", timber=timber, panels=4, **options)  # type: ignore[arg-type]
    fixed = made.replace("[fastening]", "[fastening]\ndesign_to_load = false")
    return fixed.replace(HEAD, f"[girder.timbers]\n{timbers}\n\n{HEAD}") if timbers else fixed


def built(timbers: str = "", timber: str = "C24", **options: object) -> Schedule:
    return build_schedule(parse_job(text(timbers, timber, **options)))


@pytest.mark.parametrize(
    ("timbers", "where", "words"),
    [
        ('W3 = "C18"', "girder.timbers.W3", "not as dense and stiff as C24"),
        ('W3 = "C25"', "girder.timbers.W3", "C25"),
        ('W77 = "C30"', "girder.timbers.W77", "no member 'W77'"),
        ('W3 = "Southern Pine"', "girder.timbers.W3", "not as dense and stiff"),
    ],
)
def test_what_cannot_be_is_refused_by_its_place(timbers, where, words):
    with pytest.raises(JobError) as refused:
        built(timbers)
    assert [(f.where, words in english(f.message)) for f in refused.value.findings] == [
        (where, True)
    ]


def test_only_the_members_named_are_heavier_and_stiffer():
    plain, mixed = built(), built('W3 = "C30"')
    girder = mixed.girder
    area = Polygon(girder.member("W3").outline).area
    more = area * girder.ply_thickness * (460.0 - 420.0) * 1e-9
    assert mixed.masses.ply - plain.masses.ply == pytest.approx(more, abs=1e-9)
    ratio = relative_stiffness(girder)
    named = np.array([m.id == "W3" for m in girder.members])
    assert ratio[named] == pytest.approx(12000.0 / 11000.0)
    assert (ratio[~named] == 1.0).all()
    rho = densities(girder, mixed.fasteners)
    assert set(rho[mixed.fasteners.member == "W3"]) == {460.0}
    assert set(rho[mixed.fasteners.member != "W3"]) == {420.0}
    assert girder.timber_line == "C24 (W3: C30)"
    assert [f.where for f in mixed.findings if f.code == "timbers-mixed"] == ["girder.timbers"]
    assert not [f for f in plain.findings if f.code == "timbers-mixed"]


def test_a_girder_all_of_the_better_timber_shares_and_weighs_as_one_named_by_it():
    """The strength of every fastener stays that of the girder's own timber."""
    members = [m.id for m in built().girder.members]
    plain, better = built(), built(timber="C30")
    mixed = built("\n".join(f'{m} = "C30"' for m in members))
    assert mixed.masses == better.masses
    reactions = [np.array([(r.most, r.least) for r in s.reactions]) for s in (mixed, better, plain)]
    assert reactions[0] == pytest.approx(reactions[1], rel=1e-6)
    assert np.abs(reactions[0] / reactions[2] - 1.0).max() > 1e-3
    forces = [np.array([(f.N, f.V, f.M) for f in s.forces]) for s in (mixed, better)]
    assert forces[0] == pytest.approx(forces[1], rel=1e-5, abs=1.0)
    held = [{c.id: c.resistance for c in s.checks} for s in (mixed, plain, better)]
    passing = [i for i in held[0] if ".i1." in i]  # from ply to ply
    assert passing
    assert [i for i in passing if held[0][i] != pytest.approx(held[1][i], rel=1e-9)] == []
    assert all(held[0][i] < 0.99 * held[2][i] for i in passing)


def test_new_and_a_trace_take_them_along(capsys):
    told = ["--timber", "C24", "--timber-of", "W3 = C30", "--timber-of", "BC1 = C30"]
    made = girderply(capsys, "new", "--shape", "howe", "--span", "7.2 m", *told)
    job = parse_job(made.out)
    assert job.girder.timbers == {"W3": "C30", "BC1": "C30"}
    nodes, _ = as_nodes(made.out)
    assert build_girder(parse_job(nodes))[0].timber_line == build_girder(job)[0].timber_line


def test_spacing_is_by_the_densest():
    """Above 420 kg/m3 nails stand further apart [EN 1995-1-1, Table 8.2]."""
    job = parse_job(text('W3 = "C50"'))
    assert make_brief(job, build_girder(job)[0]).rho_k == 430.0
    plain = parse_job(text())
    assert make_brief(plain, build_girder(plain)[0]).rho_k == 350.0


def test_files_for_others_name_the_timber_of_each_member():
    made = seconded(built('W3 = "C30"\nBC1 = "C30"'))
    assert not [f for f in made.findings if f.code == "second-opinion"]
    told = {m["id"]: m["timber"] for m in to_contract(made)["members"]}
    wanted = {m.id: "C30" if m.id in ("W3", "BC1") else "C24" for m in made.girder.members}
    assert told == wanted
    parts = ElementTree.fromstring(btlx_bytes(made)).iter("{https://www.design2machine.com}Part")
    assert {(p.get("Designation"), p.get("TimberGrade")) for p in parts} == set(wanted.items())
    model = ifcopenshell.file.from_string(ifc_bytes(made).decode())
    grades = [
        (
            member.Name.split()[-1] if member.Name not in wanted else member.Name,
            r.RelatingMaterial.Name,
        )
        for r in model.by_type("IfcRelAssociatesMaterial")
        for member in r.RelatedObjects
    ]
    assert len(grades) == len(wanted) * made.girder.plies
    assert {g for name, g in grades if name in ("W3", "BC1")} == {"C30"}
    assert sum(g == "C30" for _, g in grades) == 2 * made.girder.plies
