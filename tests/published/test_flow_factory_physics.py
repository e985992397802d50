"""Flow arithmetic beside Hopp & Spearman, Factory Physics (2nd ed. 2000), from memory; every value recomputed from its definition."""

from __future__ import annotations

import pytest

from pullwright.figure import Source, given
from pullwright.flow import Flow, effective, flow_of
from pullwright.flow.cases import Cases, bottleneck_rate, cases, raw_process_time
from pullwright.line import Line

BOOK = "Hopp & Spearman, Factory Physics"

# Chapter 8, two machines with natural time 15 min, c0² 0.05 (variance 11.25 min²) and exponential repairs:
# running time between failures (min), time to repair (min), availability, te (min), ce².
OUTAGES = [(744.0, 248.0, 0.75, 20.0, 6.25), (114.0, 38.0, 0.75, 20.0, 1.0)]


@pytest.mark.parametrize(("between", "repair", "availability", "te", "ce2"), OUTAGES)
def test_effective_times_of_the_two_machines(
    between: float, repair: float, availability: float, te: float, ce2: float
) -> None:
    """Chapter 8: the machine with rare long stops is far worse than the one with short frequent ones, at the same availability."""
    assert effective.availability(between, repair) == availability
    mean, variance = effective.with_outages(15.0, 0.05 * 15.0**2, between, repair, 1.0)
    assert mean == pytest.approx(te)
    # From the definition: variance of the natural time / A² + (mr² + σr²)(1 - A) t0 / (A mr).
    definition = 11.25 / 0.75**2 + (repair**2 + repair**2) * 0.25 * 15 / (0.75 * repair)
    assert variance == pytest.approx(definition)
    assert variance / mean**2 == pytest.approx(ce2)


@pytest.mark.parametrize(("between", "repair", "availability", "te", "ce2"), OUTAGES)
def test_effective_times_of_the_two_machines_through_a_line_file(
    between: float, repair: float, availability: float, te: float, ce2: float
) -> None:
    flow = flow_of(
        Line.from_text(f"""
line: one machine
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: P, demand: 20 /d}}]
stations:
  - name: machine
    breakdowns: {{between: {between} min, repair: {{mean: {repair} min, cv: 1}}}}
steps:
  - {{name: work, station: machine, machine: {{mean: 15 min, cv: {0.05**0.5!r}}}}}
""")
    )
    (machine,) = flow.stations
    assert machine.up is not None
    assert machine.up.value == pytest.approx(availability)
    assert machine.time.value == pytest.approx(te * 60)
    assert machine.cv2.value == pytest.approx(ce2)
    assert machine.load.value == pytest.approx(20 * te / 480)


# --- chapter 7 --------------------------------------------------------------------------------------------------------

BALANCED = [(2.0, 1)] * 4  # four stations of 2 h
UNBALANCED = [(2.0, 1), (5.0, 2), (10.0, 6), (3.0, 2)]  # (hours, machines)


def line_of(stations: list[tuple[float, int]]) -> Flow:
    """The same line as a file: 8 h a day, demand at half the bottleneck rate, no variation and nothing counted."""
    rate = min(machines / hours for hours, machines in stations)
    rows = "".join(f"  - {{name: s{k}, machines: {machines}}}\n" for k, (_, machines) in enumerate(stations))
    steps = "".join(
        f"  - {{name: step {k}, station: s{k}, machine: {hours} h}}\n" for k, (hours, _) in enumerate(stations)
    )
    return flow_of(
        Line.from_text(
            "line: chapter 7\n"
            'calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}\n'
            f"products: [{{name: P, demand: {{mean: {rate * 8 / 2} /d, cv: 0}}}}]\n"
            f"stations:\n{rows}steps:\n{steps}"
        )
    )


def cases_at(wip: float, stations: list[tuple[float, int]]) -> Cases:
    source = Source("published", f"{BOOK}, ch. 7")
    return cases(
        given("w", wip, "pieces", source),
        given("rb", bottleneck_rate(stations) / 3600, "pieces/s", source),
        given("T0", raw_process_time(stations) * 3600, "s", source),
    )


@pytest.mark.parametrize(
    ("stations", "rate", "raw", "critical"), [(BALANCED, 0.5, 8.0, 4.0), (UNBALANCED, 0.4, 20.0, 8.0)]
)
def test_bottleneck_rate_raw_time_and_critical_wip(
    stations: list[tuple[float, int]], rate: float, raw: float, critical: float
) -> None:
    """Chapter 7: rb 0.5/h, T0 8 h, W0 4; and rb 0.4/h, T0 20 h, W0 8."""
    assert bottleneck_rate(stations) == rate
    assert raw_process_time(stations) == raw
    found = line_of(stations).cases
    assert found.critical_wip.value == pytest.approx(critical)
    rb = found.critical_wip.inputs[0]
    assert rb.value * 3600 == pytest.approx(rate)


@pytest.mark.parametrize("stations", [BALANCED, UNBALANCED])
@pytest.mark.parametrize("wip", [1, 2, 4, 8, 20])
def test_best_worst_and_practical_worst_case(stations: list[tuple[float, int]], wip: int) -> None:
    """Chapter 7: TH best min(w/T0, rb), practical worst w rb / (W0 + w - 1), worst 1/T0; each keeps w = TH x CT (Little)."""
    rb, t0 = bottleneck_rate(stations), raw_process_time(stations)
    found = cases_at(wip, stations)
    hourly = {case.name: case.throughput.value * 3600 for case in (found.best, found.practical_worst, found.worst)}
    assert hourly["best case"] == pytest.approx(min(wip / t0, rb))
    assert hourly["practical worst case"] == pytest.approx(wip * rb / (rb * t0 + wip - 1))
    assert hourly["worst case"] == pytest.approx(1 / t0)
    for case in (found.best, found.practical_worst, found.worst):
        assert case.throughput.value * case.cycle.value == pytest.approx(wip)


def test_practical_worst_case_of_four_pieces_on_the_balanced_line() -> None:
    """Chapter 7, the penny fab: with w = W0 = 4 the practical worst case makes 4/7 x 0.5 = 0.286 an hour, in 14 h."""
    found = cases_at(4, BALANCED).practical_worst
    assert found.throughput.value * 3600 == pytest.approx(4 / 7 * 0.5)
    assert found.cycle.value / 3600 == pytest.approx(14.0)


def test_a_line_is_held_against_its_cases_with_the_pieces_in_work_counted() -> None:
    """Without variation nothing waits, so the work in process is what is being worked on: demand x T0, half of W0."""
    found = line_of(BALANCED).cases
    assert found.best.throughput.inputs[0].value == pytest.approx(2.0)
    assert found.best.throughput.value * 3600 == pytest.approx(0.25)
