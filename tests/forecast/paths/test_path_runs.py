"""The recursion gives the runs of the event kernel to the last bit, on one lane or eight, on one core or two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pullwright.forecast.paths import path_runs
from pullwright.forecast.paths.path_runs import glance, path_runs_of
from pullwright.forecast.paths.plain import Plain, plain_of
from pullwright.forecast.plant import NEVER
from pullwright.forecast.runs import Run, runs_of
from tests.forecast.paths.plain_lines import plain_text
from tests.forecast.small_lines import DAY, laid, line_text, machine, stores

SAME_BITS = (
    "peak",
    "made",
    "finished",
    "ordered",
    "shipped",
    "scrapped",
    "lying_by_day",
    "deliveries",
    "lead",
    "response",
)
EVERY_MINUTE = "{mean: 480 /d, cv: 0}"
EVERY_TEN = "{mean: 48 /d, cv: 0}"


def plain(text: str) -> Plain:
    found = plain_of(laid(text))
    assert isinstance(found, Plain), found
    return found


def agree(line: Plain, found: Run, event: Run) -> None:
    """Equal to the last bit, but for sums that are added up in another order."""
    assert found.number == event.number
    for name in SAME_BITS:
        assert np.array_equal(getattr(found, name), getattr(event, name)), name
    for name in ("lying", "used", "received", "part_stock"):
        assert getattr(found, name) == pytest.approx(getattr(event, name), rel=1e-9, abs=1e-9), name
    assert found.times == pytest.approx(event.times, rel=1e-9, abs=1e-9 * DAY)
    single = [step.station for step in line.steps if step.machines == 1]
    assert np.array_equal(found.times[single], event.times[single])


@pytest.mark.parametrize("part", range(6))
def test_both_kernels_give_the_same_runs_to_the_last_bit(part):
    by_path = 0
    for seed in range(10 * part, 10 * part + 10):
        line = plain(plain_text(seed))
        asked = {
            "numbers": range(seed, seed + 2),
            "until": 1.7 * DAY,
            "day": DAY,
            "warm": seed % 3 * DAY / 3,
            "seed": seed,
            "samples": 900,
        }
        runs = path_runs_of(line, **asked)
        for found, event in zip(runs, runs_of(line.layout.plant, **asked), strict=True):
            agree(line, found, event)
        by_path += sum(one.events == 0 for one in runs)
    assert by_path > 15


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        (line_text([machine("20 s"), machine("30 s")], demand=EVERY_MINUTE), [110, 170, 230]),
        (line_text([machine("10 s"), machine("100 s")], demand=EVERY_MINUTE, more=stores([1])), [170, 270, 370, 470]),
        (line_text([machine("50 s"), machine("70 s")], demand="{mean: 960 /d, cv: 0}", more=stores([0])), [150, 220, 290]),
        (line_text([machine("100 s") + ", release: {by: cards, cards: 2, per_card: 1}"], demand=EVERY_TEN), [100, 200, 700, 1300]),
        (line_text([machine("10 s") + ", release: {by: cards, cards: 1, per_card: 3}"], demand=EVERY_TEN), [10, 20, 30, 1810, 1820, 1830]),
        (line_text([machine("10 s") + ", release: {by: cap, limit: 1, until: t1}", machine("100 s")], demand=EVERY_MINUTE), [170, 280, 390]),
        (line_text([machine("10 s") + ", release: {by: push, rate: 288 /d}"], demand=EVERY_TEN), [10, 110, 210]),
        (line_text([machine("110 s")], demand=EVERY_MINUTE, stations=["machines: 2"]), [170, 230, 290]),
        (
            # Ended at 70 and carried for 60 s; the second is begun at 120.
            line_text([machine("10 s"), machine("5 s")], demand=EVERY_MINUTE, more="moves: [{from: t0, to: t1, distance: 50 m, speed: 1 m/s, handling: 10 s}]\n"),
            [135, 195],
        ),
        (line_text([machine("10 s"), machine("20 s")], demand=EVERY_TEN, more="stores: [{before: t1, counted: 3}]\n"), [20, 40, 60, 630]),
    ],
)  # fmt: skip
def test_small_lines_end_their_pieces_when_a_hand_works_it_out(text, ends):
    (found,) = path_runs_of(plain(text), numbers=[0], until=DAY, day=DAY)
    assert [round(float(one), 6) for one in found.lead[1]][: len(ends)] == ends
    assert found.events == 0


def test_a_run_does_not_depend_on_the_runs_beside_it_or_on_the_workers():
    line = plain(plain_text(3))
    asked = {"until": 2 * DAY, "day": DAY, "warm": DAY / 2, "seed": 5}
    alone = [path_runs_of(line, numbers=[number], **asked)[0] for number in (7, 11, 2)]
    together = path_runs_of(line, numbers=range(20), workers=2, **asked)
    assert [one.number for one in together] == list(range(20))
    for one in alone:
        other = together[one.number]
        for name in (*SAME_BITS, "lying", "times"):
            assert np.array_equal(getattr(one, name), getattr(other, name)), name


def test_a_glance_sees_what_whole_runs_write_down():
    line = plain(plain_text(17))
    whole = path_runs_of(line, numbers=range(11), until=3 * DAY, day=DAY, warm=DAY, seed=2)
    seen = glance(line, numbers=range(11), until=3 * DAY, warm=DAY, promise=400.0, seed=2, samples=50, workers=2)
    for k, one in enumerate(whole):
        assert np.array_equal(seen.lead[k], one.lead[0, :50])
        assert np.array_equal(seen.lying[k], one.lying)
        assert seen.made[k] == one.lead.shape[1]
        assert seen.shipped[k] == one.response.shape[1]
        assert seen.in_time[k] == (one.response[0] <= 400.0).sum()


def test_where_more_lies_than_is_kept_track_of_the_rings_grow_and_at_last_the_event_kernel_runs(monkeypatch):
    monkeypatch.setattr(path_runs, "FIRST_DEPTH", 2)
    line = plain(line_text([machine("10 s"), machine("100 s", "exponential")], demand="600 /d"))
    asked = {"numbers": [4], "until": DAY, "day": DAY}
    (event,) = runs_of(line.layout.plant, **asked)
    assert event.peak.max() > 100
    for most, by_events in ((1 << 12, False), (16, True)):
        monkeypatch.setattr(path_runs, "MOST_DEPTH", most)
        (found,) = path_runs_of(line, **asked)
        assert (found.events > 0) is by_events
        agree(line, found, event)


def test_pieces_that_two_machines_end_at_the_same_moment_are_left_to_the_event_kernel():
    text = line_text(
        [machine("10 s"), machine("300 s")], demand=EVERY_MINUTE, stations=["", "machines: 2"], more="stores: [{before: t1, counted: 2}]\n"
    )  # fmt: skip
    line = plain(text)
    asked = {"numbers": [0], "until": DAY, "day": DAY}
    (found,), (event,) = path_runs_of(line, **asked), runs_of(line.layout.plant, **asked)
    assert found.events == event.events
    agree(line, found, event)


def test_parts_that_are_always_there_are_counted_day_by_day():
    text = line_text([machine("50 s", "exponential"), machine("40 s", "exponential")], demand="480 /d").replace(
        "demand:", "uses: [{part: nut, quantity: 2, at: t1}, {part: oil, quantity: 0.25, at: t0}], demand:"
    )
    line = plain(
        text
        + "parts: [{name: nut, price: 1 EUR}, {name: oil, price: 2 EUR}]\nstores: [{part: nut, counted: 1500}, {before: t1, counted: 5}]\n"
    )
    asked = {"numbers": range(3), "until": 3.5 * DAY, "day": DAY}
    for found, event in zip(path_runs_of(line, **asked), runs_of(line.layout.plant, **asked), strict=True):
        agree(line, found, event)
        assert found.used[0, 0] > 500
        assert found.part_stock[0, 0] > 0 == found.part_stock[-1, 0]


def test_where_nobody_orders_what_lies_there_is_made():
    layout = laid(
        line_text([machine("10 s"), machine("5 s")], demand="1 /d", more="stores: [{before: t1, counted: 2}]\n")
    )
    nobody = layout.plant._replace(order_stream=np.array([NEVER]))
    line = plain_of(replace(layout, plant=nobody))
    assert isinstance(line, Plain)
    (found,), (event,) = (
        one(plant, numbers=[0], until=DAY, day=DAY) for one, plant in ((path_runs_of, line), (runs_of, nobody))
    )
    agree(line, found, event)
    assert (found.made.tolist(), found.lead[1].tolist(), found.ordered.sum()) == ([0, 2], [5.0, 10.0], 0)
