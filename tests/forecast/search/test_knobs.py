"""What can be turned in a line: every kind of it, in text and back, and what is refused."""

from __future__ import annotations

import pytest

from pullwright.forecast.layout import layout_of
from pullwright.forecast.search.errors import CannotSearch, CannotTurn
from pullwright.forecast.search.kinds import KINDS
from pullwright.forecast.search.knob import Knob, turned
from pullwright.forecast.search.knob_text import read_knob, write_knob
from pullwright.forecast.search.knobs_of import knobs_of
from pullwright.line import Line

TEXT = """
line: knobs
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products:
  - {name: pump, demand: {mean: 20 /d, cv: 0.5}, promise: 2 d, on_time: 95 %, price: 10 EUR}
  - {name: pump 2, demand: {low: 5 /d, likely: 6 /d, high: 9 /d}}
stations: [{name: lathe, machines: 2}, {name: bench}, {name: oven}]
people: [{name: fitters, number: 3}]
steps:
  - name: turn
    station: lathe
    machine: 5 min
    people: 0
    lot: 10
    transfer_lot: 5
    set_up: {time: {mean: 20 min, cv: 0.3}, pairs: [{from: pump, to: pump 2, time: {study: T-1}}]}
    release: {by: cards, cards: 4, per_card: 5}
  - {name: fit, station: bench, manual: 4 min, release: {by: cap, limit: 12, until: fit}}
  - {name: bake, station: oven, machine: 3 min, people: 0, release: {by: cards, cards: 6, per_card: 1}}
stores:
  - {before: fit, counted: 12, capacity: 40}
  - {before: bake, counts: [{on: 2026-01-05, pieces: 3}, {on: 2026-02-02, pieces: 9}], capacity: 20, overflow: {distance: 20 m}}
  - {after: bake, counted: 8}
money: {cash: 5000 EUR}
studies: [{name: T-1, of: change over, readings: [10 min, 14 min, 12 min]}]
"""


@pytest.fixture(scope="module")
def line():
    return Line.from_text(TEXT)


def one(kind, where, value):
    return [Knob(kind, where, (value,))], (value,)


TURNS = [
    ("cards", "turn", 3, lambda line: line.steps[0].release.cards),
    ("per card", "turn", 2, lambda line: line.steps[0].release.per_card),
    ("cap", "fit", 5, lambda line: line.steps[1].release.limit),
    ("room before", "fit", 14, lambda line: line.stores[0].capacity.value),
    ("room after", "bake", 9, lambda line: line.stores[2].capacity.value),
    ("lot", "turn", 20, lambda line: line.steps[0].lot),
    ("transfer lot", "turn", 2, lambda line: line.steps[0].transfer_lot),
    ("people", "fitters", 2, lambda line: line.people[0].number),
    ("machines", "lathe", 1, lambda line: line.stations[0].machines),
    ("set-up", "turn", 0.5, lambda line: line.steps[0].set_up.time.value / 1200),
    ("demand", "pump", 1.5, lambda line: line.products[0].demand.value / 20),
    ("cash", "", 800.0, lambda line: line.money.cash.value),
]


@pytest.mark.parametrize(("kind", "where", "value", "read"), TURNS, ids=[row[0] for row in TURNS])
def test_every_kind_turns_what_it_says_and_no_other_part_of_the_line(line, kind, where, value, read):
    new = turned(line, *one(kind, where, value))

    assert read(new) == value
    changed = {name for name in type(line).model_fields if getattr(new, name) != getattr(line, name)}
    assert len(changed - {"stores"}) <= 1, "stock that has no card or place goes with it, nothing else"
    assert new.file == line.file
    assert new.mark(("stations", 0)) == line.mark(("stations", 0))
    layout_of(new)


def test_every_kind_is_tried_above():
    assert {row[0] for row in TURNS} == set(KINDS)


