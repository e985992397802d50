"""Forecasts of lines whose answers are known, and the laws that hold for every line and run."""

from __future__ import annotations

import json
from dataclasses import replace
from math import log

import numpy as np
import pytest

from pullwright.figure import share_of_uncertainty
from pullwright.flow import flow_of
from pullwright.forecast.errors import CannotRun, Stopped, TooMuch
from pullwright.forecast.forecast import Forecast, UnknownOutcome, forecast_of, quick_forecast_of
from pullwright.forecast.layout import layout_of
from pullwright.forecast.plan import orders_a_day
from pullwright.forecast.plant import NEVER
from pullwright.forecast.promised import terms_of
from pullwright.forecast.running import Running
from pullwright.forecast.seen import Seen
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine

DEMO = "examples/hand_pump.yaml"


def queue(per_day: float = 336, more: str = "") -> Line:
    """An M/M/1 queue: 480 a day can be made, exponential times, orders at random."""
    return Line.from_text(line_text([machine("60 s", "exponential")], demand=f"{per_day:g} /d", more=more))


@pytest.fixture(scope="module")
def demo() -> Forecast:
    return forecast_of(Line.read(DEMO), days=40, runs=12, draws=6)


@pytest.fixture(scope="module")
def settled() -> Forecast:
    line = Line.from_text(
        line_text([machine("60 s", "exponential")], demand="336 /d").replace("demand:", "promise: 600 s, demand:")
    )
    return forecast_of(line, days=20, runs=60, long_run=True)


# --- what is known exactly ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "truth"),
    [
        ("throughput", 336.0),
        ("lead time", 60 / 28_800),
        ("response time", 200 / 28_800),
        ("response time, 50 %", 200 * log(2) / 28_800),
        ("promise kept at 95 %", 200 * log(20) / 28_800),
        ("on time", 1 - np.exp(-600 / 200)),
        ("stock in the line", 0.7),
        ("orders waiting", 0.7 / 0.3),
        ("occupied / s0", 0.7),
        ("starved / s0", 0.0),
        ("not asked / s0", 0.3),
        ("made / t0", 336.0),
        ("scrap", 0.0),
    ],
)
def test_the_long_run_of_a_queue_is_that_of_the_theory(settled, name, truth):
    # M/M/1 with load 0.7: time in it exponential with the mean 60 s / 0.3 (exact; Little 1961 for how many; a piece is in the line from when it is begun). 99.9 % of the runs' Student interval.
    found = settled[name]
    off = 3.5 * np.std(found.by_run, ddof=1) / np.sqrt(settled.runs)

    assert found.value == pytest.approx(truth, abs=max(off, 0.02 * truth if "%" in name else 0.0, 1e-12))


def test_the_long_run_of_a_queue_settles_and_nothing_grows(settled):
    assert settled.settles
    assert settled.growing == ()
    assert settled.warm <= settled.warm_up.of // 2


def test_a_line_that_certain_inputs_describe_has_no_ignorance(settled):
    assert settled.draws == 0
    assert settled["throughput"].split is None


# --- laws -------------------------------------------------------------------------------------------------------------


def test_little_s_law_holds_to_the_last_order_in_every_run_of_the_demo_line():
    seen = runs_of_demo()
    day = seen.layout.day

    for run in range(seen.runs):
        took, ended, _ = seen.response[run]
        midnights = np.floor(ended / day) - np.floor((ended - took) / day)
        placed = seen.ordered[run].sum(axis=1)
        shipped_of_day = np.bincount(np.floor((ended - took) / day + 1e-12).astype(int), minlength=seen.days)
        never = ((placed - shipped_of_day) * (seen.days - np.arange(seen.days))).sum()

        # All that wait at the ends of all days are the ends of days that each order waited through.
        assert seen.waiting[run].sum() == midnights.sum() + never


def test_what_lies_in_the_finished_store_is_what_came_less_what_went_in_every_run_of_the_demo_line():
    seen = runs_of_demo()
    came, went = seen.finished.sum(axis=2), seen.shipped.sum(axis=2)

    np.testing.assert_array_equal(seen.lying_by_day[:, :, -2], 64 + np.cumsum(came - went, axis=1))


def test_stock_in_the_line_is_throughput_times_lead_time_in_every_run():
    line = Line.from_text(line_text([machine("60 s", "exponential"), machine("60 s", "exponential")], demand="400 /d"))

    found = forecast_of(line, days=20, runs=20, long_run=True)

    # Little (1961), run by run: the edges are the few pieces under way at the begin and the end of 20 days of 400.
    stock, made, lead = (found[name].each for name in ("stock in the line", "throughput", "lead time"))
    np.testing.assert_allclose(stock, made * lead, rtol=0.02)


def test_the_time_of_every_machine_is_told_in_full(demo):
    for station in ("saw", "honing machine", "packing table"):
        rows = [one.value for name, one in demo.outcomes.items() if name.endswith(f" / {station}") and not name.startswith(("occupied", "scrap", "made"))]  # fmt: skip
        assert len(rows) == 9
        assert sum(rows) == pytest.approx(1.0)


