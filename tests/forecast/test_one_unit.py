"""One unit on its way: where it waited and where it was worked on, worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.one_unit import NoUnit, unit_through
from tests.forecast.small_lines import laid, line_text, machine, run, stores

MOVE = "moves: [{from: t0, to: t1, distance: 40 m, speed: 1 m/s, back: no}]\n"


def told(text: str, share: float = 0.5, days: float = 1.0):
    return [
        (stay.step, stay.doing, stay.begin, stay.end) for stay in unit_through(laid(text), days=days, share=share).stays
    ]


def test_a_unit_is_carried_waits_and_is_worked_on():
    text = line_text([machine("10 s"), machine("100 s")], demand="{mean: 480 /d, cv: 0}", more=MOVE)
    # Orders at 60, 120: the second piece is ended at 130, comes at 170 and waits until the first is ended at 210. It is the quickest but one.
    assert told(text, share=0.005) == [
        ("t0", "is worked on", 120, 130), ("t0", "is on its way", 130, 170), ("t1", "waits", 170, 210), ("t1", "is worked on", 210, 310),
    ]  # fmt: skip


def test_a_unit_is_held_where_there_is_no_room():
    text = line_text([machine("10 s"), machine("100 s")], demand="{mean: 480 /d, cv: 0}", more=stores([1]))
    slow = told(text, share=0.999)
    assert [doing for _, doing, _, _ in slow] == ["is worked on", "is held", "waits", "is worked on"]
    assert slow[1][3] - slow[1][2] > 10


def test_the_stays_of_a_unit_add_up_to_its_lead_time_and_the_middle_one_is_the_median():
    text = line_text(
        ["machine: {mean: 40 s, cv: 0.5}, people: 0, scrap: 5 %", "machine: {mean: 40 s, cv: 0.5}, people: 0, rework: {share: 10 %, to: t0}", machine("30 s")],
        demand="500 /d",
    )  # fmt: skip
    layout = laid(text)
    unit = unit_through(layout, days=3)
    assert sum(stay.seconds for stay in unit.stays) == pytest.approx(unit.seconds)
    assert all(a.end == b.begin for a, b in zip(unit.stays[:-1], unit.stays[1:], strict=True))
    assert unit.touched <= unit.seconds
    assert unit.seconds == pytest.approx(float(np.median(run(text, days=3)[0].lead[0])), rel=0.02)


def test_what_lay_there_at_the_start_is_no_unit_to_follow():
    text = line_text(
        [machine("10 s"), machine("20 s")], demand="{mean: 1 /d, cv: 0}", more="stores: [{before: t1, counted: 5}]\n"
    )
    with pytest.raises(NoUnit, match="run more days"):
        unit_through(laid(text), days=0.5)


def test_a_share_beyond_all_units_is_refused():
    with pytest.raises(ValueError, match=r"a share of 1\.5"):
        unit_through(laid(line_text([machine("10 s")], demand="10 /d")), days=1, share=1.5)
