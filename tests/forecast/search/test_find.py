"""From a line and a few words to an answer, and to an error where there is none."""

from __future__ import annotations

import json
import pickle
from dataclasses import fields, replace

import numpy as np
import pytest

from pullwright.forecast.layout import layout_of
from pullwright.forecast.money import DayBook, statement_of
from pullwright.forecast.runs import Run, runs_of
from pullwright.forecast.search.asked import read_asked
from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.find import find, hunt_of
from pullwright.forecast.search.measures import MEASURES, Measure, Seen
from pullwright.forecast.search.promises import Promise, promises_of, read_promise
from pullwright.forecast.search.rising import reasons_against
from pullwright.forecast.search.turned_line import TurnedLine
from pullwright.line import Line
from tests.forecast.search.test_knobs import TEXT
from tests.forecast.small_lines import DAY, laid, line_text, machine, stores

SERVICE = 600.0
LOAD = 0.7


def base_stock(more=""):
    """One exponential machine behind a store, cards going round, orders at random."""
    step = machine("600 s", "exponential") + ", release: {by: cards, cards: 4, per_card: 1}"
    text = line_text(
        [step],
        demand=f"{LOAD * DAY / SERVICE} /d, promise: 0 d, on_time: 88 %{more}",
        more="stores: [{after: t0, counted: 4}]\n",
    )
    return Line.from_text(text)


@pytest.fixture(scope="module")
def line():
    return Line.from_text(TEXT)


def test_the_answer_says_what_was_found_how_sure_it_is_and_what_was_tried():
    answer = find(base_stock(), "fewest cards of t0 1..12", workers=2)

    assert answer.found is not None
    assert answer.words == (
        "Fewest cards: 6 cards (cards of t0: 6).",
        "With 95 % confidence it keeps what is promised (on time of P at least 88 % within 0 d, give or take 1 point), and no smaller number "
        "of cards that was asked for keeps it.",
        "This rests on it that more never does worse.",
    )
    assert [(one.setting, one.verdict) for one in answer.tried if one.cost in (5, 6)] == [
        ((5,), "broken"),
        ((6,), "kept"),
    ]
    for one in answer.tried:
        (outcome,) = one.outcomes
        assert outcome.low <= 1 - LOAD ** one.setting[0] <= outcome.high
    assert answer.left_out == ()
    json.dumps(answer.as_dict(), allow_nan=False)


def test_what_nobody_can_keep_is_said_with_the_best_that_can_be_had_and_what_binds():
    answer = find(base_stock(), "fewest cards of t0 1..3")

    assert answer.found is None
    assert answer.words[0].startswith(
        "Nothing that was asked for was shown to keep what is promised. Best that can be had: cards of t0: 3 (on time of P 6"
    )
    assert answer.words[1].startswith("With 95 % confidence none of the 3 settings keeps it")
    assert answer.words[2].startswith("What binds: on time of P at least 88 % within 0 d; s0 is the busiest station")


def test_a_search_that_is_stopped_says_what_it_found_so_far():
    told = []
    first = find(base_stock(), "fewest cards of t0 1..12", stop=lambda: len(told) > 0, progress=told.append)
    assert not first.done
    assert first.found is None
    assert first.words[0].startswith(
        "Stopped after 1 runs of 1 settings: nothing was shown to keep the promises so far"
    )

    later = find(
        base_stock(),
        "fewest cards of t0 1..12",
        stop=lambda: bool(told) and told[-1].best is not None,
        progress=told.append,
    )
    assert not later.done
    assert later.found is not None
    assert "Best so far: 12 cards" in later.words[0]
    assert later.words[1].endswith("settings may still be better.")
    json.dumps(later.as_dict(), allow_nan=False)


def test_the_runs_of_a_line_can_be_sent_elsewhere():
    work = hunt_of(base_stock(), "fewest cards of t0 1..12").work

    assert pickle.loads(pickle.dumps(work))((6,), [0, 3]) == work((6,), [0, 3])  # noqa: S301  (our own)


