"""A short run of the fuzzer of batch folders; the long one is on demand, see batch_fuzz.py."""

from __future__ import annotations

from batch_fuzz import run


def test_folders_of_jobs_are_told_whole_and_what_people_wrote_is_kept() -> None:
    """Seeds of little work whose folders hold a link to nowhere, a twin, and a pack written in."""
    tried = run(3) + run(10)
    assert tried["exit 0"] + tried["exit 1"] + tried["exit 2"] == 6
    assert tried["to_nowhere"]
    assert tried["good"]
