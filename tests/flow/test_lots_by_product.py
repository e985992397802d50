"""A lot and a loop of cards for each product: what the steady arithmetic makes of them."""

from __future__ import annotations

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.flow.stock_needed import cards_after
from pullwright.line import Line

LINE = """
line: two brackets
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: P, demand: 100 /d}}, {{name: Q, demand: 60 /d}}, {{name: R, demand: 0 /d}}]
stations: [{{name: press}}, {{name: bench}}]
steps:
  - {{name: bend, station: press, machine: 60 s, scrap: 5 %, {lots}, set_up: {{time: 20 min, pairs: [{{from: Q, to: P, time: 40 min}}]}}}}
  - {{name: fit, station: bench, manual: 90 s, release: {{by: cards, {cards}}}}}
"""


def flow(lots: str, cards: str = "cards: 4, per_card: 10") -> Flow:
    return flow_of(Line.from_text(LINE.format(lots=lots, cards=cards)))


def by_product(p: int, q: int) -> str:
    return f"lots: [{{product: P, pieces: {p}}}, {{product: Q, pieces: {q}}}]"


def test_set_ups_a_day_are_those_of_the_lots_of_each_product() -> None:
    """100 P and 60 Q a day, 5 % more for scrap, in lots of 50 and 20: 2.105 and 3.158 set-ups; the mean lot is 168.4 / 5.263 = 32."""
    set_up = flow(by_product(50, 20)).rates.steps[0].set_up
    assert set_up is not None
    assert set_up.per_day.value == pytest.approx((100 / 50 + 60 / 20) / 0.95)
    assert set_up.lot.value == pytest.approx(160 / 5)
    assert set_up.lot_of("P").value == 50
    # Two products take turns where both are pulled: half of the changes lead from Q to P, however large the lots are.
    assert set_up.time.value == pytest.approx(30 * 60)


def test_lots_that_are_all_alike_say_the_same_as_one_lot() -> None:
    one, each = flow("lot: 32"), flow(by_product(32, 32))
    for a, b in zip(one.stations, each.stations, strict=True):
        assert b.load.value == pytest.approx(a.load.value, rel=1e-12)
        assert b.cv2.value == pytest.approx(a.cv2.value, rel=1e-12)
    for a, b in zip(one.waits, each.waits, strict=True):
        assert b.total.value == pytest.approx(a.total.value, rel=1e-12)
    assert each.ladder.lead.value == pytest.approx(one.ladder.lead.value, rel=1e-12)


def test_pieces_go_on_in_the_smallest_of_the_lots() -> None:
    assert flow(by_product(50, 20)).rates.steps[0].transfer == 20
    assert flow(by_product(50, 20) + ", transfer_lot: 5").rates.steps[0].transfer == 5


def test_pieces_on_cards_are_those_of_all_loops() -> None:
    each = flow(
        "lot: 20", "loops: [{product: P, cards: 5, per_card: 10, signal: 2}, {product: Q, cards: 3, per_card: 4}]"
    )
    cards = cards_after(each.givens, 1)
    assert cards is not None
    assert cards.value == 5 * 10 + 3 * 4
    assert "loops / P / cards" in " ".join(one.name for one in cards.inputs)


def test_the_figures_name_the_fields_that_they_come_from() -> None:
    set_up = flow(by_product(50, 20)).rates.steps[0].set_up
    assert set_up is not None
    assert [one.name for one in set_up.per_day.inputs if one.unit == "pieces"] == [
        "steps / bend / lots / P / pieces",
        "steps / bend / lots / Q / pieces",
    ]
