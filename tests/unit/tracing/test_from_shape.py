"""A job by shape becomes the same job by nodes and members."""

from __future__ import annotations

import pytest
from command import girderply
from made_schedules import SAMPLES, sample

from girderply.errors import JobError, TraceError
from girderply.jobfile import new_job, parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.shapes.all_shapes import shapes
from girderply.tracing.from_shape import as_nodes

SLOPING = {k: {"overhang": "400 mm", "heel_height": "600 mm"} for k, s in shapes().items()
           if not s.top.level}  # fmt: skip


@pytest.mark.parametrize("more", [False, True], ids=["usual", "raised-heel-overhang"])
@pytest.mark.parametrize("kind", list(shapes()))
def test_every_shape_becomes_lists(kind, more):
    options = SLOPING.get(kind, {}) if more else {}
    text = new_job(kind, "9.6 m", plies=3, **options)
    made, lists = as_nodes(text)
    job = parse_job(made)
    assert job.girder.shape is None
    assert len(job.girder.members) == len(lists.members) > 3
    assert not any("girder.shape" in key for key in job.info.assumed)
    assert {"girder.nodes", "girder.members"} <= set(job.info.assumed)


@pytest.mark.parametrize("name", ["two-ply-howe", "three-ply-pratt", "two-ply-imperial"])
def test_a_sample_keeps_its_words_and_its_fasteners(name):
    text = (SAMPLES / f"{name}.toml").read_text("utf-8")
    made, _ = as_nodes(text)
    kept = [line for line in text.splitlines() if line.startswith(("#", "[[loads", "id ="))]
    assert [line for line in kept if line not in made.splitlines()] == []
    a, b = sample(name).fasteners, build_schedule(parse_job(made)).fasteners
    assert a.id.tolist() == b.id.tolist()
    assert a.station.tolist() == pytest.approx(b.station.tolist(), abs=1e-3)


def test_one_web_can_be_deeper_then():
    made, _ = as_nodes(new_job("howe", "9.6 m"))
    line = next(x for x in made.splitlines() if 'id = "W5"' in x)
    deeper = parse_job(made.replace(line, line.replace("depth = 95", "depth = 120")))
    assert build_schedule(deeper).girder.member("W5").depth == 120.0


def test_what_is_no_shape_or_stands_inline_is_refused():
    with pytest.raises(TraceError, match="by nodes and members already"):
        as_nodes((SAMPLES / "truncated-nodes.toml").read_text("utf-8"))
    text = new_job("howe", "9.6 m")
    table = text.split("[girder.sections]\n")[1].split("\n\n")[0]
    values = ", ".join(line.split("#")[0].strip() for line in table.splitlines())
    inline = text.replace(f"[girder.sections]\n{table}", "").replace(
        "[girder]\n", f"[girder]\nsections = {{ {values} }}\n", 1
    )
    with pytest.raises(TraceError, match="do not stand in tables of their own"):
        as_nodes(inline)
    with pytest.raises(JobError, match="not TOML"):
        as_nodes("shape =")


def test_new_as_nodes_and_trace_of_a_job_are_the_same(capsys, tmp_path):
    options = ("--shape", "fink", "--span", "9 m", "--plies", "2")
    by_new = girderply(capsys, "new", *options, "--as", "nodes")
    assert by_new.code == 0, by_new.err
    path = tmp_path / "job.toml"
    path.write_text(girderply(capsys, "new", *options).out, "utf-8")
    by_trace = girderply(capsys, "trace", path, "--picture", tmp_path / "job.svg")
    assert by_trace.out == by_new.out
    assert ">W4<" in (tmp_path / "job.svg").read_text("utf-8")
