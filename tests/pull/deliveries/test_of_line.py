"""The deliveries of a line: what the plan says, why, what is missing, and that its changes can be made."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from pullwright.account.line_accounts import accounts_of
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.changes import applied
from pullwright.pull.deliveries.laid_out import ROWS
from pullwright.pull.deliveries.of_line import Deliveries, deliveries_of
from pullwright.pull.errors import NoSuchPlan

DEMO = (Path(__file__).parents[3] / "examples" / "hand_pump.yaml").read_text("utf-8")
PRICED = (
    DEMO.replace("{name: tube works, paid_after: 30 cal d}", "{name: tube works, paid_after: 30 cal d, per_delivery: 60 EUR}")
    .replace("{name: plate cutter, paid_after: 14 cal d}", "{name: plate cutter, paid_after: 14 cal d, per_delivery: 55 EUR}")
    .replace("{name: foundry, paid_after: 30 cal d}", "{name: foundry, paid_after: 30 cal d, per_delivery: 70 EUR}")
)  # fmt: skip
TRIPS = """
plan:
  deliveries:
    a_week: 3
    trips:
      - {name: round, suppliers: [plate cutter, foundry], per_trip: 60 EUR, carries: 900 kg}
      - {name: odd, suppliers: [rubber works, box maker], per_trip: 50 EUR}
"""


@cache
def of(text: str) -> Deliveries:
    return deliveries_of(flow_of(Line.from_text(text)))


def test_the_tubes_of_the_demo_are_carried_away_and_the_plan_stops_that() -> None:
    tube = of(DEMO).part("barrel tube")
    assert tube.says[0].startswith("barrel tube: 600 come at once and 200 fit: 67 % are carried 45 m away and back")
    assert tube.planned.lot.value == 150
    assert tube.planned.lot.value + tube.planned.on_arrival.value <= 200
    assert tube.planned.share.value < 0.05 < 0.7 < tube.today.share.value


def test_carrying_is_counted_as_in_the_hours_account() -> None:
    """The account takes the lot alone: without what lies there on arrival, and its swing, both say the same time for a piece."""
    accounts = accounts_of(Line.from_text(DEMO))
    (hours,) = [one for one in accounts.ground.carrying if one.name == "carrying away and back a day / barrel tube"]
    share = next(one for one in hours.inputs if one.name.startswith("share without room"))
    today = of(DEMO).part("barrel tube").today
    assert hours.value / share.value == pytest.approx(today.hours.value / today.share.value)


@pytest.mark.parametrize("text", [DEMO, PRICED, PRICED + TRIPS])
def test_rows_add_up_and_savings_are_differences(text: str) -> None:
    plan = of(text)
    for one in plan.suppliers:
        assert tuple(one.rows) == tuple(one.rows_today) == ROWS
        assert one.costs.value == pytest.approx(sum(row.value for row in one.rows.values()))
        assert one.saving.value == pytest.approx(one.costs_today.value - one.costs.value)
    for part in plan.parts:
        for laid in (part.today, part.planned):
            rows = (laid.tied_up, laid.credit, laid.rent, laid.away)
            assert laid.costs.value == pytest.approx(sum(row.value for row in rows))
    assert plan.saving.value == pytest.approx(sum(one.saving.value for one in plan.suppliers))
    assert plan.saved_floor.value == pytest.approx(
        sum(one.today.floor.value - one.planned.floor.value for one in plan.parts)
    )


@pytest.mark.parametrize("text", [DEMO, PRICED + TRIPS])
def test_lots_are_whole_containers_and_no_supplier_comes_more_often_than_wished(text: str) -> None:
    line = Line.from_text(text)
    wished = 5 if line.plan is None else 3
    for part in of(text).parts:
        container = line.parts[part.part].container
        assert container is not None
        assert part.planned.lot.value % container.holds == 0
    assert all(one.a_week.value <= wished + 1e-9 for one in of(text).suppliers)


def test_names_are_unique_and_every_figure_says_why() -> None:
    plan = of(PRICED + TRIPS)
    figures = plan.figures()
    counted = [f for one in plan.suppliers for f in one.figures()]
    counted += [f for one in plan.parts for f in (*one.today.figures(), *one.planned.figures())]
    assert {figure.name for figure in counted} <= set(figures)
    by_name: dict[str, set[int]] = {}
    for figure in counted:
        by_name.setdefault(figure.name, set()).add(id(figure))
    assert all(len(same) == 1 for same in by_name.values())
    assert all(figure.formula or figure.source for figure in figures.values())
    assert "hand_pump" not in str(plan.saving.why()) and "line file: parts / barrel tube" in str(plan.saving.why())  # noqa: PT018


def test_what_is_not_known_for_sure_goes_through() -> None:
    """The honing reject count is a count: so the use of tubes is not certain, and neither is what the plan saves."""
    low, high = of(DEMO).saving.interval()
    assert low < of(DEMO).saving.value < high
    assert of(DEMO).part("barrel tube").planned.lot.certain


def test_the_changes_can_be_made_and_then_nothing_is_left_to_change() -> None:
    plan = of(DEMO)
    assert all(change.because.endswith(".") for change in plan.changes)
    changed = of(applied(DEMO, plan.changes))
    assert changed.part("barrel tube").today.lot.value == 150
    assert changed.changes == ()
    assert changed.says[-1] == "The lots stay as they are."
    assert changed.costs_today.value == pytest.approx(plan.costs.value, rel=0.02)


def test_without_a_price_of_delivery_it_says_up_to_which_price_it_pays() -> None:
    plan = of(DEMO)
    tube = next(one for one in plan.suppliers if one.name == "tube works")
    assert tube.pays_up_to is not None
    # Paying exactly that for a delivery eats up what the plan saves.
    paid = DEMO.replace(
        "{name: tube works, paid", f"{{name: tube works, per_delivery: {tube.pays_up_to.value:.2f} EUR, paid"
    )
    flow = flow_of(Line.from_text(paid))
    today = next(one for one in deliveries_of(flow).suppliers if one.name == "tube works").costs_today.value
    more = tube.costs.value + tube.pays_up_to.value * tube.a_year.value
    assert more == pytest.approx(today, rel=1e-3)
    assert "What a delivery costs is not given: it pays as long as one costs less than 109 EUR." in tube.says


def test_a_price_makes_the_plan_the_cheapest() -> None:
    plan = of(PRICED)
    tube = next(one for one in plan.suppliers if one.name == "tube works")
    assert tube.saving.value > 0
    assert tube.at_least is not None
    assert tube.at_least.value < tube.costs.value


def test_a_container_that_is_larger_than_the_room_says_what_would_do() -> None:
    said = of(DEMO).part("seal set").says[1]
    assert said.endswith("a container of at most 549, or room for 611 would do.")
    smaller = DEMO.replace("container: {holds: 560, floor: 0.4 m2}", "container: {holds: 549, floor: 0.4 m2}")
    assert of(smaller).part("seal set").says[1].endswith("they fit with the 50 that still lie there (in the swings of the use 2.1 % still do not).")  # fmt: skip


def test_a_wish_that_leaves_no_room_says_how_often_would_do() -> None:
    tight = DEMO.replace("counted: 410\n    capacity: 200", "counted: 410\n    capacity: 100")
    said = of(tight + "plan: {deliveries: {a_week: 1}}\n").part("barrel tube").says[1]
    assert "at most 1 a week are wished, which brings 150 at once, and 59 would fit: 3 a week, or room for 191, would do." in said  # fmt: skip
    often = of(tight + "plan: {deliveries: {a_week: 3}}\n").part("barrel tube")
    assert often.planned.lot.value + often.planned.on_arrival.value <= 100


def test_round_trips_are_driven_where_they_pay_and_named_where_a_price_lacks() -> None:
    plan = of(PRICED + TRIPS)
    (trip,) = [one for one in plan.suppliers if one.trip]
    assert (trip.trip, trip.suppliers) == ("round", ("plate cutter", "foundry"))
    assert trip.says[0].startswith("round calls at plate cutter and foundry: ")
    assert any("everybody on odd" in str(one) for one in plan.missing)
    dear = of(PRICED + TRIPS.replace("per_trip: 60 EUR", "per_trip: 600 EUR"))
    assert not any(one.trip for one in dear.suppliers)
    assert "round is not driven: without, a year costs less." in dear.says


def test_what_is_missing_is_named_and_done_without() -> None:
    bare = """
