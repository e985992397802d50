"""What lies where: counted or predicted, needed and beyond, how long it lasts, how it grows."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest

from pullwright.flow import Flow, flow_of
from pullwright.flow.stock import Stock
from pullwright.line import Line

Z = NormalDist().inv_cdf(0.95)


def flow_with(more: str = "", demand: str = "20 /d", product: str = "", steps: str = "") -> Flow:
    return flow_of(
        Line.from_text(f"""
line: stock
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: P, demand: {demand}{product}}}]
stations: [{{name: saw}}, {{name: press}}]
steps:
  - {{name: cut, station: saw, machine: 10 min{steps}}}
  - {{name: bend, station: press, machine: 10 min}}
{more}
""")
    )


def stock_of(flow: Flow, words: str) -> Stock:
    return next(stock for stock in flow.stocks if stock.words == words)


def test_what_was_counted_is_held_and_what_was_not_is_predicted() -> None:
    flow = flow_with("stores: [{before: bend, counted: 35}]")
    bend, cut = stock_of(flow, "before bend"), stock_of(flow, "before cut")
    assert bend.held is bend.counted
    assert bend.held.value == 35
    assert bend.lasts.value == pytest.approx(35 / 20 * flow.day.value)
    assert cut.counted is None
    assert cut.held is flow.waits[0].pieces
    assert cut.beyond.value == 0


def test_the_last_count_is_what_lies_there_with_its_readings() -> None:
    flow = flow_with("""stores:
  - before: bend
    counts:
      - {on: 2026-03-02, pieces: 20, who: morning round}
      - {on: 2026-03-09, pieces: 30, who: morning round}
""")
    bend = stock_of(flow, "before bend")
    assert bend.held.value == 30
    assert bend.held.source is not None
    assert [(reading.value, reading.when, reading.who) for reading in bend.held.source.readings] == [
        (20, "2026-03-02", "morning round"), (30, "2026-03-09", "morning round"),
    ]  # fmt: skip
    # 10 pieces in the 5 working days between the two counts.
    assert bend.made_ahead is not None
    assert bend.made_ahead.value == pytest.approx(2.0)


def test_growth_is_the_least_squares_line_through_the_counts() -> None:
    counts = [(2, 20), (3, 23), (4, 22), (5, 27), (6, 25)]
    rows = "".join(f"      - {{on: 2026-03-0{day}, pieces: {pieces}}}\n" for day, pieces in counts)
    bend = stock_of(flow_with(f"stores:\n  - before: bend\n    counts:\n{rows}"), "before bend")
    slope, _ = np.polyfit([day for day, _ in counts], [pieces for _, pieces in counts], 1)
    assert bend.made_ahead is not None
    assert bend.made_ahead.value == pytest.approx(slope)
    (growth,) = bend.made_ahead.inputs
    # Student's t with 3 degrees of freedom about it, from the definition of the standard error of a slope.
    rest = np.array([pieces for _, pieces in counts]) - np.polyval(
        np.polyfit(*zip(*counts, strict=True), 1), [d for d, _ in counts]
    )
    error = math.sqrt((rest**2).sum() / 3 / 10)
    assert growth.interval(0.5)[1] - growth.interval(0.5)[0] == pytest.approx(2 * 0.7649 * error, rel=0.1)


def test_a_pile_that_shrinks_is_not_made_ahead() -> None:
    bend = stock_of(
        flow_with("stores: [{before: bend, counts: [{on: 2026-03-02, pieces: 40}, {on: 2026-03-04, pieces: 20}]}]"),
        "before bend",
    )
    assert bend.made_ahead is not None
    assert bend.made_ahead.value == 0


def test_what_nobody_takes_lies_there_without_end() -> None:
    flow = flow_of(
        Line.from_text("""
line: two products
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: 20 /d}, {name: Q, demand: 0 /d}]
stations: [{name: saw}, {name: press}]
steps:
  - {name: cut, station: saw, machine: 10 min, for: [P]}
  - {name: bend, station: press, machine: 10 min, after: [], for: [Q]}
stores: [{before: bend, counted: 5}]
""")
    )
    assert stock_of(flow, "before bend").lasts.text() == "without end"
    assert stock_of(flow, "after bend").held.value == 0
    assert math.isfinite(flow.ladder.lead.value)


# --- what is needed ---------------------------------------------------------------------------------------------------


def test_orders_that_come_at_random_swing_by_the_root_of_their_number() -> None:
    """Without a cv a day's demand of 20 has variance 20 (independent orders), not 400."""
    after = stock_of(flow_with(), "after bend")
    assert after.needed.value == pytest.approx(Z * math.sqrt(20))


