"""Laws of the flow arithmetic that hold whatever the line."""

from __future__ import annotations

import copy
import json
import math
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pullwright.figure import Figure
from pullwright.flow import Flow, flow_of
from tests.flow.generated_lines import Line, as_text, line_dicts, lines

Law = Callable[[Flow], None]
LAWS: list[Law] = []
few = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


def law(holds: Law) -> Law:
    """One of the laws that are tried on every line."""
    LAWS.append(holds)
    return holds


def flow_from(plain: dict[str, Any]) -> Flow:
    return flow_of(Line.from_text(as_text(plain), name="generated.yaml"))


def below(figures: list[Figure]) -> list[Figure]:
    """These figures and all that they are made from, each once."""
    found: dict[int, Figure] = {}
    waiting = list(figures)
    while waiting:
        figure = waiting.pop()
        if id(figure) not in found:
            found[id(figure)] = figure
            waiting += figure.inputs
    return list(found.values())


def rewritten(value: Any, change: Any, path: tuple[Any, ...] = ()) -> Any:
    """The same plain values with `change(path, value)` in place of every leaf and mapping for which it is not None."""
    changed = change(path, value)
    if changed is not None:
        return changed
    if isinstance(value, dict):
        return {key: rewritten(item, change, (*path, key)) for key, item in value.items()}
    if isinstance(value, list):
        return [rewritten(item, change, (*path, k)) for k, item in enumerate(value)]
    return value


def scaled(text: str, factor: float) -> str:
    number, unit = text.split(" ", 1)
    return f"{float(number) * factor!r} {unit}"


# --- loads ------------------------------------------------------------------------------------------------------------


@few
@given(line_dicts())
def test_load_grows_in_step_with_demand(plain: dict[str, Any]) -> None:
    def twice(path: tuple[Any, ...], value: Any) -> Any:
        demand = len(path) > 2 and path[0] == "products" and path[2] == "demand"
        return scaled(value, 2.0) if demand and isinstance(value, str) and "/" in value else None

    one, two = flow_from(plain), flow_from(rewritten(plain, twice))
    for before, after in zip(one.stations, two.stations, strict=True):
        assert after.load.value == pytest.approx(2 * before.load.value)
        assert after.content.value == pytest.approx(before.content.value)  # the bar is that of one unit
    assert two.people.paid.value == pytest.approx(one.people.paid.value) or two.people.assumed
    for i, attended in one.people.attended.items():
        assert two.people.attended[i].value == pytest.approx(2 * attended.value)


@few
@given(line_dicts())
def test_loads_do_not_hang_on_the_length_of_a_second(plain: dict[str, Any]) -> None:
    def twice(path: tuple[Any, ...], value: Any) -> Any:
        time = isinstance(value, str) and re.fullmatch(r"[0-9.]+ (s|min|h)", value)
        return scaled(value, 2.0) if time else None

    plain = copy.deepcopy(plain)
    plain["calendar"] = {"shifts": [{"name": "early", "from": "00:00", "to": "08:00"}]}
    for station in plain["stations"]:
        station.pop("shifts", None)
    longer = rewritten(plain, twice)
    longer["calendar"]["shifts"][0]["to"] = "16:00"
    one, two = flow_from(plain), flow_from(longer)
    for before, after in zip(one.stations, two.stations, strict=True):
        assert after.load.draws == pytest.approx(before.load.draws)
        assert after.cv2.draws == pytest.approx(before.cv2.draws)
    for before_wait, after_wait in zip(one.waits, two.waits, strict=True):
        assert after_wait.total.draws == pytest.approx(2 * before_wait.total.draws)
        assert after_wait.pieces.draws == pytest.approx(before_wait.pieces.draws)


@law
def the_bar_of_a_station_over_takt_is_its_load(flow: Flow) -> None:
    for station in flow.stations:
        assert station.content.value / flow.takt.value == pytest.approx(station.load.value)
        assert sum(figure.value for figure in station.segments.values()) == pytest.approx(station.content.value)


@law
def effective_time_of_a_piece_times_pieces_is_the_work_of_the_day(flow: Flow) -> None:
    """Two ways to the same number: the times of single pieces after Factory Physics, and the hours of the day summed by purpose."""
    for station in flow.stations:
        work = sum(np.broadcast_to(figure.draws, (1000,)) for figure in station.work.values())
        assert np.broadcast_to(station.time.draws * station.rate.draws, (1000,)) == pytest.approx(work)


