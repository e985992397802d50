"""The day of a line: what is asked for, what fits, the box, set-ups, evenness, and sentences that say why."""

from __future__ import annotations

import datetime as dt
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.figure import Figure
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.of_line import day_of
from tests.flow.generated_lines import lines
from tests.pull.sequence.sequenced_lines import carts

MONDAY = dt.date(2026, 5, 4)


def counts_of(day: Day) -> dict[str, int]:
    return dict(Counter(day.sequence))


def said(day: Day) -> str:
    return " ".join(day.said)


@pytest.fixture(scope="module")
def usual() -> Day:
    return day_of(carts())


def test_without_orders_a_days_demand_is_made_and_the_box_holds_it(usual: Day) -> None:
    assert counts_of(usual) == {"red": 12, "blue": 8, "green": 4}
    assert sum((Counter(slot.counts) for slot in usual.slots), Counter()) == Counter(usual.sequence)
    assert "No orders are given for a usual Monday: a day's demand is taken, 24 pieces." in usual.said


def test_takt_and_pitch_are_those_of_the_day(usual: Day) -> None:
    assert usual.takt is not None
    assert usual.pitch is not None
    assert usual.takt.value == pytest.approx(440 * 60 / 24)
    assert usual.pitch.value == pytest.approx(4 * 440 * 60 / 24)
    assert usual.pitch_pieces.value == 4
    assert usual.slots[0].start == 6 * 3600 + 600
    assert usual.slots[-1].end == pytest.approx(14 * 3600)


def test_as_many_set_ups_as_the_last_step_with_set_ups_has_time_for(usual: Day) -> None:
    """24 pieces of 15 min leave 80 of 440 min: twenty set-ups of 4 min."""
    assert usual.pacer == "paint"
    assert usual.set_ups.value <= 20
    assert usual.set_up_time.value == usual.set_ups.value * 240 <= 80 * 60
    assert usual.set_ups_in_lots.value == 4  # 6 red, 6 blue, 4 green, 6 red, 2 blue
    assert "The sequence is given to paint, the last step with set-ups" in said(usual)


def test_where_time_is_short_the_day_has_fewer_set_ups_and_says_so() -> None:
    day = day_of(carts(set_up="{time: 16 min}"))

    assert day.set_ups.value == 5  # 80 min
    assert day.trade_off[-1].set_ups > 5
    assert "but paint has no time for more" in said(day)
    assert day.proven


def test_no_more_set_ups_than_are_wished() -> None:
    day = day_of(carts("plan: {day: {set_ups: 3}}"))

    assert day.set_ups.value == 3
    assert "but at most 3 set-ups are wished" in said(day)


def test_fewer_set_ups_than_the_products_need_is_no_plan() -> None:
    with pytest.raises(NoSuchPlan, match="3 products need at least 2"):
        day_of(carts("plan: {day: {set_ups: 1}}"))


def test_set_ups_take_the_time_of_their_pair() -> None:
    day = day_of(carts(set_up="{time: 2 min, pairs: [{from: red, to: blue, time: 5 min}]}"))

    changes = Counter((a, b) for a, b in zip(day.sequence, day.sequence[1:], strict=False) if a != b)
    assert day.set_up_time.value == sum(n * (300 if pair == ("red", "blue") else 120) for pair, n in changes.items())
    assert day.set_up_time.value <= 80 * 60
    names = [figure.name for figure in day.set_up_time.inputs]
    assert "steps / paint / set_up / time" in names


def test_without_set_ups_changing_costs_nothing() -> None:
    flow = carts(set_up="", parts=False)
    line = Line.from_text(flow.line.text.replace(", set_up: {time: 12 min}, lot: 12", ""))

    day = day_of(flow_of(line))

    assert day.pacer is None
    assert day.set_up_time.value == 0
    assert day.squares == pytest.approx(day.at_least)
    assert "changing from product to product costs no time" in said(day)


def test_orders_are_made_in_place_of_the_demand() -> None:
    day = day_of(
        carts(
            "plan: {day: {orders: [{product: blue, pieces: 6}, {product: red, pieces: 5}, {product: blue, pieces: 3}]}}"
        ),
        date=MONDAY,
    )

    assert counts_of(day) == {"blue": 9, "red": 5}
    assert day.asked["blue"].value == 9
    assert {one.name for one in day.asked["blue"].inputs} == {"order 1 / blue", "order 3 / blue"}
    assert day.said[0] == "14 pieces are ordered for Monday 2026-05-04; no order names green, so none of it is made."


