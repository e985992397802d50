"""The fit of a whole plan: three sides that add up, and changes that make it fit when they are written into the file."""

from __future__ import annotations

import pytest
from hypothesis import given as given_by
from hypothesis import settings

from pullwright.account import accounts_of
from pullwright.account.ground import Ground
from pullwright.figure import Source, given
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.pull.changes import applied
from pullwright.pull.crew.line_skills import skills_of_line
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.fit.of_means import lessons, more_people
from pullwright.pull.fit.of_plan import Asks, fit_of, possible_of_line
from pullwright.pull.fit.of_stock import deliver_more_often
from tests.strategies import lines


def asked(name, amount, unit):
    return given(f"asked / {name}", float(amount), unit, Source("computed", "the plan"))


@pytest.fixture(scope="module")
def pump():
    flow = flow_of(Line.read("examples/hand_pump.yaml"))
    return flow, possible_of_line(flow)


def by_name(possible):
    return {one.name: one for one in possible}


def changed(text: str, changes) -> Line:
    return Line.from_text(applied(text, changes))


# --- the three sides ---------------------------------------------------------------------------------------------------


def test_without_a_plan_the_sides_are_those_of_the_accounts(pump):
    flow, _ = pump
    fit, accounts = fit_of(flow, [], ()), accounts_of(flow.line, flow)
    assert fit.floor.taken.value == pytest.approx(accounts.floor.whole.value - accounts.floor.unexplained.amount.value)
    assert fit.floor.left.value == pytest.approx(accounts.floor.unexplained.amount.value)
    assert fit.cash.taken.value == pytest.approx(accounts.tied_up.whole.value)
    assert fit.cash.left.value == pytest.approx(48_000)
    assert fit.people.there.value == 9
    assert fit.fits is True


@settings(max_examples=5)
@given_by(lines(5))
def test_whatever_the_line_rows_add_up_to_what_is_taken(line):
    flow = flow_of(line)
    fit = fit_of(flow, [Asks("cards", floor=asked("cards", 2, "m2"), cash=asked("cards", 900, "money"))], ())
    for side in fit.sides:
        assert sum(row.amount.value for row in side.rows) == pytest.approx(side.taken.value)
        if side.left is not None:
            assert side.left.value == pytest.approx(side.there.value - side.taken.value)
    assert fit.sentences


def test_what_the_plan_stands_for_is_counted_once(pump):
    flow, _ = pump
    before, stocks = fit_of(flow, [], ()), {stock.words: stock for stock in flow.stocks}
    asks = Asks(
        "cards before hone bore",
        floor=asked("hone", 4, "m2"),
        cash=asked("hone cash", 2000, "money"),
        instead_of=("before hone bore",),
    )
    after = fit_of(flow, [asks], ())
    held = next(
        one
        for one in Ground(flow).held
        if one.stock is stocks["before hone bore"] or one.stock.words == "before hone bore"
    )
    assert after.cash.taken.value == pytest.approx(
        before.cash.taken.value - held.needed.value - held.beyond.value + 2000
    )
    assert after.floor.taken.value == pytest.approx(before.floor.taken.value - 12 * 0.6 + 4, abs=0.61)
    only_floor = Asks("cards", floor=asked("hone", 4, "m2"), instead_of=("before hone bore",))
    assert fit_of(flow, [only_floor], ()).cash.taken.value == pytest.approx(before.cash.taken.value)


def test_two_parts_of_the_plan_cannot_stand_for_the_same(pump):
    flow, _ = pump
    one = Asks("cards", floor=asked("a", 1, "m2"), instead_of=("carton",))
    with pytest.raises(BadPlanInput, match="both cards and lots ask for floor in place of 'carton'"):
        fit_of(flow, [one, Asks("lots", floor=asked("b", 1, "m2"), instead_of=("carton",))], ())
    with pytest.raises(BadPlanInput, match="stands for 'cartons', and there is no such thing; there are barrel tube"):
        fit_of(flow, [Asks("cards", floor=asked("a", 1, "m2"), instead_of=("cartons",))], ())
    with pytest.raises(BadPlanInput, match="asks for floor in 'm'; allowed: 'm2'"):
        fit_of(flow, [Asks("cards", floor=asked("a", 1, "m"))], ())


def test_what_nobody_has_said_cannot_be_judged():
    text = "line: small\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\nproducts: [{name: pump, demand: 20 /d}]\nstations: [{name: bench}]\nsteps: [{name: fit, station: bench, manual: 60 s}]\n"
    fit = fit_of(flow_of(Line.from_text(text)), [], ())
    assert fit.fits is None
    assert [side.left for side in fit.sides] == [None, None, None]
    assert fit.sentences[0].startswith("Nobody has said how much floor")
    assert "The cash in hand is not given (`money: cash`). Nobody can say whether the plan fits it." in fit.sentences


