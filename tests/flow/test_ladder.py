"""The ladder of lead time: rungs in their order, sub-flows, ways that part, and the longest way through."""

from __future__ import annotations

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.flow.stretches import stretches_of
from pullwright.line import Line


def flow_with(rest: str) -> Flow:
    return flow_of(
        Line.from_text(
            "line: ladder\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\nstations: [{name: bench, machines: 9}]\n"
            + rest
        )
    )


PUMP = """
products: [{name: P, demand: 20 /d, uses: [{part: tube, quantity: 1, at: saw}, {part: seal, quantity: 1, at: saw}]}]
parts: [{name: tube, price: 3 EUR}, {name: seal, price: 1 EUR}]
steps:
  - {name: saw, station: bench, machine: 5 min, value_adding: 80 %}
  - {name: lever, station: bench, after: [], machine: 3 min}
  - {name: assemble, station: bench, after: [saw, lever], manual: 10 min, value_adding: 100 %}
stores:
  - {part: tube, counted: 60}
  - {part: seal, counted: 200}
  - {before: saw, counted: 0}
  - {before: lever, counted: 400}
  - {before: assemble, counted: 10}
  - {after: assemble, counted: 30}
moves:
  - {from: receiving, to: saw, distance: 11 m}
  - {from: saw, to: assemble, distance: 22 m, speed: 1.1 m/s, handling: 40 s}
  - {from: lever, to: assemble, distance: 5.5 m}
  - {from: assemble, to: shipping, distance: 33 m}
"""


def test_a_piece_waits_moves_and_is_worked_on_in_the_order_of_its_way() -> None:
    flow = flow_with(PUMP)
    main, lever = flow.ladder.chains
    day = flow.day.value
    assert [(rung.kind, rung.name, pytest.approx(rung.time.value)) for rung in main.rungs] == [
        ("waiting", "seal", 200 / 20 * day),  # of the parts of the first step, the one that lies longest
        ("moving", "receiving to saw", 10),
        ("waiting", "before saw", 0),
        ("touch", "saw", 300),
        ("moving", "saw to assemble", 22 / 1.1 + 40),
        ("waiting", "before assemble", 10 / 20 * day),
        ("touch", "assemble", 600),
        ("waiting", "after assemble", 30 / 20 * day),
        ("moving", "assemble to shipping", 30),
    ]
    assert [rung.name for rung in lever.rungs] == ["before lever", "lever", "lever to assemble"]


def test_lead_touch_and_value_of_the_main_flow() -> None:
    flow = flow_with(PUMP)
    ladder, day = flow.ladder, flow.day.value
    assert ladder.touch.value == 900
    assert ladder.value.value == pytest.approx(0.8 * 300 + 600)
    assert ladder.lead.value == pytest.approx((200 + 10 + 30) / 20 * day + 900 + 10 + 60 + 30)
    assert ladder.lead_days.value == pytest.approx(ladder.lead.value / day)
    assert ladder.efficiency.value == pytest.approx(840 / ladder.lead.value)


def test_the_longest_way_goes_through_the_sub_flow_and_waits_where_it_joins() -> None:
    flow = flow_with(PUMP)
    day = flow.day.value
    sub_flow = 400 / 20 * day + 180 + 5
    joined = 10 / 20 * day + 600 + 30 / 20 * day + 30
    assert flow.ladder.longest.value == pytest.approx(sub_flow + joined)


def test_ways_that_part_count_what_they_had_together() -> None:
    flow = flow_with("""
products: [{name: plain, demand: 20 /d}, {name: fine, demand: 10 /d}]
steps:
  - {name: saw, station: bench, machine: 5 min}
  - {name: pack, station: bench, machine: 2 min, for: [plain]}
  - {name: polish, station: bench, machine: 9 min, after: [saw], for: [fine]}
stores:
  - {before: saw, counted: 60}
  - {before: pack, counted: 0}
  - {before: polish, counted: 100}
  - {after: pack, counted: 0}
  - {after: polish, counted: 0}
""")
    main, fine = flow.ladder.chains
    day = flow.day.value
    assert fine.chain.leaves == 0
    assert main.lead.value == pytest.approx(60 / 30 * day + 300 + 120)
    assert fine.lead.value == pytest.approx(100 / 10 * day + 540)
    assert flow.ladder.longest.value == pytest.approx(60 / 30 * day + 300 + fine.lead.value)


def test_a_stretch_is_what_lies_between_two_works() -> None:
    flow = flow_with(PUMP)
    main = flow.ladder.chains[0]
    stretches = stretches_of(main)
    assert [(stretch.name, stretch.touch) for stretch in stretches] == [
        ("before saw", False), ("saw", True), ("before assemble", False), ("assemble", True), ("after assemble", False),
    ]  # fmt: skip
    assert sum(stretch.time.value for stretch in stretches) == pytest.approx(main.lead.value)
    assert stretches[-1].step is None


def test_a_product_of_half_the_value_counts_by_its_share() -> None:
    flow = flow_with("""
products: [{name: A, demand: 30 /d}, {name: B, demand: 10 /d}]
steps:
  - name: work
    station: bench
    elements:
      - {what: do, manual: 4 min, kind: value}
      - {what: do twice, manual: 4 min, kind: value, for: [B]}
      - {what: look, manual: 1 min, kind: needed}
""")
    assert flow.ladder.value.value == pytest.approx((30 * 240 + 10 * 480) / 40)
    assert flow.ladder.touch.value == pytest.approx((30 * 300 + 10 * 540) / 40)