def test_orders_above_what_the_day_can_make_wait_and_the_rest_is_even() -> None:
    day = day_of(carts("plan: {day: {orders: [{product: red, pieces: 20}, {product: blue, pieces: 20}]}}"))

    assert sum(day.left_over.values()) > 0
    assert {name: 20 - n for name, n in day.left_over.items()} == counts_of(day)
    assert abs(counts_of(day)["red"] - counts_of(day)["blue"]) <= 1
    # The bench has 440 min and 16 min for each.
    assert len(day.sequence) == 27
    assert "Not all of it fits the day, because bench would be loaded to 145 %" in said(day)
    assert all(day.made[name].value + day.left_over.get(name, 0) == 20 for name in ("red", "blue"))


def test_nothing_asked_for_is_an_empty_box() -> None:
    day = day_of(carts("plan: {day: {orders: [{product: red, pieces: 0}]}}"))

    assert day.sequence == day.slots == ()
    assert day.takt is None
    assert day.squares == 0
    assert "Nothing is asked for: the box is empty." in day.said


def test_one_product_alone_needs_no_mixing() -> None:
    day = day_of(carts("plan: {day: {orders: [{product: red, pieces: 3}], pitch: 2}}"))

    assert day.sequence == ("red",) * 3
    assert day.set_ups.value == 0
    assert "Only one product is made, so there is nothing to mix and nothing to set up for." in day.said
    assert str(day.slots[-1]).endswith("1 red (1 of 2 pieces)")


def test_parts_are_used_evenly_where_that_is_wished() -> None:
    # Time for every set-up, so that evenness alone decides.
    parts = day_of(carts("plan: {day: {by: parts}}", set_up="{time: 1 min}"))
    rate = day_of(carts(set_up="{time: 1 min}"))

    def squares_of_parts(day: Day) -> float:
        return sum(row.mean.value for row in day.uneven if row.kind == "part")

    assert parts.by == "parts"
    assert squares_of_parts(parts) <= squares_of_parts(rate) + 1e-9
    assert counts_of(parts) == counts_of(rate)


def test_parts_that_all_products_use_alike_say_nothing_about_the_order() -> None:
    line = Line.read("examples/hand_pump.yaml")
    text = line.text + "\nplan: {day: {by: parts}}\n"

    day = day_of(flow_of(Line.from_text(text)))

    assert day.by == "rate"
    assert "All products of the day use the same parts" in said(day)
    assert all(row.largest.value == pytest.approx(0, abs=1e-9) for row in day.uneven if row.kind == "part")


def test_without_parts_products_are_made_even_and_that_is_said() -> None:
    day = day_of(carts("plan: {day: {by: parts}}", parts=False))

    assert day.by == "rate"
    assert "No product of the day says which parts it uses" in said(day)


def test_evenness_stands_beside_the_best_possible_and_beside_lots(usual: Day) -> None:
    rows = {(row.kind, row.name): row for row in usual.uneven}

    assert set(rows) == {("product", name) for name in ("red", "blue", "green")} | {
        ("part", name) for name in ("frame", "wheel", "lamp")
    }
    for row in usual.uneven:
        assert row.mean.value <= row.largest.value
        assert row.mean_in_lots.value >= row.mean_at_best.value - 1e-9
    assert rows["part", "frame"].largest.value == pytest.approx(0, abs=1e-9)
    assert rows["product", "red"].largest_in_lots.value > rows["product", "red"].largest.value


def test_every_figure_has_one_name_and_answers_why(usual: Day) -> None:
    figures = usual.figures()

    seen: dict[str, Figure] = {}
    waiting = list(figures.values())
    while waiting:
        figure = waiting.pop()
        assert seen.setdefault(figure.name, figure) is figure
        assert figure.inputs or figure.source is not None
        waiting += figure.inputs
    assert "demand" in str(figures["takt of the day"].why())


def test_fractions_of_a_piece_are_carried_from_day_to_day() -> None:
    flow = carts()
    line = Line.from_text(flow.line.text.replace("demand: 12 /d", "demand: 10.5 /d"))
    flow = flow_of(line)

    days = [day_of(flow, date=dt.date(2026, 1, 5) + dt.timedelta(days=n)) for n in (0, 1)]

    assert sum(counts_of(day)["red"] for day in days) == 21
    assert "rounded so that the sum is right" in said(days[0])


def test_on_a_day_off_nobody_works() -> None:
    with pytest.raises(BadPlanInput, match=r"Friday 2026-05-01 was read; .* the next one is Monday 2026-05-04"):
        day_of(carts(), date=dt.date(2026, 5, 1))