def test_what_could_not_be_told_is_said():
    answer = find(
        base_stock(), "fewest cards of t0 5, 6, 9", ["on time 88.3 % within 0 d give or take 0.05 %"], most_runs=150
    )

    assert answer.found is not None
    assert answer.words[1].endswith("keeps it, but for what could not be told.")
    assert (
        answer.words[3]
        == "Not told within 150 runs, and taken with all that is smaller for not keeping it: cards of t0: 6."
    )


def test_a_search_of_a_line_goes_on_where_it_was_put_down():
    def hunt(**more):
        return hunt_of(
            base_stock(), "fewest cards of t0 1..12", ["on time 88 % give or take 4 %"], days=30, warm_days=10, **more
        )

    whole = hunt()
    whole.search.run()
    first = hunt()
    for _ in range(4):
        first.search.step()
    second = hunt(workers=2)
    second.search.resume(first.search.saved())
    second.search.run()

    assert second.answer() == whole.answer()
    assert second.search.saved() == whole.search.saved()
    with pytest.raises(CannotSearch, match="seed differ"):
        hunt(seed=1).search.resume(first.search.saved())


def test_stock_is_made_small_by_comparing_lots_on_the_same_luck():
    """A set-up before each lot: the smallest lot that leaves time enough for the set-ups has the least stock."""
    step = (
        machine("300 s", "cv: 0.3, distribution: gamma")
        + ", lot: 8, transfer_lot: 1, set_up: {time: 30 min, people: 0}"
    )
    line = Line.from_text(line_text([step], demand="60 /d, promise: 3 d, on_time: 90 %"))

    answer = find(line, "best lots of t0 2, 6, 12, 30", close=3.0, workers=2)

    verdicts = {one.setting: one.verdict for one in answer.tried}
    assert verdicts[(2,)] == "broken", "set-ups of 30 min for 10 min of work: no day is long enough"
    assert answer.found is not None
    stock = {one.setting: one.cost for one in answer.tried if one.verdict == "kept"}
    assert answer.found.cost <= min(stock.values()) + 3.0
    assert "better by more than 3 pieces on average" in answer.words[1]


CASH = """
line: cash
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: bracket, demand: {mean: 20 /d, cv: 0}, price: 5 EUR}]
stations: [{name: a}]
people: [{name: fitters, number: 1, wage: 20 EUR/h}]
steps: [{name: bend, station: a, manual: 60 s}]
money: {cash: 5000 EUR, fixed_costs: 24000 EUR/y}
"""


def test_the_least_cash_is_what_wages_and_costs_take_beyond_what_came_in():
    """23 working days of January 2024: wages of 8 h at 20 EUR and a month of fixed costs on its last day, against 20 brackets a day at 5 EUR."""
    line = Line.from_text(CASH)
    turned = TurnedLine(line, layout_of(line))
    run = runs_of(turned.layout.plant, numbers=[0], until=23 * turned.layout.day, day=turned.layout.day)
    needed = float(statement_of(DayBook.of(run), turned.cash_terms, start=turned.start).needed[0])
    assert needed == pytest.approx(23 * 160 + 2000 - 23 * 20 * 5, abs=10)

    answer = find(
        line,
        f"least cash {needed - 300:g}, {needed - 100:g}, {needed:g}, {needed + 100:g}, {needed + 500:g}",
        ["dry 50 % give or take 20 %"],
        days=23,
        warm_days=0,
        workers=2,
    )

    assert answer.found is not None
    assert answer.found.cost == pytest.approx(needed)
    assert {one.verdict for one in answer.tried} == {"kept", "broken"}
    assert answer.words[1].endswith("no smaller amount of cash that was asked for keeps it.")


def test_cash_cannot_be_looked_for_where_nothing_is_sold_for_money(line):
    with pytest.raises(CannotSearch, match="dry at most 5 %: pump 2 has no price"):
        find(line, "least cash")


