"""Every sample out as DXF and traced in again: the same girder, and the same schedule."""

from __future__ import annotations

import dataclasses
from collections import Counter

import numpy as np
import pytest
from made_schedules import SAMPLES, sample

from girderply.exchange.dxf_out import dxf_bytes
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.tracing.drawing import Options
from girderply.tracing.file import trace_file

NAMES = sorted(p.stem for p in SAMPLES.glob("*.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_comes_back_through_its_own_drawing(name, tmp_path):
    """To 0.1 mm, as asked; what a drawing does not hold (loads, compression) is given again."""
    made = sample(name)
    job, girder = made.job, made.girder
    drawing = tmp_path / f"{name}.dxf"
    drawing.write_bytes(dxf_bytes(made))
    options = Options(
        plies=girder.plies,
        ply_thickness=f"{girder.ply_thickness} mm",
        timber=girder.timber,
        mark=girder.mark,
        units=str(job.info.units),
    )
    back = parse_job(trace_file(drawing, options).text).girder
    pressed = {m.id: m.compression for m in girder.members}
    back = dataclasses.replace(
        back,
        members=tuple(dataclasses.replace(m, compression=pressed[m.id]) for m in back.members),
        quantity=girder.quantity,
        predrilled=girder.predrilled,
        split_prone=girder.split_prone,
        moisture=job.girder.moisture,
    )
    again = build_schedule(dataclasses.replace(job, girder=back))
    for m in girder.members:
        other = again.girder.member(m.id)
        assert other.role == m.role
        assert np.allclose([*m.hook, *m.far], [*other.hook, *other.far], atol=0.1)
        assert len(m.joints) == len(other.joints)
    assert [b.x for b in again.girder.bearings] == pytest.approx(
        [b.x for b in girder.bearings], abs=0.1
    )
    assert not again.plates_assumed
    assert len(again.girder.plates) == len(girder.plates)
    _same_fasteners(made.fasteners, again.fasteners)
    judged = {c.id: (c.ok, c.demand) for c in made.checks}
    judged_again = {c.id: (c.ok, c.demand) for c in again.checks}
    assert {k: v for k, (v, _) in judged.items()} == {k: v for k, (v, _) in judged_again.items()}
    for key, (_, demand) in judged.items():
        assert judged_again[key][1] == pytest.approx(demand, rel=1e-3), key


def _same_fasteners(a, b):
    """Each has its one like within 0.1 mm; members may be listed in another order.

    Where both sides of a centreline are as good, a millionth of a millimetre decides which of
    them a nail takes: its distance from the centreline is compared without its side.
    """
    columns = ("member", "kind", "spec", "face", "stage", "from_ply", "to_ply", "purpose")
    first, second = (
        Counter(zip(*(getattr(f, c).tolist() for c in columns), strict=True)) for f in (a, b)
    )
    assert first == second
    for member in sorted(set(a.member.tolist())):
        mine, others = (f.select(f.member == member) for f in (a, b))
        away = np.hypot(
            mine.station[:, None] - others.station,
            np.abs(mine.offset)[:, None] - np.abs(others.offset),
        )
        away += 1e3 * ((mine.stage[:, None] != others.stage) | (mine.kind[:, None] != others.kind))
        assert away.min(axis=1).max() < 0.1, member
        assert away.min(axis=0).max() < 0.1, member
