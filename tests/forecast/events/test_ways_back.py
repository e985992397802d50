"""Pieces that go back, and ways that part and meet: cards, caps, permits, room and set-ups go on as they should."""

from __future__ import annotations

import pytest

from pullwright.forecast.errors import CannotRun
from pullwright.forecast.runs import runs_of
from tests.forecast.small_lines import DAY, laid, line_text, machine, run

M = machine("10 s")
EASY = "{mean: 48 /d, cv: 0}"


def release(by: str) -> str:
    return f", release: {{by: {by}}}"


@pytest.mark.parametrize(
    "steps",
    [
        [M + release("cap, limit: 2, until: t1"), M + ", rework: {share: 20 %, to: t0}"],
        [M + release("cap, limit: 1, until: t2"), M + ", rework: {share: 20 %, to: t0}", M],
        [M, M + release("cap, limit: 1, until: t2"), M + ", rework: {share: 20 %, to: t1}"],
        [M + release("cards, cards: 1, per_card: 1") + ", scrap: 20 %", M + release("cards, cards: 2, per_card: 1") + ", rework: {share: 50 %, to: t0}"],
        [M + ", scrap: 20 %", M + release("order") + ", rework: {share: 50 %, to: t0}"],
        [M, M + ", after: [{step: t0, quantity: 2}]" + release("order"), M + ", rework: {share: 20 %, to: t1}"],
    ],
)  # fmt: skip
def test_a_line_with_ways_back_ships_what_is_ordered_and_never_shuts(steps):
    (found,) = run(line_text(steps, demand=EASY), days=5)
    assert found.ordered.sum() - found.shipped.sum() <= 2
    assert found.peak[-1] <= 8


def test_scrap_beyond_a_cap_lets_no_more_in():
    text = line_text(
        [
            M + release("cap, limit: 1, until: t1"),
            M + ", scrap: 20 %",
            machine("1 s") + ", rework: {share: 50 %, to: t0}",
        ],
        demand="5000 /d",
    )
    (found,) = run(text, days=3)
    assert found.peak[-1] < 40


def test_cards_of_several_pieces_go_back_for_each_product():
    two = line_text([machine("10 s") + release("cards, cards: 2, per_card: 3")], demand=EASY).replace(
        f"[{{name: P, demand: {EASY}}}]", "[{name: A, demand: 48 /d}, {name: B, demand: 48 /d}]"
    )
    (found,) = run(two, days=30)
    assert (found.ordered.sum(0) - found.shipped.sum(0) <= 2).all()
    with pytest.raises(CannotRun, match="1 cards for 2 products"):
        laid(two.replace("cards: 2", "cards: 1"))


WAYS = (
    "line: ways\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
    "products: [{name: A, demand: 40 /d}, {name: B, demand: 40 /d}]\nstations: [{name: s0}, {name: s1}, {name: s2}]\n"
    "steps:\n  - {name: t0, station: s0, machine: 10 s, people: 0}\n  - {name: t1, station: s1, machine: 10 s, people: 0, for: [A]}\n"
    "  - {name: t2, station: s2, people: 0, LAST}\n"
)


def test_a_set_up_begins_where_ways_meet():
    (found,) = run(WAYS.replace("LAST", "machine: 10 s, lot: 1, set_up: {time: 20 s, people: 0}"), days=3)
    assert found.ordered.sum() - found.shipped.sum() <= 2


def test_where_ways_merely_meet_the_room_is_one():
    (found,) = run(WAYS.replace("LAST", "machine: 15 min") + "stores: [{before: t2, capacity: 4}]\n", days=3)
    assert found.peak[2] == 4


def test_what_has_room_is_not_held_behind_what_has_none():
    text = WAYS.replace("{name: s0}", "{name: s0, machines: 2}").replace(
        "station: s1, machine: 10 s", "station: s1, machine: 50 min"
    )
    text = text.replace(
        "demand: 40 /d}, {name: B, demand: 40 /d}",
        "demand: {mean: 48 /d, cv: 0}}, {name: B, demand: {mean: 32 /d, cv: 0}}",
    )
    (found,) = run(text.replace("LAST", "machine: 1 s") + "stores: [{before: t1, capacity: 1}]\n", days=1)
    # At 1,810 s an A is ended that has no room, and a B that has.
    assert found.response[0][found.response[2] == 1][:2].tolist() == [11, 11]


def test_a_machine_that_nobody_attends_waits_for_nobody():
    hands = "people: [{name: hands, number: 1}]\n"
    (found,) = run(
        line_text(["manual: {mean: 100 s, cv: 0}", "machine: 150 s"], demand="{mean: 480 /d, cv: 0}", more=hands),
        days=1,
    )
    assert abs(found.made[1] - 190) <= 2


def test_without_a_finished_store_a_unit_goes_straight_to_the_customer_who_waits():
    (found,) = run(line_text([M], demand=EASY, more="stores: [{after: t0, capacity: 0}]\n"), days=1)
    assert found.shipped.sum() == 47
    assert found.peak[1] <= 1


def test_more_stock_than_cards_is_worked_off_first():
    more = "stores: [{after: t0, counted: 5}]\n"
    (found,) = run(line_text([M + release("cards, cards: 2, per_card: 1")], demand=EASY, more=more), days=1)
    assert found.lying_by_day[0, 1] == 2
    assert found.shipped.sum() == 47


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (line_text([M + release("cap, limit: 2, until: t1"), M], demand=EASY, more="moves: [{from: t0, to: t1, distance: 1 m, batch: 5}]\n"), "cap of t0"),
        (line_text([M + ", transfer_lot: 5" + release("cards, cards: 2, per_card: 1")], demand=EASY), "cards for 2"),
        (line_text([M + release("cards, cards: 3, per_card: 1"), M + ", after: [{step: t0, quantity: 5}]"], demand=EASY), "takes 5 of t0"),
        (line_text([M, M + ", after: [{step: t0, quantity: 5}]"], demand=EASY, more="stores: [{before: t1, capacity: 3}]\n"), "only 3 fit"),
        (line_text([M], demand=EASY, stations=["breakdowns: {between: 0.01 s, repair: 1 s}"]), "breaks down every"),
    ],
)  # fmt: skip
def test_a_line_out_of_which_nothing_could_come_is_refused(text, said):
    with pytest.raises(CannotRun, match=said):
        laid(text)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"until": 0.0}, "until"), ({"warm": 2 * DAY}, "warm"), ({"day": 0.0}, "day"), ({"seed": -1}, "seed"), ({"numbers": [-1]}, "run"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_of_runs_is_told(asked, said):
    plant = laid(line_text([M], demand=EASY)).plant
    with pytest.raises(ValueError, match=said):
        runs_of(plant, **({"numbers": [0], "until": DAY, "day": DAY} | asked))


def test_a_great_stock_is_laid_out_at_once():
    (found,) = run(line_text([M, M], demand=EASY, more="stores: [{before: t1, counted: 300000}]\n"), days=1)
    assert found.peak[1] == 300_000
