"""Waiting in queue beside exact results of queueing theory: M/M/1, M/M/m (Erlang C), M/G/1 (Pollaczek & Khinchine), departures, lots."""

from __future__ import annotations

from math import factorial

import numpy as np
import pytest

from pullwright.flow import Flow, flow_of
from pullwright.flow.queueing import departure_cv2, waiting_time
from pullwright.line import Line

LOADS = [0.5, 0.6, 0.7, 0.8, 0.9, 0.95]
TE = 600.0  # s


def erlang_c(machines: int, load: float) -> float:
    """Chance that a piece must wait in M/M/m (Erlang 1917), from the definition."""
    offered = machines * load
    last = offered**machines / factorial(machines) / (1 - load)
    return last / (sum(offered**k / factorial(k) for k in range(machines)) + last)


@pytest.mark.parametrize("load", LOADS)
def test_waiting_in_m_m_1_is_exact(load: float) -> None:
    """Wq = u / (1 - u) te."""
    assert waiting_time(1.0, 1.0, load, TE, 1) == pytest.approx(load / (1 - load) * TE)


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("ce2", [0.0, 0.25, 1.0, 4.0])
def test_waiting_in_m_g_1_is_exact(load: float, ce2: float) -> None:
    """Pollaczek & Khinchine: Wq = λ E[S²] / (2 (1 - u))."""
    second_moment = TE**2 * (1 + ce2)
    assert waiting_time(1.0, ce2, load, TE, 1) == pytest.approx(load / TE * second_moment / (2 * (1 - load)))


ERROR_OF_M_M_M = 0.034
"""Sakasegawa's form against Erlang C for m = 2 to 10 and loads from 50 to 95 %: never too short, and at most this part of te too long."""


def test_waiting_in_m_m_m_is_near_erlang_c() -> None:
    exact = {(m, load): erlang_c(m, load) * TE / (m * (1 - load)) for m in range(2, 11) for load in LOADS}
    errors = {(m, load): float(waiting_time(1.0, 1.0, load, TE, m)) - wait for (m, load), wait in exact.items()}
    assert min(errors.values()) >= 0
    assert 0.95 * ERROR_OF_M_M_M < max(errors.values()) / TE <= ERROR_OF_M_M_M
    # Of the waiting itself that is much where hardly anything waits (it doubles at 10 machines and 50 %), and little where it matters.
    assert max(errors[case] / exact[case] for case in exact if case[1] >= 0.9) <= 0.014


@pytest.mark.parametrize("load", LOADS)
def test_departures_of_m_m_1_come_at_random_again(load: float) -> None:
    """Burke 1956: the squared cv of departures is 1."""
    assert departure_cv2(1.0, 1.0, load, 1) == pytest.approx(1.0)


def test_departures_are_those_of_arrivals_at_no_load_and_of_the_station_at_full_load() -> None:
    assert departure_cv2(0.3, 4.0, 0.0, 1) == pytest.approx(0.3)
    assert departure_cv2(0.3, 4.0, 1.0, 1) == pytest.approx(4.0)


def flow_at(load: float, machines: int = 1, time: str = "{mean: 10 min, cv: 1}", more: str = "") -> Flow:
    """A day of 8 h; orders come at random, one at a time."""
    demand = load * machines * 48
    return flow_of(
        Line.from_text(f"""
line: queue
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: P, demand: {demand!r} /d}}]
stations: [{{name: machine, machines: {machines}}}]
steps: [{{name: work, station: machine, machine: {time}{more}}}]
""")
    )


@pytest.mark.parametrize("load", LOADS)
def test_m_m_1_through_a_line_file(load: float) -> None:
    flow = flow_at(load)
    (wait,) = flow.waits
    assert wait.arrival_cv2.value == 1.0
    assert wait.queue.value == pytest.approx(load / (1 - load) * TE)
    assert wait.departure_cv2.value == pytest.approx(1.0)
    # Lq = u² / (1 - u), by Little's law.
    assert wait.pieces.value == pytest.approx(load**2 / (1 - load))


@pytest.mark.parametrize("machines", [2, 5, 10])
def test_m_m_m_through_a_line_file(machines: int) -> None:
    (wait,) = flow_at(0.9, machines).waits
    exact = erlang_c(machines, 0.9) * TE / (machines * 0.1)
    assert wait.queue.value == pytest.approx(exact, rel=0.014)


def test_m_d_1_through_a_line_file() -> None:
    (wait,) = flow_at(0.8, time="10 min").waits
    assert wait.queue.value == pytest.approx(0.8 / 0.2 * TE / 2)


@pytest.mark.parametrize(("arrival", "service"), [(0.25, 0.5), (2.0, 0.5), (0.5, 2.0)])
def test_waiting_in_g_g_1_is_near_a_simulated_queue(arrival: float, service: float) -> None:
    """Not exact here (Kingman 1961 is a limit of heavy traffic): held against Lindley's recursion on gamma times at 90 % load.

    Two million pieces with a fixed seed; the approximation is within a tenth, the simulation itself within about 2 %.
    """
    rng = np.random.default_rng(8)
    count, load = 2_000_000, 0.9
    between = rng.gamma(1 / arrival, arrival / load, count)
    times = rng.gamma(1 / service, service, count)
    steps = times[:-1] - between[1:]
    walk = np.concatenate(([0.0], np.cumsum(steps)))
    waits = walk - np.minimum.accumulate(walk)
    assert waiting_time(arrival, service, load, 1.0, 1) == pytest.approx(float(waits.mean()), rel=0.1)


def test_whole_lots_wait_as_in_a_queue_of_lots() -> None:
    """Lots of k that come at random, worked on piece by piece (M^[k]/D/1): queue of lots with time k te, then (k - 1)/2 te inside the lot.

    The exact wait of batch arrivals (Gross & Harris, Fundamentals of Queueing Theory, from memory): that of a queue whose customers are lots,
    plus the pieces of its own lot before it.
    """
    flow = flow_of(
        Line.from_text("""
line: lots
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: {mean: 40 /d, cv: 0.5}}]
stations: [{name: machine}]
steps: [{name: work, station: machine, machine: 9 min, lot: 10}]
""")
    )
    # A day's demand of 40 with cv 0.5 has variance 400 = ca² x 40: ca² = 10 by pieces, 1 by lots of 10, so lots come at random.
    (wait,) = flow.waits
    load, lot_time = 40 * 9 / 480, 10 * 540.0
    assert wait.arrival_cv2.value == pytest.approx(1.0)
    assert wait.queue.value == pytest.approx(load / (1 - load) * lot_time / 2)
    # Before it is worked on, and after it until its lot goes on whole.
    assert wait.lot.value == pytest.approx(2 * 9 / 2 * 540)
