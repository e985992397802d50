"""Lines that contradict themselves: each contradiction is one fault, at its place, in words."""

from __future__ import annotations

from typing import Any

import pytest

from pullwright.line import Line, LineFileError
from pullwright.line.edit import add_item, remove_field, set_field
from pullwright.line.faults import Path
from pullwright.line.sense import CHECKS

BASE = """\
line: two products
calendar:
  days: [mon, tue, wed, thu, fri]
  shifts:
    - {name: early, from: "06:00", to: "14:00", breaks: [{name: meal, from: "10:00", to: "10:30"}]}
    - {name: late, from: "14:00", to: "22:00", planned_stops: [{name: meeting, from: "14:00", to: "14:10"}]}
  days_off: [2026-05-01]
products:
  - {name: red, demand: 20 /d, uses: [{part: blank, quantity: 1, at: saw}]}
  - {name: blue, demand: 4 /d}
parts:
  - {name: blank, price: 4 EUR, delivery_lot: 100}
stations:
  - {name: saw bench}
  - {name: lathe, breakdowns: {between: 60 h, repair: 50 min}}
  - {name: table}
steps:
  - {name: saw, station: saw bench, manual: 60 s}
  - name: turn
    station: lathe
    elements:
      - {what: load, manual: 20 s, kind: needed}
      - {what: cut, machine: 90 s, kind: value, watched: 10 %}
    set_up: {time: 20 min}
    lot: 20
  - {name: pack, station: table, manual: 50 s, rework: {share: 2 %, to: saw}}
stores:
  - {part: blank, counted: 200}
  - {before: turn, counted: 30, capacity: 40}
  - {after: pack, counted: 12}
moves:
  - {from: saw, to: turn, distance: 6 m}
people:
  - {name: crew, number: 3, skills: [saw bench, lathe, table]}
floor: {total: 60 m2, places: [{name: tool wall, area: 3 m2}]}
pressure: {above: 2, faster: 12 %, more_defects: 150 %}
studies:
  - {name: T-1, readings: [20 s, 22 s]}
samples:
  - {looks: 100, value: 60, waiting: 40}
"""

Change = tuple[Path, Any]
STEP_0, STEP_1, STEP_2 = ("steps", 0), ("steps", 1), ("steps", 2)
GONE = object()
LOOPS = [{"product": "red", "cards": 4, "per_card": 7, "signal": 2}, {"product": "blue", "cards": 3, "per_card": 7}]
LOTS = [{"product": "red", "pieces": 28}, {"product": "blue", "pieces": 14}]


def changed(*changes: Change) -> str:
    text = BASE
    for path, value in changes:
        if value is GONE:
            text = remove_field(text, path)
        elif path[-1] == "+":
            text = add_item(text, path[:-1], value)
        else:
            text = set_field(text, path, value)
    return text


def faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(LineFileError) as caught:
        Line.from_text(text)
    for fault in caught.value.faults:
        assert fault.line
        assert fault.allowed
    return [
        (fault.field, (fault.message or fault.allowed) + (f" ({fault.hint})" if fault.hint else ""))
        for fault in caught.value.faults
    ]


def test_the_base_is_a_line() -> None:
    assert Line.from_text(BASE).route.order == (0, 1, 2)


