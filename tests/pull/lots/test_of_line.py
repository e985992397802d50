"""The lots of the hand pump line: side by side, what is chosen and why, and what the line file is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright.account import accounts_of
from pullwright.flow import Flow, flow_of
from pullwright.flow.givens import LikelyGivens
from pullwright.line import Line
from pullwright.pull.changes import applied
from pullwright.pull.lots.of_line import Lots, lots_of
from pullwright.pull.plan import plan_of

PUMP = Path(__file__).parents[3] / "examples" / "hand_pump.yaml"


@pytest.fixture(scope="module")
def flow() -> Flow:
    return flow_of(Line.read(PUMP))


@pytest.fixture(scope="module")
def pump(flow: Flow) -> Lots:
    return lots_of(flow)


def test_every_station_that_is_set_up_is_planned(pump: Lots) -> None:
    names = [one.station for one in pump.stations]

    assert names == ["saw", "lathe 1", "honing machine", "welding booth", "lever press", "lathe 2", "paint booth"]
    assert [choice.key for choice in pump.stations[0].choices] == ["today", "interval", "economic", "steady", "chosen"]


def test_a_day_is_production_set_ups_and_nothing_else_at_the_soonest_interval(pump: Lots) -> None:
    for one in pump.stations:
        there, soonest = one.there, one.choice("interval")
        set_ups = there.around.value / soonest.interval.value
        assert there.production.value + set_ups == pytest.approx(there.available.value)
        # In whole pieces, rounded up, set-ups take a little less.
        assert soonest.set_up_time.value <= set_ups * (1 + 1e-9)
        assert soonest.load.value == pytest.approx(
            (there.production.value + soonest.set_up_time.value) / there.available.value
        )


def test_production_and_todays_set_ups_are_the_load_of_the_flow(flow: Flow, pump: Lots) -> None:
    for one in pump.stations:
        loads = {station.name: station.load.value for station in flow.stations}
        assert one.choice("today").load.value == pytest.approx(loads[one.station])


def test_the_shortest_waiting_is_no_longer_than_that_of_any_other_round(pump: Lots) -> None:
    for one in pump.stations:
        steady = one.choice("steady").wait.value
        # Lots are of whole pieces, so that the flat bottom is met only nearly.
        assert all(steady <= one.choice(key).wait.value * 1.02 for key in ("interval", "economic", "chosen"))
        assert one.chosen.wait.value <= steady * 1.2


def test_least_cost_costs_least_and_no_less_than_any_schedule_must(pump: Lots) -> None:
    for one in pump.stations:
        costs = {choice.key: choice.cost.value for choice in one.choices if choice.cost is not None}
        assert min(costs, key=costs.__getitem__) == "economic"
        assert len(one.alone) == len(one.there.made)


def test_shorter_set_ups_buy_shorter_rounds_less_stock_and_less_waiting(pump: Lots) -> None:
    for one in pump.stations:
        rows = sorted(one.shorter, key=lambda row: -row.share)
        for part in ("set_up", "interval", "lot", "stock", "wait"):
            values = [getattr(row, part).value for row in rows]
            assert values == sorted(values, reverse=True)
        assert [row.words for row in one.shorter[:2]] == ["as today", "75 % of it"]


def test_the_best_order_uses_the_quick_change(pump: Lots) -> None:
    lathe = next(one for one in pump.stations if one.station == "lathe 1")

    assert lathe.order == ("P-32", "P-50", "P-40")  # not from P-40 to P-50, which takes 40 min
    assert lathe.there.around.value == 3 * 25 * 60


def test_products_that_nothing_tells_apart_share_one_lot_and_those_with_work_of_their_own_do_not(pump: Lots) -> None:
    made = {one.station: [each.product for each in one.there.made] for one in pump.stations}

    assert made["lever press"] == ["any product"]
    assert made["honing machine"] == ["P-32", "P-40", "P-50"]
    press = next(one for one in pump.stations if one.station == "lever press")
    assert sum(each.started.value for each in press.there.made) == pytest.approx(
        press.there.station.steps[0].started.value
    )


def test_a_loop_of_cards_brings_the_lot_that_is_planned_there(flow: Flow) -> None:
    plan = plan_of(accounts_of(flow.line))
    loops = {card.loop.name: card for card in plan.cards_for_planned_lots.loops}
    for station in plan.lots.stations:
        for made, pieces in zip(station.there.made, station.chosen.pieces, strict=True):
            card = loops[made.loop]
            assert card.loop.ordered == -(-pieces // card.per_card)


def test_the_changes_can_be_written_and_the_new_line_needs_no_more_time_than_planned(flow: Flow, pump: Lots) -> None:
    changed = Line.from_text(applied(flow.line.text, pump.changes))
    after = flow_of(changed, LikelyGivens(changed))

    assert {change.path[-1] for change in pump.changes} == {"lot", "lots", "transfer_lot"}
    planned = {one.station: one.chosen.load.value for one in pump.stations}
    for station in after.stations:
        if station.name in planned:
            # Lots in whole containers take fewer set-ups, never more.
            assert planned[station.name] - 0.1 < station.load.value <= planned[station.name] + 1e-9


def test_lots_are_written_in_whole_containers(flow: Flow, pump: Lots) -> None:
    lots = {
        change.path[1]: change.written
        for change in pump.changes
        if change.path[-1] in ("lot", "lots") and change.written is not None
    }
    hone = next(i for i, step in enumerate(flow.line.steps) if step.name == "hone bore")

    assert all(one["pieces"] % 14 == 0 for one in lots[hone])  # its containers hold 14
    honing = next(one for one in pump.stations if one.station == "honing machine")
    assert all(0 <= one["pieces"] - pieces < 14 for one, pieces in zip(lots[hone], honing.chosen.pieces, strict=True))


def test_numbers_answer_why_down_to_the_line_file(pump: Lots) -> None:
    chosen = next(one for one in pump.stations if one.station == "honing machine").chosen

    why = str(chosen.wait.why())

    assert "steps / hone bore / set_up / time" in why
    assert "study T-014" in why
    assert not chosen.interval.certain  # honing times are not known for sure


def test_crews_have_the_time_that_the_plan_asks_of_them(pump: Lots) -> None:
    assert [crew.name for crew in pump.crews] == ["machining", "metalwork", "finishing"]
    assert all(crew.load.value <= max(0.95, crew.load_today.value) + 1e-9 for crew in pump.crews)
    hands = sum(crew.planned.value for crew in pump.crews)
    assert hands * 256 == pytest.approx(sum(one.chosen.hands.value for one in pump.stations), rel=0.02)
