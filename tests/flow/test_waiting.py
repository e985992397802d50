"""Waiting on a line: how variability, load, lots, loops and shared stations make pieces wait, and how unevenness is passed on."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.flow import Flow, flow_of
from pullwright.flow.queueing import departure_cv2, lot_wait, merged_cv2, thinned_cv2, waiting_time
from pullwright.line import Line
from tests.line_base import BASE

loads = st.floats(0.0, 0.999)
cv2s = st.floats(0.0, 9.0)
machines = st.integers(1, 12)


def flow_with(steps: str, stations: str, demand: str = "{mean: 40 /d, cv: 0.3}", more: str = "") -> Flow:
    return flow_of(
        Line.from_text(
            "line: waiting\n"
            "calendar: {shifts: [{name: day, from: '06:00', to: '14:00'}, {name: late, from: '14:00', to: '22:00'}]}\n"
            f"products: [{{name: P, demand: {demand}}}]\n"
            f"stations: {stations}\nsteps:\n{steps}{more}"
        )
    )


# --- the plain formulas -----------------------------------------------------------------------------------------------


@given(cv2s, cv2s, loads, loads, machines)
def test_waiting_grows_with_load(ca2: float, ce2: float, one: float, other: float, m: int) -> None:
    low, high = sorted((one, other))
    assert waiting_time(ca2, ce2, low, 60.0, m) <= waiting_time(ca2, ce2, high, 60.0, m)


@given(cv2s, cv2s, cv2s, loads, machines)
def test_waiting_grows_with_variability(ca2: float, ce2: float, more: float, load: float, m: int) -> None:
    wait = waiting_time(ca2, ce2, load, 60.0, m)
    assert waiting_time(ca2 + more, ce2, load, 60.0, m) >= wait
    assert waiting_time(ca2, ce2 + more, load, 60.0, m) >= wait


@given(cv2s, cv2s, loads, machines)
def test_more_machines_at_the_same_load_wait_less(ca2: float, ce2: float, load: float, m: int) -> None:
    assert waiting_time(ca2, ce2, load, 60.0, m + 1) <= waiting_time(ca2, ce2, load, 60.0, m)


@given(cv2s, cv2s, machines)
def test_a_queue_that_gets_all_that_it_can_do_has_no_end(ca2: float, ce2: float, m: int) -> None:
    assert waiting_time(ca2, ce2, 1.0, 60.0, m) == math.inf
    assert waiting_time(ca2, ce2, 1.31, 60.0, m) == math.inf


@given(cv2s, cv2s, loads, machines)
def test_departures_are_never_less_than_even(ca2: float, ce2: float, load: float, m: int) -> None:
    assert departure_cv2(ca2, ce2, load, m) >= 0


@given(cv2s, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_thinning_twice_is_thinning_once_by_both(cv2: float, one: float, other: float) -> None:
    assert thinned_cv2(thinned_cv2(cv2, one), other) == pytest.approx(thinned_cv2(cv2, one * other))


@given(cv2s, st.floats(0.1, 9.0), st.floats(0.1, 9.0))
def test_streams_alike_merge_to_one_as_uneven(cv2: float, one: float, other: float) -> None:
    assert merged_cv2([one, other], [cv2, cv2]) == pytest.approx(cv2)


def test_what_never_comes_is_neither_even_nor_uneven() -> None:
    assert merged_cv2([0.0, 0.0], [3.0, 5.0]) == 1.0


def test_pieces_wait_for_their_lot_as_a_walk_through_its_pieces_says() -> None:
    """Every piece of lots of k that come every k / rate, worked on one by one, and leave in lots of n: counted piece by piece."""
    te, rate = 60.0, 1 / 100.0
    for comes, goes in [(1, 1), (10, 10), (12, 4), (4, 12), (1, 11)]:
        count = 12 * 11 * 10
        arrives = [(p // comes) * comes / rate for p in range(count)]
        done: list[float] = []
        for p in range(count):
            done.append(max(arrives[p], done[-1] if done else 0.0) + te)
        waits = [done[(p // goes + 1) * goes - 1] - arrives[p] - te for p in range(count)]
        assert sum(waits) / count == pytest.approx(float(lot_wait(comes, goes, te, rate)))


# --- lines ------------------------------------------------------------------------------------------------------------


def test_more_variation_of_one_step_makes_it_wait_longer_and_passes_on() -> None:
    steps = "  - {{name: a, station: x, machine: {{mean: 20 min, cv: {cv}}}}}\n  - {{name: b, station: y, machine: 20 min}}\n"
    calm, wild = (flow_with(steps.format(cv=cv), "[{name: x}, {name: y}]") for cv in (0.2, 1.5))
    assert wild.waits[0].queue.value > calm.waits[0].queue.value
    assert wild.waits[1].arrival_cv2.value > calm.waits[1].arrival_cv2.value
    assert wild.waits[1].queue.value > calm.waits[1].queue.value


def test_in_a_line_without_losses_the_ladder_is_the_stock_over_the_rate() -> None:
    """Little's law for the whole line: waiting and work on the way = pieces waiting and in work / demand."""
    flow = flow_with(
        "  - {name: a, station: x, machine: {mean: 20 min, cv: 1}, lot: 5}\n  - {name: b, station: y, machine: {mean: 18 min, cv: 2}}\n",
        "[{name: x}, {name: y, machines: 2}]",
    )
    waiting = [stock.held.value for stock in flow.stocks]
    in_work = [station.load.value * station.machines.value for station in flow.stations]
    rate = flow.rates.demand.value / flow.day.value
    assert sum(waiting) + sum(in_work) == pytest.approx(rate * flow.ladder.lead.value)