def test_a_measure_of_ones_own_can_be_handed_in(line):
    """Here: whether the cash of the line is less than a number of that run."""

    def short(seen: Seen) -> float:
        money = seen.turned.line.money
        assert money is not None
        assert money.cash is not None
        return float(money.cash.value < 100 * (seen.run.number % 4))

    more = {**MEASURES, "short": Measure(short, "%", at_least=False, share=True)}

    answer = find(
        line,
        "least cash 0..1000 by 100",
        [Promise("short", 0.1, zone=0.08)],
        measures=more,
        days=3,
        warm_days=1,
        workers=2,
    )

    assert answer.found is not None
    assert answer.words[0] == "Least cash: 300 EUR (cash: 300)."


def test_an_order_that_is_never_shipped_is_late_and_one_that_came_just_now_is_not_counted():
    """Orders at 0.5 d (shipped at 1), 1.5 (shipped at 4), 2.5 (never), 3.5 (too new for a promise of 1 d in 4 days)."""
    layout = laid(line_text([machine("60 s")], demand="1 /d"))
    response = np.array([[0.5 * DAY, 2.5 * DAY], [1.0 * DAY, 4.0 * DAY], [0.0, 0.0]])
    one = np.array([[1], [1], [1], [1]])
    told = {"number": 0, "ordered": one, "shipped": one, "lead": np.zeros((3, 0)), "response": response}
    run = Run(**({name.name: None for name in fields(Run)} | told))
    seen = Seen(TurnedLine(Line.from_text(TEXT), layout), run, 0, 4, product=0, within=1.0)

    assert MEASURES["on time"].of(seen) == pytest.approx(1 / 3)
    assert MEASURES["on time"].of(replace(seen, warm=1)) == 0.0
    assert MEASURES["throughput"].of(seen) == 1.0
    assert MEASURES["lead time"].of(seen) == 4.0, "nothing ended: at least as long as was looked"


def test_promises_are_those_of_the_file_or_those_that_are_typed(line):
    assert promises_of(line) == (Promise("on time", 0.95, "pump", within=2.0),)
    assert read_promise("on time 90 % within 3 d", line)[1] == Promise("on time", 0.9, "pump 2", within=3.0)
    assert read_promise("on time of pump 2 90 % within 4 h", line) == (Promise("on time", 0.9, "pump 2", within=0.5),)
    assert read_promise("throughput of pump 100 /week give or take 2 /d", line) == (
        Promise("throughput", 20.0, "pump", 2.0),
    )
    assert read_promise("lead time 36 h", line) == (Promise("lead time", 4.5),)
    assert Promise("throughput", 20.0).give == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("on time 101 %", "101 % is a share above 1"),
        ("on time of punp 95 %", r"'punp' is no product of knobs; allowed: pump, pump 2 \(did you mean pump\?\)"),
        ("on time of pump 2 95 %", "how soon is pump 2 promised"),
        ("cheap", "'cheap' is no promise; allowed: `on time 95 %`"),
        ("throughput 400 /d", "customers order 26 a working day, and no more can be shipped"),
        ("throughput of pump 10 /d within 2 d", "`within` goes with `on time` only"),
        ("dry 5 %", "pump 2 has no price: write what a customer pays"),
        ("on time of pump 95 % within 70 d", "cannot be seen in the 60 days of a run"),
        ("on time of pump 0.5 %", "every setting keeps that"),
        ("lead time 3 d give or take 0 d", "it has to be above 0"),
    ],
)
def test_promises_that_mean_nothing_are_refused(line, typed, said):
    with pytest.raises(CannotSearch, match=said):
        find(line, "fewest cards of turn", [typed])


def test_promises_that_contradict_each_other_are_refused(line):
    with pytest.raises(
        CannotSearch, match="contradict each other: throughput at least 10 /d, and throughput at least 12 /d"
    ):
        find(line, "fewest cards of turn", ["throughput 10 /d", "throughput 12 /d"])
    with pytest.raises(CannotSearch, match="Stool line has no promises: write"):
        find(Line.read("examples/first_line.yaml"), "smallest stores before glue")


