"""The BTLx file, read by compas_timber; marks, which it does not read, placed by its sides."""

from __future__ import annotations

import dataclasses
import warnings
from collections import Counter
from xml.etree import ElementTree

import pytest
from made_schedules import sample

from girderply.errors import JobError
from girderply.exchange.btlx.btlx_file import btlx_bytes
from girderply.jobfile.job import Saw
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule

PRATT = "three-ply-pratt"
NS = "{https://www.design2machine.com}"


def elements_of(text: str) -> list:
    """Parts as compas_timber reads them, in the order of the file."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from compas_timber.btlx.reader import BTLxReader

        reader = BTLxReader()
        model = reader.xml_to_model(text)
    unread = {str(e).split("Unsupported processing type: ")[-1] for e in reader.errors}
    assert unread <= {"Marking"}
    return sorted(model.elements(), key=lambda e: int(e.attributes["single_member_number"]))


def parts_of(text: str) -> list[ElementTree.Element]:
    return ElementTree.fromstring(text).findall(f".//{NS}Part")


@pytest.fixture(scope="module", params=[PRATT, "six-ply", "two-ply-screwed"])
def case(request):
    schedule = sample(request.param)
    text = btlx_bytes(schedule).decode()
    return schedule, elements_of(text), parts_of(text)


def world(element, side: int, x: float, y: float) -> tuple[float, float, float]:
    """A place on a reference side, by the reader's own idea of the sides."""
    frame = element.ref_sides[side - 1]
    return tuple(frame.point + frame.xaxis * x + frame.yaxis * y)


def test_a_part_for_every_member_and_ply_where_it_stands(case):
    schedule, elements, parts = case
    girder = schedule.girder
    pairs = [(m, k) for m in girder.members for k in range(1, girder.plies + 1)]
    assert len(elements) == len(parts) == len(pairs)
    for element, part, (m, k) in zip(elements, parts, pairs, strict=True):
        assert part.get("Designation") == m.id
        corners = [world(element, 1, x, y) for x in (0, m.length) for y in (0, element.width)]
        assert {round(c[1], 6) for c in corners} == {round((k - 1) * girder.ply_thickness, 6)}
        middle = [sum(c[i] for c in corners) / 4 for i in (0, 2)]
        local = m.to_local(m.outline)
        across = (local[:, 1].min() + local[:, 1].max()) / 2
        wanted = m.to_elevation([[m.length / 2, across]])[0]
        assert middle == pytest.approx(wanted.tolist(), abs=2e-3)
        assert (element.length, element.height) == pytest.approx(
            (m.length, girder.ply_thickness), abs=1e-3
        )


def test_holes_are_where_the_schedule_drills_in_every_ply_they_pass(case):
    schedule, elements, parts = case
    wanted = Counter()
    at = {}
    for r in schedule.fasteners.records():
        low, high = sorted((r["from_ply"], r["to_ply"]))
        if r["drilled"] > 0:
            wanted.update((r["id"], k) for k in range(low, high + 1))
            at[r["id"]] = (r["x"], r["y"], r["drilled"])
    found = Counter()
    for element, part in zip(elements, parts, strict=True):
        for hole in element.features:
            if type(hole).__name__ == "Drilling":
                x, _, z = world(element, hole.ref_side_index + 1, hole.start_x, hole.start_y)
                assert (x, z, hole.diameter) == pytest.approx(at[hole.name], abs=2e-3)
                assert not hole.depth_limited
                found[hole.name, int(part.get("Layer")) + 1] += 1
    assert found == wanted


def test_nails_are_marked_on_the_face_that_their_head_is_on(case):
    schedule, elements, parts = case
    thick = schedule.girder.ply_thickness
    wanted = {
        r["id"]: (
            r["x"],
            (r["from_ply"] - 1) * thick if r["face"] == "front" else r["from_ply"] * thick,
            r["y"],
        )
        for r in schedule.fasteners.records()
        if not r["drilled"]
    }
    loads = {load.id for load in schedule.girder.loads}
    found = {}
    for element, part in zip(elements, parts, strict=True):
        for mark in part.iter(f"{NS}Marking"):
            x, y = (float(mark.findtext(f"{NS}Start{a}")) for a in "XY")
            place = world(element, int(mark.get("ReferencePlaneID")), x, y)
            if mark.get("Name") not in loads:
                assert mark.get("Name") not in found
                found[mark.get("Name")] = place
    assert found.keys() == wanted.keys()
    for name, place in found.items():
        assert place == pytest.approx(wanted[name], abs=2e-3)


