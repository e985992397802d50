"""From how much before a step on people work under pressure."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from pullwright.flow import flow_of
from pullwright.forecast.pressure import pressure_levels, usual_stocks
from pullwright.line import Line

PRESSURE = "pressure: {above: 3, faster: 10 %, more_defects: 150 %}\n"


def line_of(steps: str, *, stores: str = "", pressure: str = PRESSURE, demand: str = "{mean: 20 /d, cv: 0}") -> Line:
    return Line.from_text(
        "line: small\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        f"products: [{{name: P, demand: {demand}}}]\nstations: [{{name: a}}, {{name: b}}, {{name: c}}]\n"
        f"steps:\n{steps}{stores and f'stores: [{stores}]{chr(10)}'}{pressure}"
    )


def two(first: str = "", second: str = "manual: 10 min") -> str:
    return (
        f"  - {{name: cut, station: a, machine: 10 min, people: 0{first and ', ' + first}}}\n"
        f"  - {{name: drill, station: b, {second}}}\n"
    )


def test_what_was_counted_is_usual():
    assert pressure_levels(line_of(two(), stores="{before: drill, counted: 7}"))[1] == 21.0


def test_what_the_cards_let_lie_there_is_usual_where_nobody_counted():
    cards = two("release: {by: cards, cards: 4, per_card: 2}")

    assert pressure_levels(line_of(cards))[1] == 3 * 8
    assert pressure_levels(line_of(cards, stores="{before: drill, counted: 5}"))[1] == 3 * 5


def test_otherwise_it_is_what_the_flow_predicts():
    busy = line_of(two(second="manual: {mean: 23 min, cv: 1}"), demand="{mean: 20 /d}")
    flow = flow_of(busy)

    assert flow.waits[1].pieces.value > 1
    assert pressure_levels(busy, flow)[1] == pytest.approx(3 * flow.waits[1].pieces.value)


def test_where_that_has_no_end_it_is_what_the_step_takes_in_a_day():
    # 30 minutes of an 8 hour day: 16 of the 20 can be made, and are taken.
    assert pressure_levels(line_of(two(second="manual: 30 min")))[1] == pytest.approx(3 * 16)


def test_a_lot_that_comes_is_nothing_unusual():
    lots = two("set_up: {time: 10 min}, lot: 12")

    assert pressure_levels(line_of(lots, stores="{before: drill, counted: 2}"))[1] == 36.0
    assert pressure_levels(line_of(two(), stores="{before: drill, counted: 0}"))[1] == 3.0


def test_at_a_first_step_orders_wait_and_what_was_counted_are_its_parts():
    line = line_of(two().replace("10 min, people: 0", "23 min, people: 0"), stores="{before: cut, counted: 500}", demand="{mean: 20 /d}")  # fmt: skip
    flow = flow_of(line)

    assert flow.waits[0].pieces.value > 1
    assert pressure_levels(line, flow)[0] == pytest.approx(3 * flow.waits[0].pieces.value)


def test_where_flows_come_together_pieces_of_whole_sets_are_counted():
    cart = (
        "  - {name: frame, station: a, machine: 60 s}\n"
        "  - {name: wheel, station: b, machine: 60 s, after: []}\n"
        "  - {name: join, station: c, machine: 60 s, after: [frame, {step: wheel, quantity: 4}]}\n"
    )

    assert pressure_levels(line_of(cart, stores="{before: join, counted: 6}"))[2] == 3 * 6 * 5


def test_without_pressure_in_the_file_there_never_is_any():
    assert pressure_levels(line_of(two(), pressure="")).tolist() == [inf, inf]


def test_a_level_is_above_times_the_usual_stock():
    line = line_of(two(), stores="{before: drill, counted: 7}")
    twice = line_of(two(), stores="{before: drill, counted: 7}", pressure=PRESSURE.replace("3", "6"))

    assert np.array_equal(2 * pressure_levels(line), pressure_levels(twice))


def test_of_what_is_not_known_well_a_draw_can_be_taken_for_true():
    line = line_of(two(), stores="{before: drill, counted: 7}", pressure=PRESSURE.replace("3", "{low: 2, likely: 3, high: 4}"))  # fmt: skip

    levels = {pressure_levels(line, draw=k)[1] for k in range(10)}

    assert len(levels) == 10
    assert 14 < min(levels) < max(levels) < 28


def test_the_usual_stock_says_why():
    figure = usual_stocks(flow_of(line_of(two(), stores="{before: drill, counted: 7}")))[1]

    assert figure.name == "usual stock / before drill"
    assert "before drill" in str(figure.why())
