"""Cards and lots of each product, to the second: two products, constant times, set-ups counted by hand."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.errors import CannotRun
from pullwright.forecast.events.rows import SET_UP_TIME
from pullwright.forecast.paths.plain import NotPlain, plain_of
from pullwright.forecast.runs import Run
from tests.forecast.small_lines import laid, run

LINE = """
line: two products
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: A, demand: {{mean: {a} /d, cv: 0}}}}, {{name: B, demand: {{mean: {b} /d, cv: 0}}}}]
stations: [{{name: saw}}, {{name: press{machines}}}, {{name: bench}}]
steps:
  - {{name: cut, station: saw, machine: {{mean: 1 s, cv: 0}}, people: 0{cut}}}
  - {{name: bend, station: press, machine: {{mean: 10 s, cv: 0}}, people: 0{bend}}}
  - {{name: fit, station: bench, machine: {{mean: 1 s, cv: 0}}, people: 0}}
{more}"""
SET_UP = "set_up: {time: {mean: 100 s, cv: 0}, people: 0}, transfer_lot: 1"


def line(a: float = 480, b: float = 480, cut: str = "", bend: str = "", more: str = "", machines: str = "") -> str:
    """Cut 1 s, bend 10 s, fit 1 s; an order of A and one of B every 60 s where nothing else is said."""
    return LINE.format(a=a, b=b, cut=cut and f", {cut}", bend=bend and f", {bend}", more=more, machines=machines)


def lots(a: int, b: int) -> str:
    return f"lots: [{{product: A, pieces: {a}}}, {{product: B, pieces: {b}}}], {SET_UP}"


def loops(*each: str) -> str:
    rows = ", ".join(f"{{product: {one[0]}, cards: {one[1]}, per_card: {one[2]}, signal: {one[3]}}}" for one in each)
    return f"release: {{by: cards, loops: [{rows}]}}"


def ends(found: Run, product: int) -> list[float]:
    return [round(float(one), 6) for one in found.lead[1][found.lead[2] == product]]


def set_ups(found: Run) -> float:
    """Set-ups of the press, each of which takes 100 s."""
    return float(found.times[1, SET_UP_TIME]) / 100


def test_a_lot_waits_for_the_whole_of_it_and_is_made_in_one_go() -> None:
    """A and B ordered at 60, 120, 180 ...: three of A lie there at 181, the press is ready at 281; three B follow: 311 + 100."""
    (found,) = run(line(bend=lots(3, 3)), days=0.0145)
    assert ends(found, 0)[:3] == [292, 302, 312]
    # Both products have an order every minute; in the row of the file A comes first at the same moment.
    assert ends(found, 1) == []
    (found,) = run(line(bend=lots(3, 3)), days=1)
    assert ends(found, 1)[:3] == [422, 432, 442]


def test_set_ups_are_those_of_the_lots_and_not_of_the_pieces() -> None:
    """480 A in lots of 10 and 240 B in lots of 6, piece by piece in turn: 48 + 40 set-ups, but for the lots under way at the end."""
    (found,) = run(line(480, 240, bend=lots(10, 6)), days=1)
    assert 80 <= set_ups(found) <= 88
    (mixed,) = run(line(480, 240, bend=f"lot: 10, {SET_UP}"), days=1)
    assert set_ups(mixed) == pytest.approx(72, abs=4)
    made = np.diff(np.flatnonzero(np.diff(found.lead[2])))  # pieces of one product in a row
    assert set(made[:40]) <= {6.0, 10.0, 12.0, 20.0}  # one lot, or two of a product one after the other


def test_a_signal_gathers_its_cards() -> None:
    """Three cards of two pieces each, two of them a signal: 4 pieces are cut at the start, the third card waits. Nobody takes one, so that it stays so."""
    text = line(0.001, 0, cut=loops("A322"), bend="release: {by: order}")
    assert run(text, days=0.5)[0].made[0] == 4
    # With two pieces taken one card is back, which with the one that waited is a signal: 4 more are cut.
    assert run(text.replace("mean: 0.001 /d", "mean: 6 /d"), days=0.4)[0].made.tolist() == [8, 2, 2]


def test_a_loop_holds_its_own_product_alone() -> None:
    """Two cards of A and one of B behind the bender, nobody orders B: never more than two A and one B there."""
    text = line(480, 0.001, cut="release: {by: push, rate: 960 /d}", bend=loops("A211", "B111"))
    (found,) = run(text, days=0.5)
    assert found.made[1] <= found.made[2] + 3
    assert found.lead.shape[1] > 200


def test_a_signal_is_made_when_the_last_of_its_cards_is_back() -> None:
    """Loop of A: 4 cards of 1 piece behind the cut, a signal of 4. All four are cut at 1, 2, 3, 4; the bender frees the cards at 1, 11, 21, 31."""
    text = line(480, 0, cut=loops("A414"), bend="release: {by: order}")
    (found,) = run(text, days=0.02)
    # Orders at 60, 120, 180, 240 let the bender begin; with the fourth the next signal is cut, so the fifth at 300 finds a piece again.
    assert ends(found, 0)[:6] == [71, 131, 191, 251, 311, 371]
    late = text.replace(
        "machine: {mean: 1 s, cv: 0}, people: 0, release: {by: cards",
        "machine: {mean: 70 s, cv: 0}, people: 0, release: {by: cards",
    )
    (found,) = run(late, days=0.03)
    # Cut takes 70 s: at 70, 140, 210, 280. Begun at 70, 140, 210, 280 (when cut), and the next signal is ended at 350.
    assert ends(found, 0)[:6] == [81, 151, 221, 291, 361, 431]


def test_a_full_place_lets_a_part_of_a_lot_begin() -> None:
    """Room for 4 before the press: A and B fill it by turns, and neither has 5. The press begins with what lies there, and nothing stands for ever."""
    (found,) = run(line(480, 480, bend=lots(5, 5), more="stores: [{before: bend, capacity: 4}]\n"), days=1)
    assert found.lead.shape[1] > 50


def test_pieces_that_cards_cannot_bring_are_not_waited_for() -> None:
    """The cut has cards for 4 A and 4 B, the press wants 10 of each: it begins with 4, and goes on as the cards come back."""
    (found,) = run(line(240, 240, cut=loops("A411", "B411"), bend=lots(10, 10)), days=1)
    assert found.lead.shape[1] > 350
    assert set_ups(found) < 0.5 * found.lead.shape[1]


def test_machines_side_by_side_make_lots_of_their_own() -> None:
    """Two presses: while one is at its lot of A the other begins one of B, or a second of A only when a whole one more lies there."""
    (found,) = run(line(960, 480, bend=lots(10, 10), machines=", machines: 2"), days=1)
    assert set_ups(found) <= (960 + 480) / 10
    assert found.lead.shape[1] > 1300


@pytest.mark.parametrize("days", [0.1, 0.5, 2.0])
def test_nothing_comes_or_goes_on_the_way(days: float) -> None:
    """Begun = ended + still in the line, product by product, with cards, signals, lots and scrap."""
    text = line(
        300, 200, cut=loops("A623", "B432") + ", scrap: 4 %", bend=lots(6, 4) + ", " + loops("A532", "B631"),
        more="stores: [{before: bend, counted: 7}, {before: fit, counted: 3}, {after: fit, counted: 9}]\n",
    )  # fmt: skip
    (found,) = run(text, days=days)
    lying = found.lying_by_day[-1]
    begun = found.made[0] + found.scrapped[:, 0].sum() + 7 + 3
    assert 0 <= begun - found.scrapped.sum() - found.finished.sum() <= lying[-1] + 3
    assert (found.shipped.sum(0) <= found.finished.sum(0) + 9).all()


def test_stock_lies_on_the_cards_of_its_product() -> None:
    """7 A and 3 B lie behind the bender. Of 6 cards of 2 pieces 4 are with A: two are free, one signal. B has 2 of 3 cards free, gathered for a signal of 3."""
    text = line(100, 43, bend=loops("A622", "B313"), more="stores: [{before: fit, counted: 10}]\n")
    plant = laid(text).plant
    assert plant.stock_before[2, 0].tolist() == [7, 3]
    assert plant.own_permits[:, 1].tolist() == [4, 0]
    assert plant.own_gathered[:, 1].tolist() == [0, 0]
    assert plant.step_taken[1].tolist() == [1, 0]
    more = laid(
        text.replace("cards: 3, per_card: 1", "cards: 2, per_card: 1, signal: 1").replace(
            "signal: 1, signal: 3", "signal: 1"
        )
    ).plant
    # Three B on two cards: the first card that comes back lets nothing begin.
    assert more.own_gathered[1, 1] == -1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (line(cut=loops("A421", "B421") + ", " + lots(10, 4)), "cut makes A in lots of 10"),
        (line(bend=loops("A524", "B522") + ", " + lots(10, 4)), "signals of 4 out of 5 cards"),
        (line(bend=f"release: {{by: cards, cards: 4, per_card: 2}}, {lots(10, 4)}"), "it has cards for 8"),
        (line(bend=f"release: {{by: cap, limit: 8, until: fit}}, {lots(10, 4)}"), "its cap lets 8 in"),
        (line(bend=loops("A121", "B121") + ", transfer_lot: 5"), "hands on 5 pieces together and has cards for 4"),
    ],
)
def test_lots_for_which_there_is_never_leave_are_refused(text: str, said: str) -> None:
    with pytest.raises(CannotRun, match=said):
        laid(text)


def test_one_product_with_cards_of_its_own_is_as_with_one_number() -> None:
    one = line().replace(", {name: B, demand: {mean: 480 /d, cv: 0}}", "")
    cards = one.replace("name: bend, station", "name: bend, release: {by: cards, cards: 3, per_card: 2}, station")
    own = one.replace("name: bend, station", f"name: bend, {loops('A321')}, station")
    assert not isinstance(plain_of(laid(own)), NotPlain)
    np.testing.assert_array_equal(run(own, days=0.5)[0].lead, run(cards, days=0.5)[0].lead)
    plain = plain_of(laid(own.replace("signal: 1", "signal: 2")))
    assert isinstance(plain, NotPlain)
    assert "gathered to a signal" in plain.why


def test_cards_for_all_are_dealt_to_who_is_furthest_behind() -> None:
    """8 cards, three quarters for A. Of B two go round: of the lot of 4 these two are sure to come."""
    text = line(360, 120, cut="release: {by: cards, cards: 8, per_card: 1}, " + lots(4, 4))
    assert laid(text).plant.own_enough[:, 0].tolist() == [4, 2]