line: bare
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: pump, demand: 20 /d, uses: [{part: seal, quantity: 2, at: fit}]}]
parts: [{name: seal, price: 2 EUR}]
stations: [{name: bench}]
steps: [{name: fit, station: bench, manual: 60 s}]
"""
    plan = of(bare)
    said = " ".join(str(one) for one in plan.missing)
    for field in ("supplier", "capacity", "container", "lead_time", "delivery_lot", "paid_after", "carrying_rate", "floor_rent", "wage"):  # fmt: skip
        assert field in said
    assert plan.changes == ()
    assert plan.part("seal").says[0] == "seal: 40 come at once; how many fit is not known."


def test_nothing_to_deliver_is_said() -> None:
    plan = of(
        'line: none\ncalendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}\nproducts: [{name: pump, demand: 20 /d}]\n'
        "stations: [{name: bench}]\nsteps: [{name: fit, station: bench, manual: 60 s}]\n"
    )
    assert plan.says == ("No part is used: there is nothing to deliver.",)
    assert (plan.costs.value, plan.changes) == (0, ())


def test_a_plan_can_be_kept_within_a_floor() -> None:
    flow = flow_of(Line.from_text(PRICED))
    free = deliveries_of(flow)
    tight = deliveries_of(flow, floor=free.floor.value - 1.0)
    assert tight.floor.value <= free.floor.value - 1.0
    assert tight.costs.value > free.costs.value
    assert tight.worth_of_floor is not None
    assert tight.worth_of_floor.value > 0
    assert deliveries_of(flow, floor=free.floor.value).costs.value == pytest.approx(free.costs.value)
    with pytest.raises(NoSuchPlan, match="it works with"):
        deliveries_of(flow, floor=1.0)