def test_one_queue_for_all_steps_of_a_station() -> None:
    """Two steps share a machine; pieces wait for it, whichever step they are there for."""
    flow = flow_with(
        "  - {name: first, station: saw, machine: 5 min}\n"
        "  - {name: bend, station: press, machine: 5 min}\n"
        "  - {name: second, station: saw, machine: 10 min}\n",
        "[{name: saw}, {name: press}]",
    )
    first, _, second = flow.waits
    assert first.queue.value == pytest.approx(second.queue.value)
    saw = flow.stations[0]
    # The mix of 5 and 10 min: mean 7.5 min, variance (2.5 min)².
    assert saw.time.value == pytest.approx(450)
    assert saw.cv2.value == pytest.approx((2.5 / 7.5) ** 2)
    assert saw.load.value == pytest.approx(40 * 15 / 960)


def test_unevenness_round_a_loop_is_that_of_the_equations_solved_by_hand() -> None:
    """One station whose pieces come back with chance r (Whitt 1983): ca² = (1 - r) c0² + r (r cd² + 1 - r), cd² = u² ce² + (1 - u²) ca²."""
    flow = flow_with(
        "  - {name: a, station: x, machine: {mean: 15 min, cv: 1.5}, rework: {share: 20 %, to: a}}\n", "[{name: x}]"
    )
    (wait,), (station,) = flow.waits, flow.stations
    u2, r, c0 = station.load.value**2, 0.2, 0.3**2 * 40
    expected = ((1 - r) * c0 + r * (r * u2 * 1.5**2 + 1 - r)) / (1 - r * r * (1 - u2))
    assert station.load.value == pytest.approx(50 * 15 / 960)
    assert wait.arrival_cv2.value == pytest.approx(expected)


def test_a_feedback_queue_of_random_pieces_is_that_of_random_arrivals() -> None:
    """Jackson 1957: random orders, exponential times and pieces that come back by chance wait as in M/M/1 with all visits counted."""
    flow = flow_with(
        "  - {name: a, station: x, machine: {mean: 15 min, cv: 1}}\n"
        "  - {name: b, station: y, machine: {mean: 10 min, cv: 1}, rework: {share: 30 %, to: a}, scrap: 10 %}\n",
        "[{name: x}, {name: y}]", demand="30 /d",
    )  # fmt: skip
    for wait, station in zip(flow.waits, flow.stations, strict=True):
        u = station.load.value
        assert wait.arrival_cv2.value == pytest.approx(1.0)
        assert wait.queue.value == pytest.approx(u / (1 - u) * station.time.value)


def test_flows_that_meet_in_assembly_count_by_sets_and_not_by_pieces() -> None:
    """Four bolts to one frame: the bolts are not four times as important for how unevenly assembly is fed."""
    flow = flow_with(
        "  - {name: frame, station: x, machine: {mean: 20 min, cv: 1}}\n"
        "  - {name: bolt, station: y, after: [], machine: {mean: 5 min, cv: 1}}\n"
        "  - {name: assemble, station: z, machine: 10 min, after: [frame, {step: bolt, quantity: 4}]}\n",
        "[{name: x}, {name: y}, {name: z}]",
    )
    frame, bolt, assemble = flow.waits
    assert assemble.arrival_cv2.value == pytest.approx((frame.departure_cv2.value + bolt.departure_cv2.value / 4) / 2)