@few
@given(line_dicts(), st.data())
def test_adding_a_loss_never_lowers_a_load(plain: dict[str, Any], data: st.DataObject) -> None:
    step = data.draw(st.integers(0, len(plain["steps"]) - 1))
    worse = copy.deepcopy(plain)
    if "scrap" not in worse["steps"][step] and "first_pass_yield" not in worse["steps"][step]:
        worse["steps"][step]["scrap"] = "9 %"
    name = worse["steps"][step]["station"]
    for station in worse["stations"]:
        if station["name"] == name:
            station.setdefault("breakdowns", {"between": "3 h", "repair": "30 min"})
    before, after = flow_from(plain), flow_from(worse)
    for one, two in zip(before.stations, after.stations, strict=True):
        assert two.load.value >= one.load.value * (1 - 1e-12)
    assert after.made.value <= before.made.value * (1 + 1e-12)


@law
def what_can_be_made_loads_nobody_above_what_they_have(flow: Flow) -> None:
    limits = [*flow.stations, *(() if flow.people.assumed else flow.people.crews)]
    for one in limits:
        assert (one.load.draws * flow.made.draws).max() <= 1 + 1e-9
    assert 0 <= flow.made.value <= 1
    assert flow.shipped.value == pytest.approx(flow.made.value * flow.rates.demand.value)
    assert flow.keeps_up == (not flow.overloads())


@law
def the_indicators_of_a_station_agree_with_its_load_and_with_one_another(flow: Flow) -> None:
    for station, found in zip(flow.stations, flow.indicators, strict=True):
        if station.available.value > 0:
            assert found.allocation.value == pytest.approx(station.load.value * flow.made.value)
        assert found.oee.value == pytest.approx(
            found.availability.value * found.effectiveness.value * found.quality.value
        )
        assert found.net_effectiveness.value >= found.oee.value * (1 - 1e-12)
        for figure in found.all():
            assert figure.draws.min() >= -1e-12
            assert figure.draws.max() <= 1 + 1e-9, figure.name
        if station.work and station.load.value > 0 and flow.made.value > 0:
            assert found.quality.value + found.scrap_ratio.value + found.rework_ratio.value == pytest.approx(
                1, abs=1e-9
            )


# --- people -----------------------------------------------------------------------------------------------------------


@law
def the_crews_do_all_the_attended_work_and_no_more(flow: Flow) -> None:
    people = flow.people
    attended = sum(figure.value for figure in people.attended.values())
    assert sum(crew.work.value for crew in people.crews) == pytest.approx(attended, rel=1e-6)
    for i, kinds in people.by_step.items():
        if kinds:
            assert sum(figure.value for figure in kinds.values()) == pytest.approx(people.attended[i].value)
            assert sum(crew.shares.get(i, 0.0) for crew in people.crews) == pytest.approx(1.0, abs=1e-6)


@law
def people_who_are_only_assumed_are_enough_and_limit_nothing(flow: Flow) -> None:
    if flow.people.assumed:
        (crew,) = flow.people.crews
        assert crew.load.value <= 1 + 1e-9
        assert flow.bottleneck in flow.stations


# --- yields, waiting, lead time ---------------------------------------------------------------------------------------


@law
def rolled_throughput_yield_lies_between_nothing_and_all(flow: Flow) -> None:
    rolled = flow.rolled_throughput_yield
    assert rolled.draws.min() >= 0
    assert rolled.draws.max() <= 1 + 1e-12


@law
def the_rungs_of_a_ladder_add_up_to_its_lead_time(flow: Flow) -> None:
    ladder = flow.ladder
    for chain in ladder.chains:
        assert sum(rung.time.value for rung in chain.rungs) == pytest.approx(chain.lead.value)
        touch = sum(rung.time.value for rung in chain.rungs if rung.kind == "touch")
        assert touch == pytest.approx(chain.touch.value)
        assert 0 <= chain.value.value <= chain.touch.value * (1 + 1e-9)
    assert ladder.longest.value >= ladder.lead.value * (1 - 1e-12)
    assert 0 <= ladder.efficiency.value <= 1


@law
def stock_predicted_is_waiting_times_rate(flow: Flow) -> None:
    """Little's law, place by place: L = λ W (Little 1961)."""
    for wait, step in zip(flow.waits, flow.rates.steps, strict=True):
        rate = step.started.value * flow.made.value / flow.day.value
        if rate > 0 and math.isfinite(wait.total.value):
            assert wait.pieces.value == pytest.approx(rate * wait.total.value)
        assert wait.total.value == pytest.approx(wait.queue.value + wait.lot.value)


