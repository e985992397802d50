"""Indicators of ISO 22400-2:2014 (definitions from memory) on one machine, worked out by hand in minutes of a day."""

from __future__ import annotations

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.line import Line


def flow_of_the_press(demand: float = 135.0) -> Flow:
    return flow_of(
        Line.from_text(f"""
line: one press
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: bracket, demand: {demand} /d}}]
stations:
  - {{name: press, breakdowns: {{between: 90 min, repair: 10 min}}}}
steps:
  - name: bend
    station: press
    machine: 2 min
    watched: 50 %
    set_up: {{time: 10 min}}
    lot: 50
    scrap: 10 %
    rework: {{share: 5 %, time: 4 min}}
people: [{{name: pressers, number: 1}}]
""")
    )


# 135 good pieces a day and 10 % scrap: 150 are started.
PBT = 480.0  # planned busy time: the shift
PQ, SQ, RQ = 150.0, 15.0, 7.5  # produced, scrapped, reworked quantity
GQ = PQ - SQ - RQ  # good the first time
APT = PQ * 2 + RQ * 4  # actual production time: 330, putting right on the spot in it
AUST = PQ / 50 * 10  # actual set-up time: 30
ADET = APT * 10 / 90  # actual delay: a breakdown of 10 min for 90 min of running
AUPT = APT + AUST  # actual processing time
AUBT = AUPT + ADET  # actual busy time
PRI = 2.0  # planned run time per item

BY_HAND = {
    "availability": APT / PBT,
    "effectiveness": PRI * PQ / APT,
    "quality": GQ / PQ,
    "oee": (APT / PBT) * (PRI * PQ / APT) * (GQ / PQ),
    "net_effectiveness": (AUPT / PBT) * (PRI * PQ / APT) * (GQ / PQ),
    "allocation": AUBT / PBT,
    "utilisation": APT / AUBT,
    "set_up_ratio": AUST / AUPT,
    "technical": APT / (APT + ADET),
    "first_pass": GQ / PQ,
    "scrap_ratio": SQ / PQ,
    "rework_ratio": RQ / PQ,
}


@pytest.mark.parametrize("name", BY_HAND)
def test_indicators_of_a_station_as_the_standard_defines_them(name: str) -> None:
    (press,) = flow_of_the_press().indicators
    assert getattr(press, name).value == pytest.approx(BY_HAND[name])


def test_the_values_by_hand_are_the_ones_meant() -> None:
    """The table above cannot be wrong in the same way as the code: these were worked out on paper."""
    assert [round(value, 4) for value in BY_HAND.values()] == [
        0.6875, 0.9091, 0.85, 0.5312, 0.5795, 0.8264, 0.8319, 0.0833, 0.9, 0.85, 0.1, 0.05,
    ]  # fmt: skip


def test_indicators_of_the_line() -> None:
    flow = flow_of_the_press()
    whole = flow.line_indicators
    # Attended: half of 150 x 2 min, 3 set-ups of 10 min, 7.5 pieces put right in 4 min each. Paid: 480 min.
    assert whole.worker_efficiency.value == pytest.approx((150 + 30 + 30) / 480)
    assert whole.throughput.value * 3600 == pytest.approx(135 / 8)
    assert whole.process_ratio.value == pytest.approx(120 / flow.ladder.lead.value)


def test_a_station_that_is_asked_too_much_is_busy_all_the_time_and_no_longer() -> None:
    (press,) = flow_of_the_press(270).indicators
    assert press.allocation.value == pytest.approx(1.0)
    assert press.oee.value == pytest.approx(BY_HAND["oee"] / BY_HAND["allocation"])
