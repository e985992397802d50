"""The chapters of a story on small logs whose answer is known by hand."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import polars as pl
import pytest

from pullwright.figure import Figure
from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events
from pullwright.watch.log.story import Story, story

from .made_rows import at, booking, figures_of, log_of

Rows = list[dict[str, Any]]


def of(rows: Rows) -> Story:
    return story(decide(log_of(rows)))


def working_days(weeks: int) -> list[int]:
    return [week * 7 + day for week in range(weeks) for day in range(5)]


def steady(weeks: int = 4, **more: Any) -> Rows:
    """Twelve orders a day saw (30 min), then weld (34 min), with 8 min between them; 10 pieces each."""
    rows: Rows = []
    for day in working_days(weeks):
        for k in range(12):
            begin, case = 37.3 * k + 1.7, f"A{day:02d}-{k:02d}"
            rows.append(booking(case, "saw", begin, begin + 30, day, good=10, **more))
            rows.append(booking(case, "weld", begin + 38, begin + 72, day, good=9, scrap=1, **more))
    return rows


def test_work_and_waiting_of_a_step() -> None:
    steps = of(steady()).steps
    saw, weld = steps.of("saw"), steps.of("weld")

    assert saw.touch.value == pytest.approx(1800)
    assert saw.per_piece.value == pytest.approx(180)
    assert weld.waiting.value == pytest.approx(480)
    assert weld.waiting_worked.value == pytest.approx(480)
    assert weld.lot.value == 10
    assert not saw.waiting.known
    assert steps.touch_total == pytest.approx(240 * 64 * 60)
    with pytest.raises(KeyError, match="the log has no step 'hone'"):
        steps.of("hone")


def test_a_visit_booked_in_two_goes_is_one() -> None:
    rows = [booking("A", "saw", 0, 10, good=4), booking("A", "saw", 15, 30, good=6), booking("A", "weld", 40, 50)]
    saw = of(rows).steps.of("saw")

    assert (saw.visits, saw.bookings, saw.touch.value, saw.lot.value) == (1, 2, 1500, 10)


def test_set_ups_are_inferred_from_longer_visits_after_a_change() -> None:
    rng, rows, begin = np.random.default_rng(4), [], 0.0
    for k in range(120):
        product = "PQ"[(k // 3) % 2]
        takes = 10 + float(rng.normal(0, 0.5)) + (6 if k % 3 == 0 else 0)
        rows.append(booking(f"A{k}", "turn", begin, begin + takes, product=product))
        begin += takes + 1
    turn = of(rows).steps.of("turn")

    assert turn.setup_from == "inferred"
    assert turn.setup.low <= 360 <= turn.setup.high
    assert turn.setup_every == pytest.approx(3, abs=0.1)


def test_no_set_up_is_inferred_where_visits_are_alike() -> None:
    rows = [booking(f"A{k}", "turn", 11 * k, 11 * k + 10 + k % 2 / 9, product="PQ"[k // 3 % 2]) for k in range(120)]

    assert of(rows).steps.of("turn").setup_from == ""


def test_set_ups_that_are_booked_are_taken_as_they_are() -> None:
    rows = [booking("A", "turn", 0, 7, kind="set-up"), booking("A", "turn", 7, 30), booking("B", "turn", 30, 50)]
    turn = of(rows).steps.of("turn")

    assert (turn.setup_from, turn.setup.value, turn.setup_every, turn.touch.value) == ("kind", 420, 2, (23 + 20) * 30)


def test_steps_that_run_side_by_side_are_told() -> None:
    rows = [
        booking(f"A{k}", step, 100 * k + begin, 100 * k + begin + 30)
        for k in range(6)
        for step, begin in (("saw", 0), ("weld", 35 - k % 2), ("paint", 34 + k % 2))
    ]
    (pair,) = of(rows).way.parallel

    assert {pair.one, pair.other} == {"weld", "paint"}
    assert (pair.cases, pair.overlapping, pair.either) == (6, 1, 0.5)


def test_the_usual_order_puts_steps_where_most_orders_have_them() -> None:
    ways = [("saw", "weld", "paint")] * 5 + [("saw", "paint")] * 3 + [("saw", "weld", "saw", "weld", "paint")]
    rows = [
        booking(f"A{k}", step, 100 * k + 10 * place, 100 * k + 10 * place + 5)
        for k, way in enumerate(ways)
        for place, step in enumerate(way)
    ]
    way = of(rows).way

    assert [one.step for one in way.order] == ["saw", "weld", "paint"]
    assert way.usual == ("saw", "weld", "paint")
    assert [one.cases for one in way.order] == [9, 6, 9]
    assert {(one.step, one.after, one.cases) for one in way.repeats} == {("saw", "weld", 1), ("weld", "saw", 1)}


def test_load_of_stations() -> None:
    stations = of(steady()).stations
    saw = stations.of("saw")

    assert saw.booked == pytest.approx(240 * 1800)
    assert saw.covered == saw.booked
    assert saw.utilisation == pytest.approx(saw.covered_worked / stations.working_seconds)
    assert (saw.at_once, saw.machines, saw.cases) == (1, 1, 240)
    with pytest.raises(KeyError, match="the log has no station 'lathe'"):
        stations.of("lathe")


def test_one_station_that_is_always_at_work_is_the_bottleneck() -> None:
    rows = [booking(f"A{k}", "hone", 30 * k, 30 * k + 29, day) for day in working_days(2) for k in range(16)]
    rows += [booking(f"B{day}-{k}", "saw", 60 * k, 60 * k + 20, day) for day in working_days(2) for k in range(8)]
    found = of(rows).bottlenecks

    assert found.main == "hone"
    assert [one.station for one in found.weeks] == ["hone", "hone"]
    assert all(one.clear and one.share > 0.95 for one in found.weeks)
    assert found.shifts == 0


def test_a_bottleneck_that_moves_is_seen_to_move() -> None:
    rows: Rows = []
    for day in working_days(4):
        busy, idle = ("hone", "paint") if day < 14 else ("paint", "hone")
        rows += [booking(f"A{day}-{k}", busy, 30 * k, 30 * k + 29, day) for k in range(16)]
        rows += [booking(f"B{day}-{k}", idle, 60 * k, 60 * k + 20, day) for k in range(8)]
    found = of(rows).bottlenecks

    assert [one.station for one in found.weeks] == ["hone", "hone", "paint", "paint"]
    assert found.shifts == 1


def test_what_comes_out_good() -> None:
    yields = of(steady()).yields
    weld = next(one for one in yields.steps if one.step == "weld")

    assert weld.scrap.value == pytest.approx(0.1)
    assert weld.first_pass.value == pytest.approx(0.9)
    assert yields.rolled.value == pytest.approx(1.0 * 0.9)
    assert yields.rolled.low < 0.9 < yields.rolled.high
    assert yields.scrap.value == pytest.approx(240 / 2400)
    assert yields.rework_cases == 0


def test_pieces_done_again_are_no_first_pass() -> None:
    rows = [booking(f"A{k}", "test", 60 * k, 60 * k + 10, good=10) for k in range(10)]
    rows.append(booking("A9", "weld", 700, 710, good=10))
    rows.append(booking("A9", "test", 720, 730, good=10, rework=True))
    test = next(one for one in of(rows).yields.steps if one.step == "test")

    assert (test.rework.value, test.rework.count) == (1 / 11, 11)
    assert test.first_pass.count == 100


def test_a_breakdown_booked_out_over_the_night_is_one() -> None:
    rows = steady()
    (shift,) = of(rows).calendar.shifts
    open_until, opens = (at(second / 60 - 480, day) for second, day in ((shift.end, 1), (shift.start, 2)))
    whole = [
        booking(None, None, 400, None, 1, station="weld", kind="down") | {"end": open_until},
        booking(None, None, None, 40, 2, station="weld", kind="down") | {"start": opens},
        booking(None, None, 200, 230, 8, station="weld", kind="down"),
    ]
    (weld,) = of(rows + whole).breakdowns.stations

    assert weld.count == 2
    assert weld.between.value == pytest.approx(240 * 34 * 60 / 2)
    assert weld.availability == weld.between.value / (weld.between.value + weld.repair.value)


def test_lead_times_of_orders_seen_from_begin_to_end() -> None:
    lead = of(steady()).lead

    assert (lead.all.finished, lead.all.open, lead.all.method) == (240, 0, "order statistics")
    assert lead.all.mean_calendar.value == pytest.approx(72 / 1440)
    assert lead.all.touch_share == pytest.approx(64 / 72)
    assert lead.cases["state"].unique().to_list() == ["finished"]


def test_orders_that_are_not_through_are_counted_as_such() -> None:
    lead = of([*steady()[:-5], booking("A-last", "saw", 440, 460, 25)]).lead

    assert lead.all.open > 0
    assert lead.all.method == "Kaplan-Meier"
    assert lead.cases.filter(pl.col("state") == "open").height == lead.all.open


def test_demand_of_a_working_day() -> None:
    demand = of([row | {"product": "P" if row["case"][-1] in "02468" else "Q"} for row in steady()]).demand

    assert demand.unit == "pieces"
    assert demand.working_days == 20
    assert {one.product: one.finished.value for one in demand.products} == pytest.approx({"P": 54, "Q": 54})
    assert demand.products[0].cv_finished == pytest.approx(0, abs=1e-9)


def test_people_are_counted_and_never_named() -> None:
    people = of([row | {"person": f"Person Quux {row['activity']}"} for row in steady()]).people

    assert (people.says, people.distinct, people.a_day.value) == (True, 2, 2)
    assert "Quux" not in repr(people)


def test_what_to_watch_next_names_what_rests_on_little() -> None:
    few = of([booking(f"A{k}", "saw", 60 * k, 60 * k + 10 * (1 + k % 3)) for k in range(6)]).watch_next

    assert {"calendar", "step", "lead"} <= {one.about for one in few.items}
    assert [one.weight for one in few.items] == sorted((one.weight for one in few.items), reverse=True)
    assert next(one for one in few.items if one.about == "step").more > 0


def test_every_figure_ends_at_a_row_of_the_log() -> None:
    rows = [row | {"person": "Person Quux", "product": "P"} for row in steady(2)]
    rows.append(booking(None, None, 200, 230, 8, station="weld", kind="down"))
    figures = figures_of(decide(log_of(rows, file="pumps.csv")))

    assert {name.split(" / ")[0] for name in figures.every} >= {
        "lead time",
        "steps",
        "stations",
        "products",
        "scrapped",
    }
    for name, figure in figures.every.items():
        assert isinstance(figure, Figure)
        assert figure.source is not None
        readings = figure.source.readings
        assert readings, name
        assert all(one.where.startswith("row ") and one.where.endswith(" of pumps.csv") for one in readings)
        assert "Quux" not in repr(figure.source)
        if figure.draws is not None:
            low, high = np.quantile(figure.draws, [0.05, 0.95])
            assert low - 1e-9 <= figure.value <= high + 1e-9, name
    assert figures.get("steps", "saw", "no such number") is None


def zoned(rows: Rows) -> Events:
    """The same bookings kept in UTC by a terminal in a country that puts its clocks on at the end of March."""
    shifted = []
    for row in rows:
        ahead = 7200 if row["start"] >= dt.datetime(2026, 3, 29, 2) else 3600
        by = dt.timedelta(seconds=ahead)
        shifted.append(row | {"start": row["start"] - by, "end": row["end"] - by, "clock": ahead})
    return log_of(shifted)


def test_clocks_that_were_put_on_change_nothing_on_the_wall() -> None:
    rows = steady(6)  # 2 March to 10 April; the clocks go on on 29 March
    plain, zones = of(rows), story(decide(zoned(rows)))

    assert zones.calendar.calendar == plain.calendar.calendar
    assert zones.lead.all.mean_worked.value == plain.lead.all.mean_worked.value
    assert zones.stations.of("saw").utilisation == plain.stations.of("saw").utilisation
    assert zones.wip.days.equals(plain.wip.days)
