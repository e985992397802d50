"""Lines that nobody would build but somebody will type: a run ends, answers what the rules say, and its sums add up."""

from __future__ import annotations

import pytest

from pullwright.forecast import runs
from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.runs import Run
from tests.forecast.lines_at_random import line_at_random
from tests.forecast.small_lines import DAY, laid, line_text, machine, run, stores

EVERY_TEN = "{mean: 48 /d, cv: 0}"
WORK = machine("10 s")
AT_RANDOM = machine("50 s", "exponential")


def adds_up(found: Run, days: float, machines: int) -> None:
    """The seven kinds are all of the machines' time, none below 0; nothing is shipped that was not finished, or not ordered."""
    assert found.times.min() >= -1e-6
    assert found.times.sum() == pytest.approx(machines * days * DAY, rel=1e-9)
    assert (found.shipped.sum(0) <= found.ordered.sum(0)).all()
    assert (found.shipped.sum(0) <= found.finished.sum(0)).all()


@pytest.mark.parametrize("seed", range(100, 116))
def test_machine_time_adds_up_whatever_the_line(seed):
    text = line_at_random(seed)
    plant = laid(text).plant
    (found,) = run(text, days=5)
    assert found.times.min() >= -1e-6
    for s, (first, last) in enumerate(plant.station_machine):
        assert found.times[s].sum() == pytest.approx((last - first) * 5 * DAY, rel=1e-9)
    assert (found.shipped.sum(0) <= found.ordered.sum(0)).all()


@pytest.mark.parametrize(
    ("text", "machines", "shipped"),
    [
        (line_text([f"{WORK}, rework: {{share: 100 %}}"], demand=EVERY_TEN), 1, 47),
        (line_text([f"{WORK}, release: {{by: cards, cards: 1000000, per_card: 1}}"], demand=EVERY_TEN), 1, 47),
        (line_text([f"{WORK}, release: {{by: cards, cards: 1, per_card: 10000}}"], demand=EVERY_TEN), 1, 47),
        (line_text([f"{WORK}, release: {{by: cap, limit: 1000000, until: t1}}", WORK], demand=EVERY_TEN), 2, 47),
        (line_text([WORK], demand="{mean: 480000 /d, cv: 0}"), 1, 2879),
        (line_text([WORK] * 6, demand="{mean: 4800 /d, cv: 0}", more=stores([0] * 5)), 6, 2874),
        (line_text([WORK, f"{WORK}, also_at: [{{station: s0, share: 100 %}}]"], demand=EVERY_TEN), 2, 47),
        (line_text([machine("0.01 s"), f"{machine('0.01 s')}, after: []", f"{WORK}, after: [t0, {{step: t1, quantity: 1000}}]"], demand=EVERY_TEN), 3, 47),
        (line_text([machine("8760 h")], demand=EVERY_TEN), 1, 0),
        (line_text([f"{WORK}, release: {{by: push, rate: 1000 /d}}"], demand=EVERY_TEN, more="stores: [{after: t0, capacity: 3}]\n"), 1, 47),
    ],
    ids=["all put right", "a million cards", "a card of ten thousand", "a cap of a million", "far too many orders", "no room anywhere",
         "all elsewhere", "a thousand into one", "a year a piece", "a schedule into a full store"],
)  # fmt: skip
def test_an_odd_line_runs_to_its_end(text, machines, shipped):
    (found,) = run(text, days=1)
    adds_up(found, 1, machines)
    assert found.shipped.sum() == shipped


def test_a_long_line_runs_to_its_end():
    """Three hundred stations: the first unit is out after the sum of its times, and all of them keep their sums."""
    (found,) = run(line_text([WORK] * 300, demand=EVERY_TEN), days=1)
    adds_up(found, 1, 300)
    assert found.lead[1][0] == pytest.approx(600 + 300 * 10)
    assert set(found.lead[0].round(6)) == {3000.0}


def test_a_product_that_nobody_orders_is_not_made():
    text = (
        "line: two\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        "products: [{name: A, demand: {mean: 48 /d, cv: 0}}, {name: B, demand: 0 /d}]\nstations: [{name: s0}, {name: s1}]\nsteps:\n"
        f"  - {{name: t0, station: s0, {WORK}, release: {{by: cards, cards: 4, per_card: 1}}}}\n"
        f"  - {{name: t1, station: s1, for: [B], {WORK}}}\n  - {{name: t2, station: s1, {WORK}}}\n"
    )
    (found,) = run(text, days=1)
    assert found.shipped.sum(0).tolist() == [47, 0]
    assert found.made[1] == 0


def test_pieces_that_go_back_never_shut_a_line_without_room():
    text = line_text([WORK, WORK, f"{WORK}, rework: {{share: 40 %, to: t0}}"], demand="2000 /d", more=stores([0, 0]))
    (found,) = run(text, days=3)
    adds_up(found, 3, 3)
    assert all(found.shipped[day].sum() > 1500 for day in range(3))


def test_a_station_that_a_piece_comes_back_to_does_not_shut_itself():
    """First and third step at one station with little room between: what is nearer to the customer goes first, so that it never fills up."""
    text = line_text(
        [f"station: s0, {AT_RANDOM}", f"station: s1, {AT_RANDOM}", f"station: s0, {AT_RANDOM}"], demand="600 /d", more=stores([1, 1])
    )  # fmt: skip
    (found,) = run(text, days=5)
    assert all(found.shipped[day].sum() > 200 for day in range(5))


@pytest.mark.parametrize("what", ["lot: 5, set_up: {time: 10 s, people: 0}", "transfer_lot: 5"])
def test_a_lot_that_a_cap_never_lets_out_is_refused(what):
    text = line_text([f"{WORK}, release: {{by: cap, limit: 2, until: t1}}, {what}", WORK], demand=EVERY_TEN)
    with pytest.raises(CannotRun, match="lot of 5"):
        laid(text)


def test_a_run_that_grows_without_end_says_so(monkeypatch):
    monkeypatch.setattr(runs, "MOST_ROOM", 1 << 12)
    text = line_text([WORK], demand="{mean: 48000 /d, cv: 0}")
    with pytest.raises(TooMuch, match="run fewer days, or let less begin"):
        run(text, days=1)
