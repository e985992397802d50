"""What the cards of a plan write into the line file, product by product."""

from __future__ import annotations

from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.cards.of_line import cards_of
from pullwright.pull.changes import applied

LINE = """
line: two products
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: A, demand: 40 /d}, {name: B, demand: 20 /d}]
stations: [{name: saw}, {name: bench}]
steps:
  - {name: cut, station: saw, machine: 60 s, lot: 8, set_up: {time: 5 min, pairs: [{from: A, to: B, time: 6 min}]}, transfer_lot: 2}
  - {name: fit, station: bench, manual: 90 s}
"""


def test_products_that_a_set_up_tells_apart_have_loops_of_their_own_with_their_signals() -> None:
    cards = cards_of(flow_of(Line.from_text(LINE)))
    line = Line.from_text(applied(LINE, cards.changes))
    for step, i in ((line.steps[0], 0), (line.steps[1], 1)):
        assert step.release is not None
        planned = {card.products: card for card in cards.loops if card.index == i and card.kind != "withdrawal"}
        assert {(loop.product,) for loop in step.release.loops} == set(planned)
        for loop in step.release.loops:
            card = planned[loop.product,]
            assert (loop.cards, loop.per_card) == (card.cards, card.per_card)
            assert loop.signal == (1 if card.signal is None else card.signal.lot)


def test_what_the_file_says_already_is_no_change() -> None:
    text = applied(LINE, cards_of(flow_of(Line.from_text(LINE))).changes)
    assert cards_of(flow_of(Line.from_text(text))).changes == ()


def test_in_a_place_without_room_for_all_their_cards_products_share_one_number() -> None:
    text = LINE + "stores: [{before: fit, capacity: 4}]\n"
    cards = cards_of(flow_of(Line.from_text(text)))
    release = Line.from_text(applied(text, cards.changes)).steps[0].release
    assert release is not None
    assert release.loops == ()
    assert release.on_cards >= sum(card.cards * card.per_card for card in cards.loops if card.index == 0)