@law
def stock_held_is_what_is_needed_and_what_is_beyond_where_there_is_enough(flow: Flow) -> None:
    for stock in flow.stocks:
        if math.isfinite(stock.needed.value) and stock.held.value >= stock.needed.value:
            assert stock.beyond.value == pytest.approx(stock.held.value - stock.needed.value)
        elif math.isfinite(stock.held.value):
            assert stock.beyond.value == 0


# --- figures ----------------------------------------------------------------------------------------------------------


@law
def no_two_figures_of_a_line_have_the_same_name(flow: Flow) -> None:
    named = flow.figures()
    assert all(name == figure.name for name, figure in named.items())
    names = [figure.name for figure in below(list(named.values()))]
    assert len(set(names)) == len(names)


@law
def every_figure_can_be_said_and_none_is_not_a_number(flow: Flow) -> None:
    for figure in flow.figures().values():
        assert not np.isnan(figure.draws).any()
        assert figure.text()
    assert flow.verdict().endswith(".")


@law
def every_why_ends_in_the_line_of_the_file_that_holds_the_field(flow: Flow) -> None:
    rows = flow.line.text.splitlines()
    for figure in below(list(flow.figures().values())):
        if figure.inputs:
            assert figure.formula, figure.name
            continue
        source = figure.source
        assert source is not None, figure.name
        assert source.kind in ("line file", "study", "count", "common practice", "computed"), source.kind
        if source.kind in ("line file", "study", "count"):
            assert source.file == "generated.yaml"
            assert source.line is not None
            field = source.text.split(" / ")[-1]
            assert f'"{field}"' in rows[source.line - 1], (source, rows[source.line - 1])


def as_sure(path: tuple[Any, ...], value: Any) -> Any:
    """The value that stands for what is not known for sure."""
    if not isinstance(value, dict):
        return None
    if "likely" in value:
        return value["likely"]
    if "count" in value:
        return f"{value['count'] / value['of']!r}"
    if "readings" in value:
        seconds = [float(reading.split()[0]) for reading in value["readings"]]
        mean = sum(seconds) / len(seconds)
        return {"mean": f"{mean!r} s", "cv": repr(float(np.std(seconds, ddof=1)) / mean)}
    return None


@few
@given(line_dicts())
def test_the_value_of_a_figure_is_that_of_a_line_known_for_sure(plain: dict[str, Any]) -> None:
    unsure = flow_from(plain)
    sure = flow_from(rewritten(rewritten(plain, as_sure), as_sure))
    values = {name: figure.value for name, figure in sure.figures().items()}
    for name, figure in unsure.figures().items():
        assert figure.value == pytest.approx(values[name], rel=1e-6, abs=1e-9), name
        assert figure.certain or figure.draws.shape == (1000,)
    for figure in sure.figures().values():
        assert figure.certain


@settings(few, max_examples=75)
@given(lines())
def test_every_law_holds_whatever_the_line(line: Line) -> None:
    """To work out a line takes longer than to try the laws: each is tried on every line that is made."""
    flow = flow_of(line)
    for holds in LAWS:
        holds(flow)


def test_no_law_is_left_out() -> None:
    assert len(LAWS) == 13


def test_the_generator_makes_the_lines_that_these_laws_are_about() -> None:
    """A law that is only tried on tame lines says little: all that a line may have turns up."""
    seen: set[str] = set()

    @settings(max_examples=150, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck))
    @given(line_dicts())
    def look(plain: dict[str, Any]) -> None:
        if seen >= {*wanted, *found}:
            return  # All turned up: to work out further lines shows nothing more.
        text = json.dumps(plain)
        seen.update(word for word in wanted if f'"{word}"' in text)
        flow = flow_from(plain)
        seen.add("keeps up" if flow.keeps_up else "cannot keep up")
        seen.update("loop" for way in flow.rates.ways if way.backs)
        seen.update(
            "side branch" for way in flow.rates.ways for k in way.sets if way.sets[k].name.startswith("sets wanted")
        )
        seen.update("zero demand" for rate in flow.rates.products if rate.value == 0)
        seen.update("shared station" for station in flow.stations if len(station.steps) > 1)

    wanted = ["low", "readings", "count", "cv", "set_up", "pairs", "lot", "transfer_lot", "scrap", "first_pass_yield", "to", "also_at",
              "times", "breakdowns", "people", "skills", "after", "quantity", "for", "batch", "uses", "release", "shifts"]  # fmt: skip
    found = ["keeps up", "cannot keep up", "loop", "side branch", "zero demand", "shared station"]
    look()
    assert {*wanted, *found} <= seen
