"""Working out a line is quick enough to do it again after every number that somebody changes."""

from __future__ import annotations

from bench.lines import line_text
from pullwright.flow import flow_of
from pullwright.line import Line
from tests.effort import turns, within


def test_thirty_stations_take_a_moment() -> None:
    line = Line.from_text(line_text(30, 1))
    assert turns(lambda: flow_of(line).figures(), times=3) < 30


def test_a_loop_round_two_hundred_steps_takes_seconds_and_not_minutes() -> None:
    count = 200
    stations = "".join(f"  - name: s{k}\n" for k in range(count))
    steps = "".join(f"  - {{name: t{k}, station: s{k}, manual: 8 min}}\n" for k in range(count - 1))
    last = f"  - {{name: last, station: s{count - 1}, manual: 8 min, rework: {{share: 10 %, to: t0}}}}\n"
    line = Line.from_text(
        "line: loop\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        "products: [{name: P, demand: {low: 30 /d, likely: 40 /d, high: 45 /d}}]\n"
        f"stations:\n{stations}steps:\n{steps}{last}"
    )
    with within(2000):
        flow = flow_of(line)
    assert flow.waits[0].arrival_cv2.value > 0
