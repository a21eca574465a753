"""The French annex's run of 300 mm: where a nail can stand it is kept, over what covers timber not.

[NF DTU 31.3 P1-1 (2012), annex A (informative), read: at least one nail in every 300 mm run of
every member.]
"""

from itertools import pairwise

import numpy as np
import pytest
from job_mutations import as_text
from random_jobs import random_girder

from girderply.errors import Severity
from girderply.jobfile.reader import parse_job
from girderply.layout.lay_out import lay_out
from girderply.layout.nail_words import covered_in
from girderply.layout.region import Intervals
from girderply.model.build_girder import build_girder
from girderply.schedule.look_up import make_brief
from girderply.wording import english

MOST = 300.0  # mm


def laid_out(seed):
    """A random girder, laid out by the French rule in its usual plies of 36 mm."""
    job = random_girder(seed)
    job["fastening"] = {**job.get("fastening", {}), "rules": "french-36mm"}
    job = parse_job(as_text(job))
    girder = build_girder(job)[0]
    return girder, lay_out(make_brief(job, girder))


@pytest.mark.parametrize("seed", range(16))
def test_no_stretch_is_longer_where_a_nail_could_stand(seed):
    """What is left has more than 300 mm of covered timber in it, and is a warning that says so."""
    girder, layout = laid_out(seed)
    f, groups = layout.fasteners, {}
    for p in layout.passes:
        groups.setdefault(p.group, []).append(p.stage)
    warned = {
        x.where: english(x.message)
        for x in layout.findings
        if x.code == "rule-gap" and x.severity is Severity.WARNING
    }
    for member in girder.members:
        if (free := layout.free.get(member.id)) is None:
            continue
        for stages in groups.values():
            here = f.driven & (f.member == member.id) & np.isin(f.stage, stages)
            at = np.concatenate([[0.0], np.sort(f.station[here]), [member.length]])
            for a, b in pairwise(at):
                if b - a > MOST + 1e-6:
                    assert covered_in(free, a, b)[1] > MOST, (member.id, stages, a, b)
                    assert "covered: " in warned[member.id]


def test_what_is_covered_is_the_longest_stretch_between_free_timber():
    free = Intervals(np.array([100.0, 700.0]), np.array([300.0, 900.0]))
    assert covered_in(free, 200.0, 800.0) == (300.0, 400.0)
    assert covered_in(free, 0.0, 250.0) == (0.0, 100.0)
    assert covered_in(free, 310.0, 650.0) == (310.0, 340.0)
    assert covered_in(free, 120.0, 250.0)[1] == 0.0