def test_people_who_are_free_cannot_help_where_they_have_not_learned_it(pump):
    flow, _ = pump
    text = flow.line.text.replace("number: 3, wage: 27", "number: 1, wage: 27")
    narrow = flow_of(Line.from_text(text))
    fit = fit_of(narrow, [], list(more_people(Ground(narrow))))
    assert fit.people.rows[-1].words == "free where they cannot help"
    # Machining has 1 for the work that only it can do.
    assert fit.people.left.value == pytest.approx(-0.557, abs=0.01)
    assert fit.sentences[0].startswith("People give first: 0.557 people are lacking")
    assert {one.name for one, _ in fit.cheapest.made} == {"one more in machining"}


# --- what can be done --------------------------------------------------------------------------------------------------


def test_every_possible_change_gives_something_and_says_what_it_takes_for_granted(pump):
    _, possible = pump
    assert len({one.name for one in possible}) == len(possible)
    names = [figure.name for one in possible for figure in (one.floor, one.people, one.cash, one.yearly) if figure]
    assert len(set(names)) == len(names)
    for one in possible:
        gifts = [figure.value for figure in (one.floor, one.people, one.cash) if figure is not None]
        assert one.teaches or any(value > 0 for value in gifts), one.name
        assert one.assumed, one.name
        assert one.yearly is None or one.yearly.unit == "money/year"


def test_using_up_and_delivering_more_often_leave_what_the_flow_then_needs(pump):
    flow, possible = pump
    names = by_name(possible)
    spout = next(stock for stock in flow.stocks if stock.words == "spout")
    used, often = names["use up the stock of spout"], names["spout in deliveries of 100"]
    assert used.cash.value == pytest.approx(11.80 * (150 - spout.needed.value))
    assert often.cash.value == pytest.approx(11.80 * 50), "half of the hundred that come less at a time"
    assert often.yearly is None
    assert "What a delivery costs is not given" in often.assumed


def test_deliveries_with_a_price_cost_what_comes_more_often():
    line = Line.read("examples/hand_pump.yaml")
    text = line.text.replace(
        "{name: foundry, paid_after: 30 cal d}", "{name: foundry, paid_after: 30 cal d, per_delivery: 40 EUR}"
    )
    flow = flow_of(Line.from_text(text))
    often = by_name(deliver_more_often(Ground(flow)))["piston blank in deliveries of 140"]
    days = flow.givens.working_days("year").value
    assert often.yearly.value == pytest.approx(31 * days * (1 / 140 - 1 / 280) * 40 - 0.16 * often.cash.value)


def test_smaller_lots_are_those_of_a_line_with_smaller_lots(pump):
    flow, possible = pump
    one = by_name(possible)["weld base in lots of 7"]
    other = Ground(flow_of(Line.from_text(set_field(flow.line.text, ("steps", 4, "lot"), 7))))
    here = Ground(flow)
    saved = sum(held.needed.value for held in here.held) - sum(held.needed.value for held in other.held)
    assert one.cash.value == pytest.approx(saved)
    more = sum(figure.value for figure in other.flow.people.attended.values()) - sum(
        figure.value for figure in flow.people.attended.values()
    )
    assert -one.people.value * flow.day.value == pytest.approx(more)


def test_a_loan_costs_the_carrying_rate_and_one_person_a_years_wage(pump):
    flow, possible = pump
    names = by_name(possible)
    assert names["a loan"].yearly.value == pytest.approx(0.16 * names["a loan"].cash.value)
    paid, days = flow.givens.paid_seconds().value, flow.givens.working_days("year").value
    assert names["one more in assembly"].yearly.value == pytest.approx(25 / 3600 * paid * days)
    assert names["rent more floor"].yearly.value == pytest.approx(8.5 * 12)


def test_better_terms_change_the_cash_by_what_is_said(pump):
    flow, possible = pump
    before = accounts_of(flow.line, flow).tied_up.whole.value
    for name in ("a deposit", "customers pay sooner", "foundry is paid later", "box maker is paid later"):
        one = by_name(possible)[name]
        after = accounts_of(changed(flow.line.text, one.written(1))).tied_up.whole.value
        assert before - after == pytest.approx(one.cash.value), name
        assert one.yearly is None


# --- what to do --------------------------------------------------------------------------------------------------------