CASES: dict[str, tuple[list[Change], list[tuple[str, str]]]] = {
    # --- calendar
    "shifts that overlap": (
        [(("calendar", "shifts", 1, "from"), "13:00"), (("calendar", "shifts", 1, "planned_stops"), [])],
        [("calendar.shifts[2]", "shifts early (06:00 to 14:00) and late (13:00 to 22:00) overlap on Monday: let one end before the other begins")],
    ),
    "a break outside its shift": (
        [(("calendar", "shifts", 0, "breaks", 0, "to"), "15:00")],
        [("calendar.shifts[1].breaks[1]", "break meal (10:00 to 15:00) is not inside shift early (06:00 to 14:00): move it, or change the shift")],
    ),
    "a planned stop that takes no time": (
        [(("calendar", "shifts", 1, "planned_stops", 0, "to"), "14:00")],
        [("calendar.shifts[2].planned_stops[1]", "planned stop meeting (14:00 to 14:00) takes no time: leave it out, or let it end later than it starts")],
    ),
    "a week without work": (
        [(("calendar", "days"), [])],
        [("calendar", "a week has no working time: give at least one shift with a weekday and time outside its pauses")],
    ),
    "a weekday twice": ([(("calendar", "days", "+"), "Monday")], [("calendar.days[6]", "mon stands in entry 1 of this list already")]),
    "a day off twice": ([(("calendar", "days_off", "+"), "2026-05-01")], [("calendar.days_off[2]", "2026-05-01 stands in entry 1 of this list already")]),
    "a day off that is worked": (
        [(("calendar", "extra_days"), ["2026-05-01"])],
        [("calendar.extra_days[1]", "2026-05-01 is a day off and an extra day; it can be one of them")],
    ),
    "an extra day with a shift of nobody": (
        [(("calendar", "extra_days"), [{"on": "2026-12-19", "shifts": ["nigth"]}])],
        [("calendar.extra_days[1].shifts[1]", "there is no 'nigth' among the shifts; allowed: one of: early, late")],
    ),
    "an extra day without a shift": (
        [(("calendar", "extra_days"), [{"on": "2026-12-19", "shifts": []}])],
        [("calendar.extra_days[1].shifts", "an empty list of shifts is for none of them (leave the field out where all are meant)")],
    ),
    "two shifts of one name": (
        [(("calendar", "shifts", 1, "name"), "early")],
        [("calendar.shifts[2].name", "'early' is the name of another of the shifts, in line 5 already")],
    ),
    # --- demand and the way through
    "nobody pulls": (
        [(("products", 0, "demand"), "0 /d"), (("products", 1, "demand"), "0 /week")],
        [("products[1].demand", "nobody pulls anything: every demand is 0, so that there is no takt")],
    ),
    "a circle": (
        [((*STEP_0, "after"), ["pack"])],
        [("steps[2].after", "the way through goes in a circle: saw takes from pack takes from turn takes from saw (pieces that go back belong in `rework`)")],
    ),
    "a step that takes from itself": (
        [((*STEP_1, "after"), ["turn"])],
        [("steps[2].after", "the way through goes in a circle: turn takes from turn (pieces that go back belong in `rework`)")],
    ),
    "products that end at steps of their own": (
        [((*STEP_2, "after"), ["saw"]), ((*STEP_2, "for"), ["red"]), ((*STEP_1, "for"), ["blue"]), (("stores", 2), {"part": "blank"}), (("stores", 0), {"before": "pack"})],
        [],
    ),
    "both products end at two steps": (
        [((*STEP_2, "after"), [])],
        [("steps[2].after", "red ends at 2 steps (turn, pack); a product has one last step (name the steps that are taken from in `after`)")],
    ),
    "a way that parts": (
        [(("steps", "+"), {"name": "label", "station": "table", "manual": "5 s", "after": ["turn", "pack"]}), (("stores", 2, "after"), "label")],
        [("steps[4].after", "red, blue would go from turn to pack, label; a product goes one way (use `for` to say which product takes which way)")],
    ),
    "a product that no step is for": (
        [((*step, "for"), ["red"]) for step in (STEP_0, STEP_1, STEP_2)],
        [("products[2]", "no step is for blue (leave `for` out where a step is for every product)")],
    ),
    "a step for nobody": ([((*STEP_1, "for"), [])], [("steps[2].for", "an empty list of products is for none of them (leave the field out where all are meant)")]),
    "a step that takes from one step twice": (
        [((*STEP_1, "after"), ["saw", {"step": "saw", "quantity": 2}])],
        [("steps[2].after[2]", "saw stands in entry 1 of this list already")],
    ),
    "rework to a later step": (
        [((*STEP_0, "rework"), {"share": "2 %", "to": "pack"}), ((*STEP_2, "rework"), GONE)],
        [("steps[1].rework.to", "pack does not come before saw; rework goes back to an earlier step or to the step itself")],
    ),
    "rework where the product does not go": (
        [((*STEP_1, "for"), ["red"]), ((*STEP_2, "rework", "to"), "turn")],
        [("steps[3].rework.to", "blue does not go through turn, so that it cannot be done again there")],
    ),
    "rework back and on the spot": (
        [((*STEP_2, "rework", "time"), "3 min")],
        [("steps[3].rework.time", "pieces that go back to saw take the time of the steps from there on; `time` is for those put right on the spot")],
    ),
    "a part at a step that the product skips": (
        [((*STEP_0, "for"), ["blue"]), ((*STEP_2, "rework"), GONE)],
        [("products[1].uses[1].at", "red does not go through saw, so that it cannot take blank there")],
    ),
    "a part twice at one step": (
        [(("products", 0, "uses", "+"), {"part": "blank", "quantity": 2, "at": "saw"})],
        [("products[1].uses[2]", "blank at saw stands in entry 1 already; add the quantities up")],
    ),
    # --- the work
    "elements and the short form": (
        [((*STEP_1, "manual"), "20 s")],
        [("steps[2].manual", "the work of turn is given twice, as elements and as manual")],
    ),
    "no work": ([((*STEP_0, "manual"), GONE)], [("steps[1]", "saw has no work: give elements, or at least one of manual, machine, walking")]),
    "no time for a product": (
        [((*STEP_1, "elements", k, "for"), ["red"]) for k in (0, 1)],
        [("steps[2]", "turn takes no time for blue (leave blue out with `for` where it skips this step)")],
    ),
    "work of no time": ([((*STEP_0, "manual"), "0 s")], [("steps[1]", "saw takes no time for red (leave red out with `for` where it skips this step)")]),
    "an element without a time": ([((*STEP_1, "elements", 0, "manual"), GONE)], [("steps[2].elements[1]", "'load' has no time: give manual, machine or walking")]),
    "an element for a product that does not come by": (
        [((*STEP_1, "for"), ["red"]), ((*STEP_1, "elements", 0, "for"), ["red", "blue"])],
        [("steps[2].elements[1].for[2]", "blue does not go through turn")],
    ),
    "a value-adding share beside elements": ([((*STEP_1, "value_adding"), "40 %")], [("steps[2].value_adding", "value_adding goes with manual and machine; an element says its own kind")]),
    "a rest beside elements": ([((*STEP_1, "rest"), "needed")], [("steps[2].rest", "rest goes with manual and machine; an element says its own kind")]),
    "watching what is done by hand": ([((*STEP_0, "watched"), "20 %")], [("steps[1].watched", "saw has no machine time that could be watched")]),
    "watching an element by hand": ([((*STEP_1, "elements", 0, "watched"), "20 %")], [("steps[2].elements[1].watched", "'load' has no machine time that could be watched")]),
    "a finish that costs nothing": (
        [((*STEP_1, "asked"), [{"what": "roughness", "asked": "0.4 um", "needed": "0.2 um", "costs": "9 s"}])],
        [("steps[2].asked[1].costs", "roughness: no more is asked for than is needed, so that there is no time to save (are the two swapped?)")],
    ),
    "a set-up without a lot": ([((*STEP_1, "lot"), GONE)], [("steps[2].set_up", "turn is set up, but how many pieces are made between two set-ups? Give `lot`")]),
    "a transfer lot above the lot": ([((*STEP_1, "transfer_lot"), 30)], [("steps[2].transfer_lot", "a transfer lot of 30 is larger than the lot of 20")]),
    "a set-up from a product to itself": (
        [((*STEP_1, "set_up", "pairs"), [{"from": "red", "to": "red", "time": "1 s"}])],
        [("steps[2].set_up.pairs[1].to", "this is a set-up from red to itself")],
    ),
    "a set-up for a product that does not come by": (
        [((*STEP_1, "for"), ["red"]), ((*STEP_1, "set_up", "pairs"), [{"from": "red", "to": "blue", "time": "1 s"}])],
        [("steps[2].set_up.pairs[1].to", "blue does not go through turn")],
    ),
    "a set-up pair twice": (
        [((*STEP_1, "set_up", "pairs"), [{"from": "red", "to": "blue", "time": "1 s"}] * 2)],
        [("steps[2].set_up.pairs[2]", "red to blue stands in entry 1 of this list already")],
    ),
    "its own station as another one": ([((*STEP_0, "also_at"), [{"station": "saw bench", "share": "10 %"}])], [("steps[1].also_at[1].station", "saw is done at saw bench anyway; `also_at` names other stations")]),
    "more than all of it elsewhere": (
        [((*STEP_0, "also_at"), [{"station": "lathe", "share": "60 %"}, {"station": "table", "share": "60 %"}])],
        [("steps[1].also_at", "the shares of saw that are done elsewhere add up to more than all of it")],
    ),
    # --- losses
    "a yield of zero": ([((*STEP_0, "first_pass_yield"), "0 %")], [("steps[1]", "no piece ever leaves saw good: its yield is zero")]),
    "all scrap": ([((*STEP_0, "scrap"), 1)], [("steps[1]", "no piece ever leaves saw good: its yield is zero")]),
    "all back again": ([((*STEP_2, "rework", "share"), "100 %")], [("steps[3]", "no piece ever leaves pack good: its yield is zero")]),
    "all put right on the spot": ([((*STEP_2, "rework"), {"share": "100 %", "time": "9 s"})], []),
    "scrap and rework above all": ([((*STEP_0, "scrap"), 0.7), ((*STEP_0, "rework"), {"share": 0.7})], [("steps[1].scrap", "scrap and rework of saw add up to 1.4, more than 1")]),
    "scrap that may be all": ([((*STEP_0, "scrap"), {"low": 0, "likely": 0.1, "high": 1})], [("steps[1]", "scrap and rework of saw may reach 100 % at their highest; then no piece leaves it good")]),
    "a yield and a scrap above all": ([((*STEP_0, "first_pass_yield"), 0.9), ((*STEP_0, "scrap"), 0.2)], [("steps[1].first_pass_yield", "first-pass yield, scrap and rework of saw add up to 1.1, more than 1")]),
    "three shares that miss": (
        [((*STEP_2, "first_pass_yield"), 0.9), ((*STEP_2, "scrap"), 0.01)],
        [("steps[3].first_pass_yield", "first-pass yield, scrap and rework of pack add up to 0.93, not to 1 (leave one of the three out)")],
    ),
    # --- release
    "cards without a number": ([((*STEP_1, "release"), {"by": "cards", "per_card": 7})], [("steps[2].release", "release by cards needs `cards`")]),
    "cards without pieces": ([((*STEP_1, "release"), {"by": "cards", "cards": 7})], [("steps[2].release", "release by cards needs `per_card`")]),
    "a cap without anything": ([((*STEP_1, "release"), {"by": "cap"})], [("steps[2].release", "release by cap needs `limit`"), ("steps[2].release", "release by cap needs `until`")]),
    "cards on order": ([((*STEP_1, "release"), {"by": "order", "cards": 7})], [("steps[2].release.cards", "`cards` does not go with release by order")]),
    "a cap that counts backwards": ([((*STEP_1, "release"), {"by": "cap", "limit": 9, "until": "saw"})], [("steps[2].release.until", "saw does not come after turn; a cap counts from a step to a later one")]),
    "loops and a number for all": (
        [((*STEP_1, "release"), {"by": "cards", "cards": 7, "loops": LOOPS})],
        [("steps[2].release.cards", "`cards` does not go with loops of cards for each product")],
    ),
    "loops of a cap": ([((*STEP_1, "release"), {"by": "order", "loops": LOOPS})], [("steps[2].release.loops", "`loops` does not go with release by order")]),
    "a loop of each product": ([((*STEP_1, "release"), {"by": "cards", "loops": LOOPS})], []),
    "a loop too few": ([((*STEP_1, "release"), {"by": "cards", "loops": LOOPS[:1]})], [("steps[2].release.loops", "blue goes through turn and has no loop of cards there")]),
    "a loop twice": (
        [((*STEP_1, "release"), {"by": "cards", "loops": [*LOOPS, LOOPS[0]]})], [("steps[2].release.loops[3]", "red stands in entry 1 of this list already")]
    ),
    "a loop of a product that nobody knows": (
        [((*STEP_1, "release"), {"by": "cards", "loops": [*LOOPS, {"product": "bleu", "cards": 2, "per_card": 7}]})],
        [("steps[2].release.loops[3].product", "there is no 'bleu' among the products; allowed: one of: red, blue (did you mean blue?)")],
    ),
    "a loop of a product that does not come": (
        [((*STEP_1, "for"), ["red"]), ((*STEP_1, "release"), {"by": "cards", "loops": LOOPS})],
        [("steps[2].release.loops[2].product", "blue does not go through turn, so that it has no loop of cards there")],
    ),
    "a signal that never comes": (
        [((*STEP_1, "release"), {"by": "cards", "loops": [{**LOOPS[0], "signal": 5}, LOOPS[1]]})],
        [("steps[2].release.loops[1].signal", "red has 4 cards, and 5 are to be gathered before it is made: it never would be")],
    ),
    "a lot of each product": ([((*STEP_1, "lot"), GONE), ((*STEP_1, "lots"), LOTS)], []),
    "a lot too few": ([((*STEP_1, "lot"), GONE), ((*STEP_1, "lots"), LOTS[1:])], [("steps[2].lots", "red goes through turn and has no lot there")]),
    "a lot for all and one for each": ([((*STEP_1, "lots"), LOTS)], [("steps[2].lots", "turn has one lot for all products and a lot for each; say one of them")]),
    "lots without a set-up": (
        [((*STEP_0, "lots"), LOTS)],
        [("steps[1].lots", "saw has a lot for each product, but what comes between two of them? Give `set_up` (what is handed on at a time is `transfer_lot`)")],
    ),
    "a lot of a product that does not come": (
        [((*STEP_1, "for"), ["red"]), ((*STEP_1, "lot"), GONE), ((*STEP_1, "lots"), LOTS)],
        [("steps[2].lots[2].product", "blue does not go through turn, so that it has no lot there")],
    ),
    "more handed on than the smallest lot": (
        [((*STEP_1, "lot"), GONE), ((*STEP_1, "lots"), LOTS), ((*STEP_1, "transfer_lot"), 15)],
        [("steps[2].transfer_lot", "a transfer lot of 15 is larger than the smallest lot, that of 14")],
    ),
    # --- stores and moves
    "a store nowhere": ([(("stores", 1, "before"), GONE)], [("stores[2]", "a store is before a step, after the last step, or of a part: say exactly one of them")]),
    "a store in two places": ([(("stores", 1, "after"), "pack")], [("stores[2]", "a store is before a step, after the last step, or of a part: say exactly one of them")]),
    "a store after a step that is not the last": ([(("stores", 2, "after"), "turn")], [("stores[3].after", "turn is no last step; stock between two steps is `before` the second one (say `before` the step that takes from it)")]),
    "two stores in one place": ([(("stores", "+"), {"before": "turn"})], [("stores[4].before", "there is a store before turn already, entry 2")]),
    "counted twice": (
        [(("stores", 1, "counts"), [{"on": "2026-01-01", "pieces": 1}])],
        [("stores[2].counts", "counted and counts are both given; put the one count into the list")],
    ),
    "what does not fit, of nothing": ([(("stores", 0, "overflow"), {"distance": "9 m"})], [("stores[1].overflow", "what does not fit is carried away, but how much fits? Give `capacity`")]),
    "one move twice": ([(("moves", "+"), {"from": "saw", "to": "turn", "distance": "7 m"})], [("moves[2]", "saw to turn stands in entry 1 of this list already")]),
    # --- people, samples, pressure
    "a step that nobody can do": ([(("people", 0, "skills"), ["lathe", "saw"])], [("steps[3].name", "nobody has the skill for pack (add pack to the skills of a crew)")]),
    "a skill twice": ([(("people", 0, "skills", "+"), "lathe")], [("people[1].skills[4]", "lathe stands in entry 2 of this list already")]),
    "a crew without skills": (
        [(("people", 0, "skills"), []), (("people", "+"), {"name": "others", "number": 1})],
        [("people[1].skills", "an empty list of skills is for none of them (leave the field out where all are meant)")],
    ),
    "a station that never works": ([(("stations", 0, "shifts"), [])], [("stations[1].shifts", "an empty list of shifts is for none of them (leave the field out where all are meant)")]),
    "more seen than looked": ([(("samples", 0, "extra"), 1)], [("samples[1].looks", "101 things were seen in 100 looks")]),
    "faster than everything": ([(("pressure", "faster"), "100 %")], [("pressure.faster", "work that is faster by all of its time takes none")]),
    "a place twice": ([(("floor", "places", "+"), {"name": "tool wall", "area": "1 m2"})], [("floor.places[2]", "tool wall stands in entry 1 of this list already")]),
    # --- zeros
    "no floor": ([(("floor", "total"), "0 m2")], [("floor.total", "a floor of 0 makes no sense here (leave it out where there is none)")]),
    "a breakdown at once": ([(("stations", 1, "breakdowns", "between"), "0 h")], [("stations[2].breakdowns.between", "a time between breakdowns of 0 makes no sense here (leave it out where there is none)")]),
    "deliveries of nothing": ([(("parts", 0, "delivery_lot"), 0)], [("parts[1].delivery_lot", "a delivery lot of 0 makes no sense here (leave it out where there is none)")]),
    "a part of which none is used": ([(("products", 0, "uses", 0, "quantity"), 0)], [("products[1].uses[1].quantity", "a quantity of 0 makes no sense here (leave it out where there is none)")]),
    "a quantity that may be 0": (
        [((*STEP_1, "after"), [{"step": "saw", "quantity": {"low": 0, "likely": 1, "high": 2}}])],
        [("steps[2].after[1].quantity", "a quantity of 0 makes no sense here (leave it out where there is none)")],
    ),
    # --- names
    "a step without a station": ([((*STEP_0, "station"), GONE)], [("steps[1].station", "station is missing")]),
    "a station of nobody": ([((*STEP_0, "station"), "saw bank")], [("steps[1].station", "there is no 'saw bank' among the stations; allowed: one of: saw bench, lathe, table (did you mean saw bench?)")]),
    "a name of a step that is an end of the line": (
        [(("steps", "+"), {"name": "shipping", "station": "table", "manual": "5 s"}), (("stores", 2, "after"), "shipping")],
        [("steps[4].name", "'shipping' is the word for an end of the line in `moves`; give it another name")],
    ),
    "a renamed step is one fault with all its lines": (
        [((*STEP_1, "name"), "turning")],
        [("stores[2].before", "there is no 'turn' among the steps (named in line 32 too); allowed: one of: saw, turning, pack (did you mean turning?)")],
    ),
    "a study of something else": ([((*STEP_0, "scrap"), {"study": "T-1"})], [("steps[1].scrap.study", "a study holds times; this field is none")]),
    "a study that is not there": ([((*STEP_0, "manual"), {"study": "T-2"})], [("steps[1].manual.study", "there is no 'T-2' among the studies; allowed: one of: T-1 (did you mean T-1?)")]),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_contradiction_is_said_once_at_its_place(case: str) -> None:
    changes, expected = CASES[case]
    text = changed(*changes)
    if expected:
        assert faults(text) == expected
    else:
        Line.from_text(text)


def test_a_study_may_be_all_the_work_of_a_step() -> None:
    line = Line.from_text(changed(((*STEP_0, "manual"), {"study": "T-1"})))
    assert line.steps[0].manual is not None
    assert line.steps[0].manual.study == "T-1"


def test_faults_of_reading_and_contradictions_elsewhere_are_said_together() -> None:
    text = changed(
        (("money", "cash"), "5"), (("calendar", "shifts", 0, "breaks", 0, "to"), "15:00"), (("samples", 0, "extra"), 1)
    )
    assert [field for field, _ in faults(text)] == ["calendar.shifts[1].breaks[1]", "samples[1].looks", "money.cash"]


def test_contradictions_that_follow_from_a_broken_part_are_not_made_up() -> None:
    assert [field for field, _ in faults(changed(((*STEP_0, "manual"), "60")))] == ["steps[1].manual"]
    assert [field for field, _ in faults(changed((("products", 0, "demand"), "20")))] == ["products[1].demand"]


def test_every_check_knows_parts_of_the_file() -> None:
    parts = set(type(Line.from_text(BASE)).model_fields)
    assert all(set(check.reads) <= parts for check in CHECKS)
