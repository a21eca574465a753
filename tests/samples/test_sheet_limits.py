"""How many sheets a document may have: a sheet of what to know and one for each stage, and so on.

Two plies of up to 10 m are the measure; three and four plies may have half as many more, six twice.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from girderply.jobfile.reader import read_job
from girderply.papers import render_document
from girderply.schedule.build_schedule import build_schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"


@pytest.mark.parametrize(
    ("stem", "times"),
    [
        *(("two-ply-howe", 1), ("two-ply-imperial", 1), ("two-ply-screwed", 1), ("six-ply", 2)),
        *(("three-ply-upright", 1), ("three-ply-one-face", 1), ("three-ply-pratt", 1)),
        *(("four-ply-parallel", 1.5), ("truncated-nodes", 1.5)),
    ],
)
def test_a_document_has_no_more_sheets_than_its_reader_reads(stem, times):
    schedule = build_schedule(read_job(SAMPLES / f"{stem}.toml"))
    most = {"yard": 1 + len(schedule.stages), "inspection": 2, "delivery": 2, "engineer": 6}
    for name, limit in most.items():
        pages = PdfReader(BytesIO(render_document(schedule, name))).pages
        assert len(pages) <= times * limit, name