def test_the_cheapest_changes_make_it_fit_when_they_are_written_into_the_file(pump):
    flow, possible = pump
    asks = [Asks("new machine", floor=asked("machine", 9, "m2"), cash=asked("price", 60_000, "money"))]
    fit = fit_of(flow, asks, possible)
    assert fit.fits is False
    assert [side.name for side in fit.sides if side.short] == ["floor", "cash"]
    for made in (fit.cheapest, fit.fewest):
        assert made.still_short == {}
        assert made.proven
        assert fit.floor.left.value + made.floor.value >= -1e-6
        assert fit.cash.left.value + made.cash.value >= -1e-6
    assert len(fit.fewest.made) <= len(fit.cheapest.made)
    assert fit.cheapest.yearly.value <= fit.fewest.yearly.value
    # Loan and floor can be written at once; stock that is used up is not in the file.
    means = [one for one in possible if one.name in ("a loan", "rent more floor")]
    bought = fit_of(flow, asks, means).cheapest
    assert {one.name: times for one, times in bought.made} == {"a loan": 12, "rent more floor": 4}
    written = fit_of(flow_of(changed(flow.line.text, bought.changes)), asks, ())
    assert written.floor.short == 0
    assert written.cash.short == 0


def test_red_tags_are_taken_out_of_the_file_from_the_last_one_on(pump):
    flow, possible = pump
    tags = [one for one in possible if one.name.startswith("take away")]
    fit = fit_of(flow, [Asks("rack", floor=asked("rack", 14, "m2"))], tags)
    assert [change.path[-1] for change in fit.cheapest.changes] == [2, 1, 0]
    after = changed(flow.line.text, fit.cheapest.changes)
    assert after.floor.red_tagged == ()
    assert fit_of(flow_of(after), [Asks("rack", floor=asked("rack", 14, "m2"))], ()).fits is True


def test_two_lessons_of_one_crew_go_into_one_list_of_skills(pump):
    flow, _ = pump
    text = flow.line.text.replace("number: 3, wage: 27", "number: 1, wage: 27")
    narrow = flow_of(Line.from_text(text))
    found = [one for one in lessons(Ground(narrow), skills_of_line(narrow)) if one.teaches[0] == "assembly"]
    fit = fit_of(narrow, [], list(by_name(found).values()))
    assert len(fit.cheapest.made) >= 2
    (change,) = fit.cheapest.changes
    assert set(change.written) > {"assembly bench", "test rig", "packing table"}
    assert fit.cheapest.unpriced
    assert fit_of(flow_of(changed(text, fit.cheapest.changes)), [], ()).people.short == 0


def test_where_nothing_is_enough_the_nearest_is_told_with_what_is_still_lacking(pump):
    flow, possible = pump
    few = [one for one in possible if one.name.startswith(("take away", "one more"))]
    fit = fit_of(flow, [Asks("hall", floor=asked("hall", 30, "m2"))], few)
    assert fit.cheapest is None
    assert fit.nearest.still_short == {"floor": pytest.approx(24.9 - 9.5, abs=0.01)}
    assert fit.sentences[-1].startswith(
        "No set of these changes makes it fit. The nearest: take the red-tagged broken column drill away"
    )
    assert fit.sentences[-1].endswith("then 15.4 m² are still lacking.")
    assert "none that helps" in fit_of(flow, [Asks("hall", floor=asked("hall", 30, "m2"))], ()).sentences[-1]


def test_changes_to_stock_that_the_plan_stands_for_fall_away(pump):
    flow, possible = pump
    asks = Asks("cards", floor=asked("cards", 30, "m2"), instead_of=("barrel tube",))
    fit = fit_of(flow, [asks], possible)
    assert "use up the stock of barrel tube" in fit.left_out
    assert not any("barrel tube" in one.stocks for one in fit.possible)


def test_more_floor_or_cash_never_makes_a_plan_that_fits_fail(pump):
    flow, _ = pump
    for text in (
        flow.line.text.replace("total: 140 m2", "total: 150 m2"),
        flow.line.text.replace("cash: 48000", "cash: 58000"),
    ):
        assert fit_of(flow_of(Line.from_text(text)), [], ()).fits is True


def test_every_number_answers_why_and_has_a_name_of_its_own(pump):
    flow, possible = pump
    fit = fit_of(flow, [Asks("rack", floor=asked("rack", 14, "m2"))], possible)
    taken = accounts_of(flow.line, flow).figures()
    for name, figure in fit.figures().items():
        assert figure.name == name
        assert figure.inputs or figure.source is not None
        assert name not in taken or taken[name].value == pytest.approx(figure.value)
    assert "stations / saw / floor" in str(fit.floor.left.why())