def test_a_step_done_at_two_stations_waits_as_its_pieces_do() -> None:
    flow = flow_with(
        "  - {name: a, station: quick, machine: {mean: 20 min, cv: 1}, also_at: [{station: slow, share: 25 %, times: 2}]}\n",
        "[{name: quick}, {name: slow}]", demand="40 /d",
    )  # fmt: skip
    quick, slow = flow.stations
    assert slow.time.value == pytest.approx(2 * quick.time.value)
    # Random orders stay random when they are split by chance (Burke 1956).
    expected = sum(
        share * station.load.value / (1 - station.load.value) * station.time.value
        for share, station in ((0.75, quick), (0.25, slow))
    )
    assert flow.waits[0].queue.value == pytest.approx(expected)


def test_attended_work_takes_longer_too_where_the_step_does() -> None:
    flow = flow_with(
        "  - {name: a, station: quick, manual: 10 min, also_at: [{station: slow, share: 25 %, times: 2}]}\n",
        "[{name: quick}, {name: slow}]",
    )
    on_stations = sum(station.rate.value * station.time.value for station in flow.stations)
    assert flow.people.attended[0].value == pytest.approx(on_stations)


def test_a_station_that_works_one_shift_of_two_makes_pieces_wait_twice_as_long_by_the_clock_of_the_line() -> None:
    steps = "  - {name: a, station: x, machine: {mean: 8 min, cv: 1}}\n"
    whole = flow_with(steps, "[{name: x}]", demand="80 /d")
    half = flow_with(steps, "[{name: x, shifts: [day]}]", demand="40 /d")
    assert half.stations[0].load.value == pytest.approx(whole.stations[0].load.value)
    assert half.waits[0].queue.value == pytest.approx(2 * whole.waits[0].queue.value)


def test_whole_lots_have_one_set_up_each_and_that_is_no_variation() -> None:
    """Lots of 10 with a set-up before each: a lot takes 10 x te for certain, however much te differs from piece to piece."""
    flow = flow_with(
        "  - {name: a, station: x, machine: 10 min, lot: 10, set_up: {time: {mean: 30 min, cv: 0}}}\n", "[{name: x}]"
    )
    (wait,), (station,) = flow.waits, flow.stations
    assert station.time.value == pytest.approx(13 * 60)
    assert station.cv2.value > 0
    # Orders with a cv of 0.3 a day come in lots of 10 with ca² = 0.3² x 40 / 10; nothing else varies.
    ca2, u = 0.09 * 40 / 10, station.load.value
    assert wait.queue.value == pytest.approx(ca2 / 2 * u / (1 - u) * 10 * 13 * 60)


def test_pieces_wait_until_as_many_are_there_as_are_carried_at_a_time() -> None:
    steps = "  - {name: a, station: x, machine: 10 min}\n  - {name: b, station: y, machine: 10 min}\n"
    moves = "moves: [{from: a, to: b, distance: 20 m, batch: 9}]\n"
    one, nine = (flow_with(steps, "[{name: x}, {name: y}]", more=more) for more in ("", moves))
    takt = 960 * 60 / 40
    assert one.waits[0].lot.value == 0
    assert nine.waits[0].lot.value == pytest.approx((9 - 1) / 2 * takt)
    assert nine.waits[1].lot.value == pytest.approx((9 - 1) / 2 * 600)


def test_a_weekly_cv_swings_the_week_and_not_the_day() -> None:
    """{mean: 200 /week, cv: 0.2} is 40 a day in the long run; the week's variance of 1600 is eight times that of orders at random."""
    steps = "  - {name: a, station: x, machine: 10 min}\n"
    weekly = flow_with(steps, "[{name: x}]", demand="{mean: 200 /week, cv: 0.2}")
    assert weekly.rates.demand.value == pytest.approx(40)
    assert weekly.waits[0].arrival_cv2.value == pytest.approx((0.2 * 200) ** 2 / 200)


@pytest.mark.parametrize(("shape", "cv"), [("exponential", 1.0), ("constant", 0.0)])
def test_a_shape_with_one_cv_has_it_where_nothing_is_said(shape: str, cv: float) -> None:
    given_as = flow_of(Line.from_text(BASE.replace("60 s", f"{{mean: 600 s, distribution: {shape}}}")))
    said = flow_of(Line.from_text(BASE.replace("60 s", f"{{mean: 600 s, cv: {cv:g}}}")))
    assert given_as.waits[0].queue.value == said.waits[0].queue.value