def test_finished_goods_cover_the_swing_of_a_day_at_the_wished_service() -> None:
    flow = flow_with(demand="{mean: 20 /d, cv: 0.5}", product=", on_time: 99 %")
    assert stock_of(flow, "after bend").needed.value == pytest.approx(NormalDist().inv_cdf(0.99) * 10)


def test_finished_goods_of_one_product_do_not_stand_in_for_another() -> None:
    flow = flow_of(
        Line.from_text("""
line: two products
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: {mean: 20 /d, cv: 0.5}}, {name: Q, demand: {mean: 10 /d, cv: 0.5}}]
stations: [{name: saw}]
steps: [{name: cut, station: saw, machine: 10 min}]
""")
    )
    assert stock_of(flow, "after cut").needed.value == pytest.approx(Z * (10 + 5))


def test_a_wish_to_keep_every_promise_is_worked_out_as_nearly_every() -> None:
    flow = flow_with(demand="{mean: 20 /d, cv: 0.5}", product=", on_time: 100 %")
    assert stock_of(flow, "after bend").needed.value == pytest.approx(NormalDist().inv_cdf(0.9999) * 10)


def test_half_of_what_is_sent_away_at_a_time_lies_behind_the_last_step() -> None:
    flow = flow_with("moves: [{from: bend, to: shipping, distance: 9 m, batch: 12}]", demand="{mean: 20 /d, cv: 0}")
    assert stock_of(flow, "after bend").needed.value == pytest.approx(6)


def test_a_part_needs_half_a_delivery_and_safety_over_its_lead_time() -> None:
    """Q/2 + z √(L σ² + (d L cv)²), from the definition."""
    part = "parts: [{name: tube, price: 3 EUR, delivery_lot: 100, lead_time: {mean: 9 d, cv: 0.2}}]"
    flow = flow_with(part, demand="{mean: 20 /d, cv: 0.5}", product=", uses: [{part: tube, quantity: 2, at: cut}]")
    tube = stock_of(flow, "tube")
    swing = 2 * 0.5 * 20  # two tubes to a piece: they swing twice as far
    assert tube.taken.value == pytest.approx(40)
    assert tube.needed.value == pytest.approx(50 + Z * math.sqrt(9 * swing**2 + (40 * 9 * 0.2) ** 2))


def test_a_delivery_that_does_not_fit_is_needed_as_far_as_there_is_room() -> None:
    part = "parts: [{name: tube, price: 3 EUR, delivery_lot: 100}]\nstores: [{part: tube, counted: 90, capacity: 60}]"
    tube = stock_of(flow_with(part, product=", uses: [{part: tube, quantity: 1, at: cut}]"), "tube")
    assert tube.needed.value == pytest.approx(30)
    assert tube.beyond.value == pytest.approx(60)
    assert tube.capacity is not None


def test_pieces_before_the_first_step_are_its_parts_where_those_were_counted() -> None:
    part = "parts: [{name: tube, price: 3 EUR}]\n"
    uses = ", uses: [{part: tube, quantity: 1, at: cut}]"
    counted = flow_with(part + "stores: [{part: tube, counted: 90}]", product=uses)
    assert stock_of(counted, "before cut").held.value == 0
    assert counted.ladder.lead.value == pytest.approx(
        sum(stock_of(counted, words).lasts.value for words in ("tube", "before bend", "after bend")) + 1200
    )
    both = flow_with(part + "stores: [{part: tube, counted: 90}, {before: cut, counted: 7}]", product=uses)
    assert stock_of(both, "before cut").held.value == 7
    neither = flow_with(part, product=uses)
    assert stock_of(neither, "before cut").held is neither.waits[0].pieces


def test_a_part_that_nothing_uses_is_no_stock_of_the_flow() -> None:
    flow = flow_with("parts: [{name: tube, price: 3 EUR}]")
    assert all(stock.kind != "part" for stock in flow.stocks)


def test_cards_say_how_much_lies_behind_the_step_that_they_let_begin() -> None:
    flow = flow_with(steps=", release: {by: cards, cards: 3, per_card: 14}")
    bend = stock_of(flow, "before bend")
    assert bend.needed.value == 42
    assert bend.held.value == 42  # cards keep the place full; a count would say more
    assert stock_of(flow, "before cut").needed.value == flow.waits[0].pieces.value
