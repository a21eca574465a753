"""Tables: plain for a pipe, ruled for a terminal, in the job's own units, harmless always."""

from __future__ import annotations

from dataclasses import replace

from hand_girder import hand_schedule

from girderply.cli.terminal_tables import Column, schedule_text, table_text
from girderply.jobfile.job import UnitSystem


def test_plain_table_is_columns_and_nothing_else():
    text = table_text(
        *("Nails", [Column("nail"), Column("n", right=True)], [("[bold]a", "7"), ("b", "12")]),
        terminal=False,
    )
    assert text == "Nails\nnail      n\n[bold]a   7\nb        12\n"


def test_plain_table_never_wraps():
    long = "word " * 300
    text = table_text("t", [Column("a")], [(long,)], terminal=False)
    assert long.strip() in text


def test_terminal_table_is_ruled():
    text = table_text("t", [Column("a")], [("x",)], terminal=True)
    assert "─" in text
    assert "\x1b[1m" in text


def test_text_of_a_job_cannot_steer_the_terminal():
    made = hand_schedule()
    info = replace(made.job.info, number="\x1b]0;owned\x07R\n1")
    hostile = replace(made, job=replace(made.job, info=info))
    text = schedule_text(hostile, terminal=False)
    assert "\x1b" not in text
    assert text.splitlines()[0].startswith("]0;ownedR 1")


def test_counts_masses_and_warnings_stand_in_the_table():
    text = schedule_text(hand_schedule(), terminal=False)
    rows = {line.split()[0]: line.split() for line in text.splitlines() if line}
    assert rows["BC1"][-2:] == ["2", "0"]
    assert rows["W1"][-2:] == ["0", "1"]
    assert "one ply 20.0\u00a0kg, the girder 60.5\u00a0kg" in text
    assert "NOT FOR ASSEMBLY" in text, "a check of the hand-made girder fails"
    assert "engineer's drawing" in text


def test_imperial_job_shows_feet_inches_and_pounds():
    """3000 mm is 9 ft 10.11 in, to the nearest sixteenth 9'-10 1/8"."""
    text = schedule_text(hand_schedule(units=UnitSystem.IMPERIAL), terminal=False)
    assert "9'-10\u00a01/8\"" in text
    assert "\u00a0mm" not in text
    assert "\u00a0kg" not in text