def test_a_short_day_makes_less() -> None:
    more = """"""
    flow = carts()
    text = flow.line.text.replace("days_off:", "extra_days: [{on: 2026-05-09, shifts: [short]}]\n  days_off:").replace(
        "  shifts:\n", '  shifts:\n    - {name: short, from: "15:00", to: "17:40", days: []}\n'
    )
    short = day_of(flow_of(Line.from_text(text + more)), date=dt.date(2026, 5, 9))

    # 160 min of 16 min each at the bench.
    assert len(short.sequence) == 10
    assert short.slots[0].start == 15 * 3600


@pytest.mark.parametrize("pitch", ["0.5", "2.5"])
def test_a_pitch_is_whole_pieces(pitch: str) -> None:
    with pytest.raises(BadPlanInput, match=r"plan\.day\.pitch"):
        day_of(carts(f"plan: {{day: {{pitch: {pitch}}}}}"))


def test_without_a_container_pieces_are_asked_for_one_by_one() -> None:
    flow = carts()
    line = Line.from_text(flow.line.text.replace(", container: {holds: 4, floor: 1 m2}", ""))

    day = day_of(flow_of(line))

    assert len(day.slots) == 24
    assert "1 piece (one piece, because no container of finished goods is given) is asked for every" in said(day)


@settings(max_examples=4, deadline=None)
@given(lines(certain=True, most_steps=3), st.integers(0, 30))
def test_whatever_the_line_what_is_made_and_what_waits_is_what_was_asked_for(line: Line, done: int) -> None:
    flow = flow_of(line)
    day = day_of(flow)

    later = day_of(flow, planned=day.sequence, done=day.sequence[:done], frozen=1)

    for plan in (day, later):
        made = counts_of(plan)
        assert {name: made.get(name, 0) + plan.left_over.get(name, 0) for name in plan.asked} == {
            name: round(figure.value) for name, figure in plan.asked.items()
        }
        assert [piece for slot in plan.slots for piece in slot.pieces] == list(plan.sequence)
    assert later.sequence[:done] == day.sequence[:done]


# --- in the middle of the day -----------------------------------------------------------------------------------------


def test_where_nothing_changed_the_plan_stays(usual: Day) -> None:
    day = day_of(carts(), planned=usual.sequence, done=usual.sequence[:7])

    assert day.sequence[:7] == usual.sequence[:7]
    assert counts_of(day) == counts_of(usual)
    assert day.done == 7


def test_frozen_slots_stay_to_their_end_when_an_order_comes_in(usual: Day) -> None:
    orders = (
        "plan: {day: {orders: [{product: red, pieces: 12}, {product: blue, pieces: 8}, {product: green, pieces: 6}]}}"
    )

    day = day_of(carts(orders), planned=usual.sequence, done=usual.sequence[:6], frozen=1)

    assert day.frozen == 6  # two to the end of the slot that is being made, and the next slot of four
    assert day.sequence[:12] == usual.sequence[:12]
    assert counts_of(day) == {"red": 12, "blue": 8, "green": 6}
    assert "6 pieces done and the next 6 pieces stay as they are." in day.said
    assert "2 more green: 6 in place of 4." in day.said


def test_late_in_the_day_what_came_last_waits(usual: Day) -> None:
    orders = (
        "plan: {day: {orders: [{product: red, pieces: 12}, {product: blue, pieces: 8}, {product: green, pieces: 20}]}}"
    )

    day = day_of(carts(orders), planned=usual.sequence, done=usual.sequence[:12])

    assert set(day.left_over) == {"green"}
    assert counts_of(day)["red"] == 12
    assert counts_of(day)["blue"] == 8
    assert "there is not time enough left" in said(day)


def test_the_clock_says_how_much_of_the_day_is_left(usual: Day) -> None:
    late = day_of(carts(), planned=usual.sequence, done=usual.sequence[:12], now=dt.time(12, 0))

    # 120 min are left: seven pieces of 16 min.
    assert len(late.sequence) == 12 + 7
    assert late.slots[-1].end == pytest.approx(14 * 3600)
    assert late.takt is not None
    assert late.takt.value == pytest.approx(120 * 60 / 7)


def test_a_product_that_the_line_does_not_make_cannot_be_done() -> None:
    with pytest.raises(BadPlanInput, match="product 'pink' was read; allowed: red, blue, green"):
        day_of(carts(), done=("pink",))