def test_several_knobs_are_turned_together(line):
    new = turned(line, [Knob("cards", "turn", (1, 2)), Knob("people", "fitters", (1, 2))], (2, 1))

    assert (new.steps[0].release.cards, new.people[0].number) == (2, 1)


def test_a_set_up_takes_what_is_known_of_it_along(line):
    """The cv stays; a study becomes its readings, each of them shorter; so do the ends of a judgement."""
    new = turned(line, *one("set-up", "turn", 0.5))
    pair = new.steps[0].set_up.pairs[0].time

    assert new.steps[0].set_up.time.cv == line.steps[0].set_up.time.cv
    assert (pair.readings, pair.value, pair.study) == ((300.0, 420.0, 360.0), 360.0, None)
    more = turned(line, *one("demand", "pump 2", 2.0)).products[1].demand
    assert (more.low, more.value, more.high) == (10.0, 12.0, 18.0)
    layout_of(new)


def test_a_smaller_place_begins_with_no_more_in_it_than_fits(line):
    """One that was counted fuller stops nobody, so that the smallest place of all would seem to do."""
    new = turned(line, *one("room before", "fit", 4))

    assert new.stores[0].counted.value == 4
    assert layout_of(new).plant.step_capacity[1] == 4


def test_fewer_cards_begin_with_no_more_pieces_behind_them_than_go_with_cards(line):
    """Pieces without a card would bring a card back when they are taken, and go round for ever."""
    new = turned(line, *one("cards", "bake", 5))
    plant = layout_of(new).plant

    assert new.stores[2].counted.value == 5
    assert plant.step_permits[2] == 0
    assert layout_of(turned(line, *one("cards", "bake", 9))).plant.step_permits[2] == 1


def test_of_several_counts_the_last_one_counts(line):
    """Before the step that takes from a step with cards lie 9, with cards for 6."""
    text = TEXT.replace("cards: 6, per_card: 1", "cards: 6, per_card: 1").replace(
        "{by: cap, limit: 12, until: fit}", "{by: cards, cards: 20, per_card: 1}"
    )
    new = turned(Line.from_text(text), *one("cards", "fit", 6))

    assert new.stores[1].counts == ()
    assert new.stores[1].counted.value == 6


def test_all_that_can_be_turned_has_a_range_around_today(line):
    found = {knob.words: knob for knob in knobs_of(line)}

    assert {
        "cards of turn",
        "pieces a card of bake",
        "cap of fit",
        "room before fit",
        "room after bake",
        "cash",
    } <= set(found)
    assert "room before bake" not in found, "what does not fit there is carried away, so that it stops nobody"
    assert found["room after bake"].today is None
    assert found["cash"].unit == "EUR"
    for knob in found.values():
        assert knob.low <= (knob.today if knob.today is not None else knob.low) <= knob.high
        assert 4 <= len(knob.knob().values) <= 101
        turned(line, [knob.knob()], [knob.knob().values[-1]])


