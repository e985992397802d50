"""What a day can make, for one mix after another."""

from __future__ import annotations

import pytest

from bench.lines import line_text
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.line.quantity import Quantity
from pullwright.pull.sequence.asked_today import pacer_of
from pullwright.pull.sequence.room_of_day import RoomOfDay, WorkingDay


def with_mix(line: Line, counts: list[int], without_set_up: int | None) -> Line:
    products = tuple(
        product.model_copy(update={"demand": Quantity(float(n), "pieces/wd")})
        for product, n in zip(line.products, counts, strict=True)
    )
    steps = list(line.steps)
    if without_set_up is not None:
        steps[without_set_up] = steps[without_set_up].model_copy(update={"set_up": None})
    return line.model_copy(update={"products": products, "steps": tuple(steps)})


@pytest.mark.parametrize(("stations", "seed"), [(5, 2), (8, 3), (10, 4), (14, 5)])
def test_loads_of_a_mix_are_those_of_a_line_from_which_it_is_pulled(stations: int, seed: int) -> None:
    line = Line.from_text(line_text(stations, seed))
    flow = flow_of(line)
    day = WorkingDay.of(line, None)
    room = RoomOfDay(flow, day, pacer_of(flow))
    for counts in ([n % 5 + 3 for n in range(len(line.products))], [7] + [0] * (len(line.products) - 1)):
        loads, _ = room.loads(counts)
        other = flow_of(with_mix(line, counts, room.pacer))

        for station in other.stations:
            has = day.seconds(line.stations[station.index].shifts)
            assert loads[station.name] == pytest.approx(station.load.value * station.available.value / has)
        for crew, people in zip(other.people.crews, line.people, strict=False):
            usual = crew.available.value / crew.number.value
            assert loads[f"crew {crew.name}"] == pytest.approx(crew.load.value * usual / day.seconds(people.shifts))
