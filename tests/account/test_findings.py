"""Each rule fires on its flaw and is silent without it; a clean line says that nothing is out of place."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.account.findings import findings_of, sentence
from pullwright.account.out_of_place import RULES
from pullwright.line import Line

CLEAN = """
line: brackets
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products:
  - name: bracket
    demand: {mean: 80 /d, cv: 0.2}
    uses: [{part: blank, quantity: 1, at: bend}]
parts:
  - {name: blank, price: 5 EUR, delivery_lot: 80, bought: 80 /d, container: {holds: 40, floor: 1.5 m2}}
stations: [{name: press, floor: 12 m2}, {name: bench, floor: 5 m2}]
steps:
  - {name: bend, station: press, elements: [{what: bend, manual: 120 s, kind: value}, {what: walk, walking: 5 s, kind: motion}]}
  - {name: drill, station: bench, manual: 60 s}
stores:
  - {part: blank, counted: 60, capacity: 100}
  - {before: drill, counted: 5, capacity: 20}
people: [{name: crew, number: 1}]
floor: {total: 22 m2}
"""


def accounts(*changes: tuple[str, str]) -> Accounts:
    text = CLEAN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return accounts_of(Line.from_text(text))


def found(*changes: tuple[str, str]) -> list[tuple[str, str, str, str]]:
    return [(one.kind, one.place, one.word, one.sentence) for one in findings_of(accounts(*changes))]


def test_a_clean_line_says_that_nothing_is_out_of_place():
    clean = accounts()
    assert findings_of(clean) == ()
    assert (
        sentence(clean, ())
        == "This line can make its 80 a day: crew is the fullest, loaded to 51.4 %. Nothing is out of place."
    )


FLAWS = {
    "a step that takes longer than there is": (
        [("manual: 60 s}", "manual: 400 s}"), (" bought: 80 /d,", "")],
        [
            ("crew", "crew", "beyond takt", "Crew is loaded to 146 %: it cannot do what customers pull."),
            ("station", "bench", "beyond takt", "Bench is loaded to 111 %: it cannot do what customers pull."),
            ("stock", "before drill", "grows without end", "Before drill, 8 pieces/d more come than bench can take: the pile grows without end."),
        ],
    ),
    "people who mostly wait": (
        [("manual: 60 s}", "manual: 10 s}")],
        [("account", "hours", "waiting", "People wait for 5 h/d of 8 h/d that are paid.")],
    ),
    "a delivery larger than the room": (
        [("delivery_lot: 80", "delivery_lot: 300")],
        [("stock", "blank", "no room", "Blank: 300 pieces come at a time, 100 pieces fit; the rest has no place.")],
    ),
    "a delivery larger than the room, carried away": (
        [("delivery_lot: 80", "delivery_lot: 300"), ("counted: 60, capacity: 100", "counted: 60, capacity: 100, overflow: {distance: 9 m, batch: 20}")],
        [("stock", "blank", "no room", "Blank: 300 pieces come at a time, 100 pieces fit; the rest is carried away and back.")],
    ),
    "more parts than fit": (
        [("counted: 60, capacity: 100", "counted: 120, capacity: 100")],
        [("stock", "blank", "more than fits", "120 pieces of blank lie in store; there is room for 100 pieces.")],
    ),
    "more work than fits": (
        [("counted: 5, capacity: 20", "counted: 21, capacity: 20")],
        [("stock", "before drill", "more than fits", "21 pieces lie before drill; there is room for 20 pieces.")],
    ),
    "one piece where none fits": (
        [("counted: 5, capacity: 20", "counted: 1, capacity: 0")],
        [("stock", "before drill", "more than fits", "1 piece lies before drill; there is room for 0 pieces.")],
    ),
    "more work than is needed": (
        [("counted: 5, capacity: 20", "counted: 200, capacity: 300")],
        [("stock", "before drill", "too much stock", "200 pieces lie before drill; the flow needs less than one piece.")],
    ),
    "a pile that grows": (
        [("counted: 5, capacity: 20", "counted: 5, capacity: 20, grows: 3 /d"), ("bought: 80 /d", "bought: 83 /d")],
        [("stock", "before drill", "growing", "The stock before drill grows by 3 pieces/d: somebody makes what nobody pulls.")],
    ),
    "a schedule that pushes": (
        [("kind: motion}]}", "kind: motion}], release: {by: push, rate: 84 /d}}")],
        [("stock", "before drill", "growing", "The stock before drill grows by 4 pieces/d: somebody makes what nobody pulls.")],
    ),
    "a store of parts that grows": (
        [("counted: 60, capacity: 100", "counted: 60, capacity: 100, grows: 2 /d"), ("bought: 80 /d", "bought: 82 /d")],
        [("stock", "blank", "growing", "The stock of blank grows by 2 pieces/d: more is bought than is used.")],
    ),
    "a step nobody asked for": (
        [("kind: value}", "kind: extra}")],
        [("step", "bend", "who asked?", "Bend is 2 min of work on each piece that nobody is known to need.")],
    ),
    "a finish that is finer than needed": (
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, asked: [{what: roughness, asked: 0.2 um, needed: 0.4 um}]")],
        [("step", "drill", "finer than needed", "Roughness at drill: 0.2 µm asked for, 0.4 µm would do.")],
    ),
    "a length that is finer than needed": (
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, asked: [{what: play, asked: 2 mm, needed: 5 mm}]")],
        [("step", "drill", "finer than needed", "Play at drill: 2 mm asked for, 5 mm would do.")],
    ),
    "much done again": (
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, rework: {share: 9 %, time: 20 s}")],
        [("step", "drill", "done again", "9 % of the pieces at drill are done again.")],
    ),
    "much thrown away": (
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, scrap: 8 %"), ("bought: 80 /d", "bought: 87 /d")],
        [("step", "drill", "thrown away", "8 % of the pieces at drill are thrown away.")],
    ),
    "much on foot": (
        [("walking: 5 s", "walking: 15 s")],
        [("step", "bend", "walking", "Each piece at bend costs 15 s on foot.")],
    ),
    "things that nobody needs": (
        [("total: 22 m2", "total: 24 m2, red_tagged: [{what: old drill, area: 2 m2}]")],
        [("floor", "floor", "red-tagged", "Things that nobody needs stand on 2 m².")],
    ),
    "parts that leave no trace": (
        [("bought: 80 /d", "bought: 86 /d")],
        [("stock", "blank", "no trace", "Blank: 86 pieces/d are bought, and of 6 pieces/d there is no trace.")],
    ),
    "parts that come from nowhere": (
        [("bought: 80 /d", "bought: 74 /d")],
        [
            ("stock", "blank", "no trace", "Blank: 74 pieces/d are bought, 6 pieces/d less than are used and piled up."),
            ("account", "material", "not explained", "30 EUR/d more material is used than bought."),
        ],
    ),
    "floor that nobody can explain": (
        [("total: 22 m2", "total: 26 m2")],
        [("account", "floor", "not explained", "Of 26 m² of floor, 6 m² are not explained.")],
    ),
    "more things than floor": (
        [("total: 22 m2", "total: 18 m2")],
        [("account", "floor", "not explained", "2 m² more stands on the floor than there is.")],
    ),
    "more work than people are paid for": (
        [("people:", "moves: [{from: bend, to: drill, distance: 110 m}]\npeople:")],
        [("account", "hours", "not explained", "0.556 h/d more work is found than people are paid for.")],
    ),
    "hours that nobody can explain": (
        [("floor: {", "samples: [{looks: 400, value: 250, waiting: 40}]\nfloor: {")],
        [("account", "hours", "not explained", "Of 8 h/d that are paid, 3.09 h/d are not explained.")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("flaw", FLAWS)
def test_a_flaw_is_found_and_nothing_else(flaw):
    changes, expected = FLAWS[flaw]
    assert found(*changes) == expected


def test_a_flow_that_joins_and_takes_longer_is_found():
    alone, joining = "name: drill, station: bench", "name: drill, station: bench, after: [bend, cast]"
    cast = ("  - {name: drill,", "  - {name: cast, station: bench, after: [], manual: 20 s}\n  - {name: drill,")
    high = ("  - {before: drill,", "  - {before: cast, counted: 90}\n  - {before: drill,")
    assert "longer way" not in [word for *_, word, _ in found(cast, (alone, joining))]
    (longer,) = [one for one in found(cast, (alone, joining), high) if one[2] == "longer way"]
    assert longer[:2] == ("line", "brackets")
    assert longer[3].startswith("A flow that joins takes longer than the main flow: ")


def test_every_rule_has_a_flaw_that_it_finds():
    words = {word for _, expected in FLAWS.values() for *_, word, _ in expected}
    flawed = [accounts(*changes) for changes, _ in FLAWS.values()]
    fired = {rule.__name__ for one in flawed for rule in RULES if list(rule(one))}
    assert {rule.__name__ for rule in RULES} == fired | {"longer"}
    assert len(words) >= 13


@pytest.mark.parametrize(
    "near",
    [
        [("manual: 60 s}", "manual: 230 s}")],
        [("delivery_lot: 80", "delivery_lot: 100")],
        [("counted: 60, capacity: 100", "counted: 100, capacity: 100")],
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, rework: {share: 5 %, time: 20 s}")],
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, scrap: 5 %"), ("bought: 80 /d", "bought: 85 /d")],
        [("walking: 5 s", "walking: 13 s")],
        [("bought: 80 /d", "bought: 84 /d")],
        [("total: 22 m2", "total: 22.2 m2")],
        [("station: bench, manual: 60 s", "station: bench, manual: 60 s, asked: [{what: play, asked: 5 mm, needed: 5 mm}]")],
        [("people:", "moves: [{from: bend, to: drill, distance: 100 m}]\npeople:")],
    ],
)  # fmt: skip
def test_what_is_within_bounds_is_not_found(near):
    assert found(*near) == []


def test_what_a_few_looks_may_have_seen_by_luck_is_not_out_of_place():
    few = ("floor: {", "samples: [{looks: 8, value: 5, waiting: 2}]\nfloor: {")
    assert abs(accounts(few).hours.unexplained.share.value) > 0.10
    assert found(few) == []


def test_growth_that_may_be_none_is_not_out_of_place():
    counts = ", ".join(
        f"{{on: 2026-03-{day:02d}, pieces: {pieces}}}" for day, pieces in ((2, 5), (9, 1), (16, 9), (23, 4))
    )
    unsure = accounts(("counted: 5, capacity: 20", f"counts: [{counts}], capacity: 20"))
    assert unsure.ground.ahead[0].growth.value > 0
    assert findings_of(unsure) == ()


def test_a_queue_without_end_is_said_before_anything_else():
    changes = [
        ("counted: 5, capacity: 20", "capacity: 20"),
        ("manual: 60 s}", "manual: 400 s}"),
        ("walking: 5 s", "walking: 15 s"),
    ]
    line = accounts(*changes)
    findings = findings_of(line)
    assert "The stock before drill grows without end: more comes than can be taken." in [
        one.sentence for one in findings
    ]
    assert sentence(line, findings).endswith("The stock before drill grows without end: more comes than can be taken.")


NO_ROOM = ("delivery_lot: 80", "delivery_lot: 300")


def test_the_stock_that_lasts_longest_is_said_first():
    high, low = (
        ("counted: 5, capacity: 20", "counted: 300, capacity: 20"),
        ("counted: 5, capacity: 20", "counted: 21, capacity: 20"),
    )
    for pile, said in (
        (high, "300 pieces lie before drill; there is room for 20 pieces."),
        (low, "the rest has no place."),
    ):
        line = accounts(NO_ROOM, pile)
        assert sentence(line, findings_of(line)).endswith(said)


def test_a_queue_without_end_outlasts_all_stock():
    line = accounts(NO_ROOM, ("counted: 5, capacity: 20", "capacity: 20"), ("manual: 60 s}", "manual: 400 s}"))
    assert findings_of(line)[2].word == "no room"
    assert sentence(line, findings_of(line)).endswith(
        "The stock before drill grows without end: more comes than can be taken."
    )


def test_a_stock_that_nobody_counted_is_said_to_pile_up():
    changes = [("counted: 5, capacity: 20", "capacity: 3"), ("kind: motion}]}", "kind: motion}], lot: 79}")]
    (only,) = [one for one in found(*changes) if one[1] == "before drill"]
    pieces = round(next(stock for stock in accounts(*changes).flow.stocks if stock.words == "before drill").held.value)
    assert only[3] == f"About {pieces} pieces pile up before drill; there is room for 3 pieces."


def test_one_thing_and_several_things_out_of_place():
    one, two = (
        accounts(("walking: 5 s", "walking: 15 s")),
        accounts(("walking: 5 s", "walking: 15 s"), ("total: 22 m2", "total: 26 m2")),
    )
    assert sentence(one, findings_of(one)).endswith(
        " One thing is out of place. Each piece at bend costs 15 s on foot."
    )
    assert " 2 things are out of place. " in sentence(two, findings_of(two))


def test_an_overloaded_line_never_says_that_nothing_is_out_of_place():
    line = accounts(("manual: 60 s}", "manual: 300 s}"), (" bought: 80 /d,", ""))
    findings = findings_of(line)
    assert {one.word for one in findings} == {"beyond takt"}
    said = sentence(line, findings)
    assert said.startswith("This line cannot make 80 a day: crew is loaded to 118 %")
    assert said.endswith(" One thing is out of place.")
    assert "Nothing" not in said


def test_names_keep_the_way_they_are_written():
    line = accounts(
        ("name: bench", "name: CNC bench"),
        ("station: bench", "station: CNC bench"),
        ("manual: 60 s}", "manual: 400 s}"),
    )
    assert "CNC bench is loaded to 111 %: it cannot do what customers pull." in [
        one.sentence for one in findings_of(line)
    ]


def test_money_is_said_in_the_currency_of_the_line():
    line = accounts(
        ("line: brackets", "line: brackets\ncurrency: CHF"), ("5 EUR", "5 CHF"), ("bought: 80 /d", "bought: 60 /d")
    )
    assert "100 CHF/d more material is used than bought." in [one.sentence for one in findings_of(line)]