def test_products_add_up_to_the_whole(demo):
    for name in ("throughput", "orders waiting"):
        assert sum(demo[f"{name} / {p}"].value for p in ("P-32", "P-40", "P-50")) == pytest.approx(demo[name].value)


def test_percentiles_rise(demo):
    for name in ("lead time", "response time"):
        found = [demo[f"{name}, {share} %"].value for share in (5, 50, 80, 90, 95)]
        assert found == sorted(found)
        assert (np.diff(demo.curves[name]) >= 0).all()


def test_the_promise_that_95_percent_keep_is_kept_by_95_percent():
    line = Line.from_text(line_text([machine("60 s", "exponential")], demand="400 /d"))
    could = forecast_of(line, days=20, runs=20)["promise kept at 95 %"].value * 28_800
    promised = Line.from_text(
        line_text([machine("60 s", "exponential")], demand="400 /d").replace(
            "demand:", f"promise: {could:.3f} s, demand:"
        )
    )

    assert forecast_of(promised, days=20, runs=20)["on time"].value == pytest.approx(0.95, abs=0.003)


def test_the_number_of_workers_changes_nothing(demo):
    again = forecast_of(Line.read(DEMO), days=40, runs=12, draws=6, workers=3)

    assert {name: one.value for name, one in again.outcomes.items()} == {
        name: one.value for name, one in demo.outcomes.items()
    }
    assert all((one.figure.draws == demo[name].figure.draws).all() for name, one in again.outcomes.items())


def test_another_seed_has_other_luck():
    line = queue()

    assert (
        forecast_of(line, days=5, runs=3, seed=1)["lead time"].value
        != forecast_of(line, days=5, runs=3)["lead time"].value
    )


# --- how sure ---------------------------------------------------------------------------------------------------------


def test_luck_and_ignorance_share_the_spread(demo):
    for one in demo.outcomes.values():
        assert one.split is not None
        assert one.of_chance + one.of_ignorance == pytest.approx(1.0) or one.split.sentence() == "nothing of it varies"


def test_what_is_not_known_of_a_time_shows_as_ignorance_and_what_varies_shows_as_luck():
    guess = "machine: {low: 30 s, likely: 45 s, high: 70 s}, people: 0"
    judged = forecast_of(Line.from_text(line_text([guess], demand="{mean: 300 /d, cv: 0}")), days=5, runs=4, draws=20)
    known = forecast_of(
        Line.from_text(line_text([machine("45 s", "exponential")], demand="300 /d")), days=5, runs=4, draws=20
    )

    assert judged["lead time"].of_ignorance > 0.99
    assert known["lead time"].of_ignorance < 0.5


def test_shares_of_the_spread_name_the_field_that_is_not_known():
    guess = "machine: {low: 30 s, likely: 45 s, high: 70 s}, people: 0"
    found = forecast_of(Line.from_text(line_text([guess], demand="{mean: 300 /d, cv: 0}")), days=5, runs=4, draws=40)

    first = share_of_uncertainty(found["lead time"].figure)[0]

    assert first.name == "steps / t0 / machine"
    assert first.share > 0.8
    assert "Take 20 readings of steps / t0 / machine" in str(found["lead time"].figure.watch_next()[0])


def test_more_runs_narrow_the_mean_but_not_how_a_stretch_of_days_turns_out():
    few, many = (forecast_of(queue(), days=5, runs=runs)["lead time"] for runs in (10, 160))

    assert many.mean_high - many.mean_low < 0.5 * (few.mean_high - few.mean_low)
    assert many.high - many.low > 0.6 * (few.high - few.low)


def test_runs_are_added_until_the_headlines_are_as_sure_as_was_wished():
    line = Line.from_text(
        line_text([machine("60 s", "exponential")], demand="440 /d").replace("demand:", "promise: 600 s, demand:")
    )

    found = forecast_of(line, days=2, half_width=0.04)

    assert 20 < found.runs < 200
    assert found.reached
    assert found["on time"].mean_high - found["on time"].mean_low <= 0.08


def test_runs_that_are_too_few_for_the_wish_are_said_to_be():
    found = forecast_of(queue(432), days=2, runs=25, half_width=0.01)

    assert found.runs == 25
    assert not found.reached
    assert any("25 runs do not make the headlines as sure" in note for note in found.notes)


def test_one_run_is_not_taken_for_sure():
    found = forecast_of(queue(), days=2, runs=1)["throughput"]

    assert (found.mean_low, found.mean_high) == (0.0, np.inf)


# --- why --------------------------------------------------------------------------------------------------------------


def test_every_answer_says_why_down_to_the_fields_of_the_file(demo):
    for name, figure in demo.figures().items():
        assert figure.name == name
        assert figure.formula
        assert "12 runs of 40 working days from today, seed 0, event kernel" in str(figure.source)
    why = str(demo["on time"].figure.why())
    assert "products / P-32 / promise: 8 d [line file" in why
    assert "study T-014" in why
    json.dumps(demo["on time"].figure.why().as_dict())


