"""How many sheets a document may have: a sheet of what to know and one for each stage, and so on.

Two plies are the measure and six plies may have twice as many; what lies between grows in line. A
girder that is refused may have one more, for what is wrong with it. Every sample is counted in its
own language and in French, whose texts are the longest; American English is that of its own sample.
"""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from girderply.jobfile.reader import read_job
from girderply.papers import render_document
from girderply.schedule.build_schedule import build_schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"


@pytest.mark.parametrize("language", ["", "fr"])
@pytest.mark.parametrize("stem", sorted(path.stem for path in SAMPLES.glob("*.toml")))
def test_a_document_has_no_more_sheets_than_its_reader_reads(stem, language):
    job = read_job(SAMPLES / f"{stem}.toml")
    if language:
        job = replace(job, info=replace(job.info, language=language))
    schedule = build_schedule(job)
    times = 1 + (schedule.girder.plies - 2) / 4
    more = 1 if schedule.failed else 0
    most = {"inspection": 2 * times, "delivery": 2 * times, "engineer": 6 * times}
    most["yard"] = 1 + len(schedule.stages)  # they grow with the plies themselves
    for name, limit in most.items():
        pages = PdfReader(BytesIO(render_document(schedule, name))).pages
        assert len(pages) <= limit + more, name