def test_brackets_are_marked_on_the_outer_face_that_they_hang_on(case):
    schedule, elements, parts = case
    stack = schedule.girder.stack
    wanted = {
        x.id: (x.x, 0.0 if x.face == "front" else stack, x.y)
        for x in schedule.girder.loads
        if x.bracket is not None and x.face in ("front", "back")
    }
    found = {}
    for element, part in zip(elements, parts, strict=True):
        for mark in part.iter(f"{NS}Marking"):
            if mark.get("Name") in wanted:
                x, y = (float(mark.findtext(f"{NS}Start{a}")) for a in "XY")
                found[mark.get("Name")] = world(element, int(mark.get("ReferencePlaneID")), x, y)
    assert found == {k: pytest.approx(v, abs=2e-3) for k, v in wanted.items()}
    assert wanted


def test_every_part_says_what_it_is(case):
    schedule, elements, parts = case
    for element, part in zip(elements, parts, strict=True):
        (text,) = [f for f in element.features if type(f).__name__ == "Text"]
        mark, ply = schedule.girder.mark, int(part.get("Layer")) + 1
        for word in (mark, part.get("Designation"), f"ply {ply}", "hook end", "front"):
            assert word in text.text
        numbers = [int(p.get("ProcessID")) for p in part.find(f"{NS}Processings")]
        assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.parametrize(
    ("saw", "kinds"),
    [
        ([Saw.HOLES], {"Drilling"}),
        ([Saw.NAILS], {"Marking"}),
        ([Saw.BRACKETS], {"Marking"}),
        ([Saw.TEXT], {"Text"}),
        ([], set()),
    ],
)
def test_the_saw_does_only_what_it_may(saw, kinds):
    """By the firm's switch in the job; parts, places and what compas_timber reads stay."""
    made = sample("six-ply")
    info = dataclasses.replace(made.job.info, saw=tuple(saw))
    less = btlx_bytes(dataclasses.replace(made, job=dataclasses.replace(made.job, info=info)))
    parts, every = parts_of(less.decode()), parts_of(btlx_bytes(made).decode())
    done = {p.tag.removeprefix(NS) for part in parts for p in part.find(f"{NS}Processings")}
    assert done == kinds
    assert len(parts) == len(every)
    read = {type(f).__name__ for element in elements_of(less.decode()) for f in element.features}
    assert read == kinds - {"Marking"}  # which that reader does not know
    comment = ElementTree.fromstring(less.decode()).find(f"{NS}Project").get("Comment")
    left = [str(work) for work in Saw if work not in saw]
    assert f"Not for the saw, left to the tape: {', '.join(left)}." in comment
    assert "left to the tape" not in btlx_bytes(made).decode()


def test_the_switch_is_a_key_of_the_job_and_changes_no_other_content():
    made = sample("two-ply-howe")
    text = made.job.source.replace("[job]", '[job]\nsaw = ["text", "holes"]', 1)
    job = parse_job(text)
    assert job.info.saw == (Saw.HOLES, Saw.TEXT)
    again = build_schedule(job)
    assert again.content_hash == made.content_hash
    kinds = {p.tag for part in parts_of(btlx_bytes(again).decode()) for p in part.iter()}
    assert f"{NS}Marking" not in kinds
    assert {f"{NS}Drilling", f"{NS}Text"} <= kinds
    assert parse_job(text.replace('["text", "holes"]', "[]")).info.saw == ()
    with pytest.raises(JobError, match=r'"hole" is not one of "holes", "nails"'):
        parse_job(text.replace('"holes"', '"hole"'))


def test_hostile_text_is_text_and_bytes_stay_the_same():
    made = sample(PRATT)
    girder = dataclasses.replace(made.girder, mark='G"<&\x00@\x1b\u20ac')
    text = btlx_bytes(dataclasses.replace(made, girder=girder)).decode()
    assert parts_of(text)[0].get("Group") == 'G"<& @ \u20ac'
    assert btlx_bytes(made) == btlx_bytes(made)
