"""Every key of a job lives: another value changes the schedule, or is answered in words."""

import pytest
from every_key import OTHER, TITLE_BLOCK, changed, essence, keys, names, usual


def test_every_key_of_the_schema_is_tried():
    """A new key must come with a job in which it applies and another value for it."""
    known = list(keys())
    assert len(known) == len(set(known))
    assert set(known) == set(OTHER) | set(TITLE_BLOCK)


@pytest.mark.parametrize("name", names())
def test_the_jobs_themselves_can_be_built(name):
    assert usual(name).startswith("{"), usual(name)


@pytest.mark.parametrize("key", OTHER)
def test_another_value_changes_the_schedule_or_is_answered(key):
    assert essence(changed(key)) != usual(OTHER[key][0])