@pytest.mark.parametrize(
    ("text", "goal", "knobs"),
    [
        ("fewest cards", "fewest cards", [("cards of turn", 10), ("cards of bake", 12)]),
        ("fewest cards of turn, bake 1..3", "fewest cards", [("cards of turn", 3), ("cards of bake", 3)]),
        ("fewest cards of bake 2, 4, 8", "fewest cards", [("cards of bake", 3)]),
        (
            "smallest stores before fit, after bake 5..10",
            "smallest stores",
            [("room before fit", 6), ("room after bake", 6)],
        ),
        ("smallest stores", "smallest stores", [("room before fit", 41)]),
        ("fewest people of fitters 1..3", "fewest people", [("people of fitters", 3)]),
        (
            "least stock by lot of turn 10..30 by 10; cards of turn 1..4",
            "least stock",
            [("lot of turn", 3), ("cards of turn", 4)],
        ),
        ("least lead time by cap of fit", "least lead time", [("cap of fit", 24)]),
        ("least cash 0..1000 by 500", "least cash", [("cash", 3)]),
    ],
)
def test_what_is_to_be_found_is_read_as_it_is_typed(line, text, goal, knobs):
    found, turns = read_asked(text, line)

    assert found.words == goal
    assert [(knob.name, len(knob.values)) for knob in turns] == knobs


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing was read; what is to be found"),
        ("nicest cards", "nicest cards was read; what is to be found"),
        ("fewest cards of weld base", "weld base was read; allowed: 'turn', 'bake'"),
        ("fewest cards turn", "write `fewest cards of PLACE`"),
        ("fewest cards of turn, turn 1..3", "cards of turn is named twice"),
        ("least stock", "by turning what"),
        ("fewest cards of turn 5..1", "holds no values"),
        ("smallest stores before bake", "bake was read; allowed: 'fit'"),
        (
            "fewest cards by cards of turn 1..1000; cards of bake 1..1000",
            r"1,000,000 settings; at most 2,000 .* because more may do worse here",
        ),
    ],
)
def test_what_cannot_be_found_is_said_with_what_can(line, text, said):
    with pytest.raises(CannotSearch, match=said):
        find(line, text, ["on time of pump 95 % within 2 d"])


@pytest.mark.parametrize(("days", "warm"), [(10, 10), (0, 0), (10, -1)])
def test_runs_without_a_day_that_counts_are_refused(line, days, warm):
    with pytest.raises(CannotSearch, match="that are not counted were read"):
        find(line, "fewest cards of turn", days=days, warm_days=warm)


def test_where_more_may_do_worse_the_reasons_are_said(line):
    promises = promises_of(line)

    def against(text, more=""):
        return reasons_against(
            Line.from_text(TEXT.replace(*more) if more else TEXT), read_asked(text, line)[1], promises
        )

    assert reasons_against(base_stock(), read_asked("fewest cards", base_stock())[1], promises) == ()
    assert against("fewest cards of turn") == (
        "several products share the way, and get in each other's",
        "pieces are handed on several at a time",
    )
    assert against("best lots of turn")[0] == "more may do worse: lot of turn"
    lead = (Promise("lead time", 3.0),)
    assert reasons_against(base_stock(), read_asked("fewest cards", base_stock())[1], lead) == (
        "more of it may make worse: lead time",
    )
    two = Line.from_text(line_text([machine("60 s")] * 2, demand="10 /d", more=stores([3])))
    assert reasons_against(two, read_asked("smallest stores", two)[1], promises) == ()
    assert read_asked("least cash", line)[0].promises == (Promise("dry", 0.05),)
    assert reasons_against(line, read_asked("least cash", line)[1], (Promise("dry", 0.05),)) == ()