def test_a_figure_has_one_draw_for_each_draw_of_the_inputs(demo):
    figure = demo["stock in the line"].figure

    assert figure.draws.size == 6
    assert all(one.draws.size in (1, 6) for one in figure.inputs)
    low, high = figure.interval()
    assert low < figure.value < high


def test_an_unknown_answer_names_the_one_that_was_meant(demo):
    with pytest.raises(UnknownOutcome, match="did you mean throughput"):
        demo["througput"]


# --- what does not settle -----------------------------------------------------------------------------------------------


def test_a_line_that_cannot_keep_up_is_run_for_what_it_is_and_says_what_grows():
    found = forecast_of(queue(600), days=40, runs=10)

    grows = {one.name: one.rate.value for one in found.growing}
    assert not found.settles
    assert grows["orders waiting"] == pytest.approx(120, rel=0.05)
    assert found["throughput"].value == pytest.approx(480, rel=0.02)


def test_a_pile_that_moves_through_the_line_does_not_grow():
    line = Line.from_text(
        line_text(
            [machine("20 s"), machine("30 s")],
            demand="{mean: 400 /d, cv: 0}",
            more="stores: [{before: t1, counted: 9000}]\n",
        )
    )

    assert forecast_of(line, days=20, runs=4).growing == ()


def test_the_warm_up_of_a_pile_is_cut_in_the_long_run():
    line = Line.from_text(
        line_text(
            [machine("40 s"), machine("50 s", "cv: 0.5")],
            demand="400 /d",
            more="stores: [{before: t1, counted: 3000}]\n",
        )
    )

    today, later = forecast_of(line, days=20, runs=8), forecast_of(line, days=40, runs=8, long_run=True)

    assert today["stock in the line"].value > 500
    assert later.warm >= 15
    assert later["stock in the line"].value < 60


# --- bad input ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"days": 0}, "days of 0 was read; working days from 1"),
        ({"days": -5}, "days of -5 was read"),
        ({"days": 2.5}, "days of 2.5 was read"),
        ({"runs": 0}, "runs of 0 was read"),
        ({"runs": float("nan")}, "runs of nan was read"),
        ({"draws": -1}, "draws of -1 was read"),
        ({"draws": 1}, "one draw cannot tell"),
        ({"seed": -1}, "seed of -1 was read"),
        ({"workers": 0}, "workers of 0 was read"),
        ({"half_width": 0.0}, "a half-width of 0 was read"),
        ({"level": 95}, "a level of 95 was read"),
    ],
)
def test_numbers_out_of_bounds_are_refused_with_what_is_allowed(asked, said):
    with pytest.raises(ValueError, match=said):
        forecast_of(queue(), **asked)


@pytest.mark.parametrize("asked", [{"days": 10_000_000, "runs": 1}, {"days": 1000, "runs": 500_000}])
def test_what_would_not_fit_into_memory_is_refused_before_anything_runs(asked):
    with pytest.raises(TooMuch, match=r"GB of memory.*run (\d|fewer days)"):
        forecast_of(queue(), **asked)


def test_a_line_that_nobody_orders_from_is_refused():
    layout = layout_of(queue())
    nobody = replace(layout, plant=layout.plant._replace(order_stream=np.array([NEVER])))

    with pytest.raises(CannotRun, match="nobody orders anything: give a product a demand above 0"):
        orders_a_day(nobody)


def test_days_that_are_too_few_for_the_promise_are_said_to_be():
    found = forecast_of(Line.read(DEMO), days=5, runs=3, draws=0)

    assert "on time" not in found.outcomes
    assert any("P-50 is promised in 10 working days: too few days are run" in note for note in found.notes)


# --- while it runs --------------------------------------------------------------------------------------------------------


def test_progress_rises_to_the_whole():
    told: list[tuple[int, int]] = []

    forecast_of(queue(), days=2, runs=40, workers=1, progress=lambda done, whole: told.append((done, whole)))

    assert [done for done, _ in told] == sorted({done for done, _ in told})
    assert told[-1] == (40, 40)


def test_a_forecast_that_is_asked_to_stop_stops():
    asked = iter([False, True])

    with pytest.raises(Stopped):
        forecast_of(queue(), days=2, runs=400, workers=1, stop=lambda: next(asked, True))


def test_a_quick_forecast_gives_the_same_answers_as_the_same_runs_of_a_whole_one(demo):
    quick = quick_forecast_of(Line.read(DEMO), days=40, runs=12)

    assert quick["on time"].value == demo["on time"].value
    assert quick["on time"].split is None
    assert quick.outcomes.keys() == demo.outcomes.keys()


def runs_of_demo() -> Seen:
    line = Line.read(DEMO)
    flow = flow_of(line)
    return Running(seed=4, workers=1).run(layout_of(line), terms_of(flow, flow.givens), range(8), warm=0, days=40)