def test_a_knob_is_read_as_it_is_written(line):
    for knob in knobs_of(line):
        assert read_knob(write_knob(knob.knob()), line) == knob.knob()


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("cards of turn 1..4", (1, 2, 3, 4)),
        ("cards  of turn 2, 8, 4", (2, 4, 8)),
        ("cards of turn 3", (3,)),
        ("room before fit 10..40 by 15", (10, 25, 40)),
        ("set-up of turn 50 %..100 % by 25 %", (0.5, 0.75, 1.0)),
        ("demand of pump 2 0.9, 1.1", (0.9, 1.1)),
        ("cash 0..2 000 by 1 000", (0.0, 1000.0, 2000.0)),
        ("cash -500 EUR, 500 EUR", (-500.0, 500.0)),
    ],
)
def test_values_are_read_as_they_are_typed(line, text, values):
    knob = read_knob(text, line)

    assert knob.values == values
    assert read_knob(write_knob(knob), line) == knob


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("coffee of turn 1..4", "names nothing that can be turned; begin with one of: cards of"),
        ("cards of tern 1..4", r"tern was read; allowed: 'turn', 'bake' \(did you mean turn\?\)"),
        ("cards of fit 1..4", "fit was read; allowed: 'turn', 'bake'"),
        ("lot of fit", "fit was read; allowed: 'turn'"),
        ("cards of turn 0..4", "cards of turn cannot be 0; allowed: whole numbers from 1"),
        ("cards of turn 1.5", "cannot be 1.5; allowed: whole numbers from 1"),
        ("cards of turn 4..1", "holds no values"),
        ("cards of turn 1..4 by 0", "holds no values"),
        ("cards of turn 1..1000000", "1,000,000 values; at most 10,000"),
        ("cards of turn 1..2..3", "write values as 1..12"),
        ("cards of turn many", "'many' was read; wanted: a whole number"),
        ("set-up of turn long", "wanted: a share of today's"),
        ("cash lots", "wanted: money"),
        ("cards of", "no place was read"),
    ],
)
def test_what_cannot_be_turned_is_said_with_what_can(line, text, said):
    with pytest.raises(CannotSearch, match=said):
        read_knob(text, line)


def test_a_line_without_such_a_thing_says_what_it_has():
    plain = Line.read("examples/first_line.yaml")
    with pytest.raises(
        CannotTurn, match="nothing of that kind can be turned in Stool line; allowed there: room before"
    ):
        read_knob("cards of glue 1..4", plain)


def test_a_setting_that_contradicts_itself_is_refused(line):
    with pytest.raises(CannotTurn, match=r"transfer lot of turn: 30: .*transfer"):
        turned(line, *one("transfer lot", "turn", 30))


def test_no_values_too_few_values_and_unknown_kinds_are_refused(line):
    with pytest.raises(CannotSearch, match="has no values to try"):
        Knob("cards", "turn", ())
    with pytest.raises(CannotSearch, match="'tea' is nothing that can be turned; allowed: cards"):
        Knob("tea", "turn", (1,))
    with pytest.raises(CannotTurn, match="1 values were read for 2 knobs"):
        turned(line, [Knob("cards", "turn", (1,))] * 2, (1,))
    with pytest.raises(CannotSearch, match="cannot be inf"):
        Knob("cash", "", (float("inf"),))


APART = """
line: two products
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: A, demand: 40 /d}, {name: B, demand: 20 /d}]
stations: [{name: saw}, {name: bench}]
steps:
  - {name: cut, station: saw, machine: 60 s, lots: [{product: A, pieces: 8}, {product: B, pieces: 4}], set_up: {time: 5 min}, transfer_lot: 2}
  - {name: fit, station: bench, manual: 90 s, release: {by: cards, loops: [{product: A, cards: 5, per_card: 2, signal: 4}, {product: B, cards: 3, per_card: 2}]}}
"""


def test_each_product_has_a_knob_for_its_cards_and_its_lot() -> None:
    line = Line.from_text(APART)
    assert KINDS["cards"].places(line) == {"fit / A": 5, "fit / B": 3}
    assert KINDS["lot"].places(line) == {"cut / A": 8, "cut / B": 4}
    new = turned(line, [Knob("cards", "fit / A", (3,)), Knob("lot", "cut / B", (6,))], [3, 6])
    release = new.steps[1].release
    assert release is not None
    # No more cards are gathered than there are; those of the other product stay.
    assert [(one.product, one.cards, one.signal) for one in release.loops] == [("A", 3, 3), ("B", 3, 1)]
    assert [lot.pieces for lot in new.steps[0].lots] == [8, 6]


def test_a_lot_that_is_smaller_than_what_is_handed_on_is_refused() -> None:
    with pytest.raises(CannotTurn, match="smallest lot"):
        turned(Line.from_text(APART), [Knob("lot", "cut / B", (1,))], [1])
