"""Charts: true to their numbers, safe with any name, honest about what they leave out, readable without colour."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree

import altair
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.draw.charts import (
    Banded,
    Bar,
    ChartError,
    Dot,
    Level,
    Sloping,
    Steps,
    bars,
    dots_in_order,
    lines_with_band,
    press,
    spread,
    steps_over_time,
    weeks_by_station,
)
from pullwright.draw.charts.frame import spread_out
from pullwright.draw.charts.press import _Drawn
from pullwright.draw.charts.thinning import kept
from pullwright.draw.charts.ticks import along, round_ticks, time_ticks
from pullwright.draw.charts.weeks import DENSITIES
from pullwright.draw.ink import FAINT, INK, LOOK, PAPER, PENCIL
from pullwright.line.kinds import KINDS

SVG = "{http://www.w3.org/2000/svg}"
ODD = "saw <b>&\"'\x00\x07\x1b\ud800\ufffe ${t0} t1 " + "\U0001f529"
RNG = np.random.default_rng(5)


def each_kind(name: str = "hone", look: str = "out of place"):
    """One chart of each kind with this name wherever a name goes."""
    common = {"title": name, "caption": name}
    return {
        "steps": steps_over_time([Steps(name, [0, 10, 20], [4, 7, 5])], unit=name, across=name, **common,
                                 levels=[Level(name, 6, look=look)]),
        "dots": dots_in_order([Dot(1, 5.0), Dot(2, 9.0, aside=name), Dot(3, 8.0, look=look)], unit=name, **common,
                              mean=Level(name, 6), band=(5, 7), slope=Sloping((1, 5), (3, 7), name)),
        "bars": bars([Bar(name, 3, 2, 4, look=look), Bar("pack", 1, kind="moving")], unit=name, running=True, **common),
        "spread": spread([4, 5, 5, 6], unit=name, levels=[Level(name, 5.5, look=look)], **common),
        "band": lines_with_band([Banded(name, [1, 2], [3, 3], [2, 2.5], [4, 3.5])], unit=name, across=name, **common),
        "weeks": weeks_by_station([name, "pack"], [name, "w 2"], [[0.5, 0.1], [0.5, float("nan")]], **common),
    }  # fmt: skip


NAMES = ("steps", "dots", "bars", "spread", "band", "weeks")


@cache
def charts():
    """The charts that several tests look at, pressed when the first of them asks."""
    made = each_kind()
    assert tuple(made) == NAMES
    return made


def root_of(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)  # noqa: S314 - made here


def texts_of(svg: str) -> list[str]:
    return ["".join(text.itertext()) for text in root_of(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("kind", NAMES)
@pytest.mark.parametrize("side", ["svg_wide", "svg_narrow"])
def test_a_picture_holds_no_style_no_script_and_no_colour_of_its_own(kind, side):
    svg = getattr(charts()[kind], side)
    assert not re.search(r"style=|<style|<script|href|onload|class=\"(?!pw-drawing)", svg)
    assert set(re.findall(r"#[0-9a-f]{6}", svg)) <= {INK, PENCIL, FAINT, PAPER, LOOK, "#d8d2c4"}
    assert not re.search(r'fill="(?:white|black|steelblue)"|font-family="(?!system-ui)', svg)


@pytest.mark.parametrize("kind", NAMES)
def test_a_picture_is_named_for_who_does_not_see_it_and_its_ids_are_its_own(kind):
    wide, narrow = root_of(charts()[kind].svg_wide), root_of(charts()[kind].svg_narrow)
    ids = [one.get("id") for root in (wide, narrow) for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    for root, width in ((wide, "1120"), (narrow, "358")):
        assert root.get("role") == "img"
        assert root.get("width") == width
        named = root.get("aria-labelledby").split()
        assert [root.findtext(f"{SVG}title"), root.findtext(f"{SVG}desc")] == ["hone", "hone"]
        assert set(named) <= set(ids)


@pytest.mark.parametrize("kind", NAMES)
@pytest.mark.parametrize("side", ["svg_wide", "svg_narrow"])
def test_words_stand_inside_the_picture_and_are_large_enough(kind, side):
    root = root_of(getattr(charts()[kind], side))
    width = float(root.get("width"))
    shift = float(re.match(r"translate\((-?[\d.]+)", root.find(f"{SVG}g").get("transform", "translate(0,0)"))[1])
    for text in root.iter(f"{SVG}text"):
        at = float(text.get("x")) + shift
        wide = len("".join(text.itertext())) * 5.5
        left = {"start": at, "middle": at - wide / 2, "end": at - wide}[text.get("text-anchor", "start")]
        assert left > -1, "".join(text.itertext())
        assert left + wide < width + 12, "".join(text.itertext())
        assert float(text.get("font-size")) >= 11


@pytest.mark.parametrize("kind", NAMES)
def test_colour_comes_with_the_mark_and_a_word_and_not_at_all_where_nothing_is_out_of_place(kind):
    if kind in ("band", "weeks"):
        assert LOOK not in charts()[kind].svg_wide
        return
    svg = charts()[kind].svg_wide
    assert f'fill="{LOOK}">out of place</text>' in svg
    assert f'stroke="{LOOK}" stroke-width="1.9" stroke-linecap="round"/><text' in svg
    assert LOOK not in each_kind(look="")[kind].svg_wide


@pytest.mark.parametrize("kind", NAMES)
def test_any_name_is_text_and_nothing_else(kind):
    chart = each_kind(ODD, ODD)[kind]
    for svg in (chart.svg_wide, chart.svg_narrow):
        root = root_of(svg)
        assert root.findtext(f"{SVG}title").startswith("saw <b>&\"'")
        assert not list(root.iter(f"{SVG}b"))
        assert "t1" not in [text.strip() for text in texts_of(svg)]


def test_the_chart_is_vega_lite_as_its_schema_says(monkeypatch):
    seen = []
    monkeypatch.setattr(press._DRAWN, "of", lambda spec: seen.append(spec) or press._Drawn().of(spec))
    each_kind("other")
    # Checking takes long: layers that say the same but for their numbers are checked once, in one chart.
    layers = {
        str((sorted(one["mark"]), sorted(one["encoding"]), one["mark"]["type"])): one
        for spec in seen
        for one in spec["layer"]
    }
    short = [{**one, "data": {"values": one["data"]["values"][:1]}} for one in layers.values()]
    assert {one["mark"]["type"] for one in short} == {"line", "rule", "text", "point", "rect", "area"}
    altair.LayerChart.from_dict({"$schema": altair.SCHEMA_URL, **seen[0], "layer": short}, validate=True)
    assert altair.SCHEMA_VERSION.startswith(f"v{press.VEGA_LITE}.")


def test_steps_go_level_until_the_next_change_and_up_to_where_they_end():
    chart = steps_over_time([Steps("in the line", [0, 10], [2, 4], until=20)], title="WIP", unit="pieces")
    (path,) = [
        [tuple(map(float, point.split(","))) for point in re.split("[ML]", one.get("d"))[1:]]
        for one in root_of(chart.svg_wide).iter(f"{SVG}path")
        if one.get("stroke-width") == "1.5"
    ]
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = path[:4]
    assert (y0, x1, y2) == (y1, x2, y3)
    assert x3 - x2 == pytest.approx(x1 - x0, abs=0.02)
    assert chart.table.rows[-1] == ("20", "4 pieces")


def test_bars_are_to_scale_and_their_whiskers_reach_from_low_to_high():
    chart = bars([Bar("a", 0.4, 0.3, 0.5), Bar("b", 0.1, 0.05, 0.2)], title="Shares", unit="share")
    shapes = [one.get("d") for one in root_of(chart.svg_wide).iter(f"{SVG}path") if one.get("fill-opacity") == "0.16"]
    widths = [float(re.search(r"h(-?[\d.]+)", shape)[1]) for shape in shapes]
    assert widths[0] == pytest.approx(4 * widths[1], rel=1e-3)
    lines = [one for one in root_of(chart.svg_wide).iter(f"{SVG}line") if float(one.get("y2", 0)) == 0]
    assert float(lines[0].get("x2")) == pytest.approx(widths[0] / 2, rel=1e-3)
    assert chart.table.rows == (("a", "40 %", "30 to 50"), ("b", "10 %", "5 to 20"))


def test_a_pareto_begins_with_the_largest_and_ends_at_the_whole():
    rows = [Bar(str(value), value) for value in (1, 5, 3, 1)]
    chart = bars(rows, title="Defects", most_first=True, running=True)
    assert [row[0] for row in chart.table.rows] == ["5", "3", "1", "1"]
    assert [row[-1] for row in chart.table.rows] == ["50 %", "80 %", "90 %", "100 %"]


def test_every_kind_of_time_has_its_own_hatch_in_bars():
    chart = bars([Bar(kind.words, 1, kind=kind.key) for kind in KINDS], title="Kinds", prefix="kinds")
    hatches = set(re.findall(r'pattern id="kinds-wide-hatch-([a-z]+)"', chart.svg_wide))
    assert hatches == {kind.key for kind in KINDS} - {"value", "unexplained"}
    assert hatches == set(re.findall(r"url\(#kinds-wide-hatch-([a-z]+)\)", chart.svg_wide))


def test_a_spread_of_few_shows_each_and_of_many_how_many_fall_into_each_class():
    few = spread([1.0, 2.0, 2.0, 3.0], title="Few", unit="d", percentiles=(0.5,))
    assert [row for row in few.table.rows if row[0] == "each of them"] == [
        ("each of them", f"{one} d") for one in "1223"
    ]
    many = spread(RNG.gamma(3, 2, 5000), title="Many", unit="d", percentiles=())
    counts = [int(row[1].split()[0].replace(",", "")) for row in many.table.rows]
    assert sum(counts) == 5000
    assert 6 <= len(counts) <= 60


def test_weeks_that_do_not_fit_go_on_in_a_further_band_and_none_is_lost():
    weeks = [f"w {number}" for number in range(1, 40)]
    chart = weeks_by_station(["hone", "pack"], weeks, RNG.random((2, 39)), title="Held")
    assert texts_of(chart.svg_narrow).count("hone") > texts_of(chart.svg_wide).count("hone") > 1
    cells = [text for text in texts_of(chart.svg_narrow) if text.isdigit()]
    assert len(cells) == 2 * 39
    assert len(chart.table.rows) == 39


def test_the_number_in_a_field_can_be_read_however_dark_the_field_is():
    def luminance(channels):
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    paper, ink = ([int(tone[at : at + 2], 16) / 255 for at in (1, 3, 5)] for tone in (PAPER, INK))
    for density in DENSITIES:
        field = luminance([p * (1 - density) + i * density for p, i in zip(paper, ink, strict=True)])
        words = luminance(paper if density > 0.5 else ink)
        ratio = (max(field, words) + 0.05) / (min(field, words) + 0.05)
        assert ratio >= 4.5, density  # WCAG 2.2, success criterion 1.4.3


def test_a_hundred_thousand_points_keep_their_peak_and_it_is_said_that_they_were_thinned():
    values = RNG.normal(size=100_000)
    values[61_234] = 99.0
    chart = steps_over_time([Steps("x", np.arange(100_000), values)], title="Many")
    assert "of 100,000 points" in chart.note
    assert len(chart.svg_wide) < 120_000
    assert "99" in [cell for row in chart.table.rows for cell in row]
    assert len(chart.table.rows) <= 240


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=400), st.integers(1, 40))
def test_thinning_keeps_the_least_the_greatest_and_both_ends_in_order(values, stretches):
    row = np.array(values)
    keep = kept(np.arange(len(row), dtype=float), row, stretches)
    assert list(keep) == sorted(set(keep))
    assert (keep[0], keep[-1]) == (0, len(row) - 1)
    assert (row[keep].min(), row[keep].max()) == (row.min(), row.max())


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0, 100), max_size=12))
def test_words_at_line_ends_never_stand_over_one_another_and_keep_their_order(places):
    moved = spread_out(places, 5.0, (0.0, 100.0))
    order = sorted(range(len(places)), key=lambda one: places[one])
    assert all(moved[b] - moved[a] >= 5.0 - 1e-6 for a, b in pairwise(order))


@settings(max_examples=30, deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e9), st.integers(2, 9), st.booleans())
def test_round_ticks_are_inside_evenly_spaced_and_not_too_many(low, span, most, whole):
    ticks = round_ticks(low, low + span, most, whole=whole)
    assert len(ticks) <= most
    assert all(low - 1e-6 * span <= tick <= low + span * (1 + 1e-6) for tick in ticks)
    assert not whole or all(tick == round(tick) for tick in ticks)


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(minutes=20), "06:05"), (timedelta(hours=9), "08:00"), (timedelta(days=5), "4 Mar"),
        (timedelta(days=60), "17 Mar"), (timedelta(days=400), "May 2025"), (timedelta(days=4000), "Jan 2026"),
    ],
)  # fmt: skip
def test_time_is_marked_at_whole_minutes_hours_days_weeks_and_months(span, words):
    start = datetime(2025, 3, 3, 6)
    low, high = along([start, start + span]).at
    ticks = time_ticks(low, high, 8)
    assert 1 < len(ticks) <= 8
    assert words in [said for _, said in ticks]


def test_moments_of_any_make_stand_at_the_same_place():
    naive = datetime(2025, 3, 3, 6)
    aware = naive.astimezone().astimezone(UTC)
    places = [along(row).at[0] for row in ([naive], [aware], np.array(["2025-03-03T06:00"], dtype="datetime64[m]"))]
    assert places[0] == places[1] == places[2]


@pytest.mark.parametrize(
    ("draw", "said"),
    [
        (lambda: steps_over_time([Steps("x", [0, 1], [1, float("inf")])], title="T"), "without end"),
        (lambda: steps_over_time([Steps("x", [1, 0], [1, 1])], title="T"), "not in order"),
        (lambda: steps_over_time([Steps("x", [1], [1, 1])], title="T"), "as many of both"),
        (lambda: steps_over_time([Steps("x", [1], [1])] * 5, title="T"), "told apart without colour"),
        (lambda: steps_over_time([Steps("x", ["May"], [1])], title="T"), "no number"),
        (lambda: bars([Bar("x", -1)], title="T"), "below nothing"),
        (lambda: dots_in_order([Dot(1, float("nan"))], title="T"), "none at all"),
        (lambda: lines_with_band([Banded("x", [1, 2], [1, 1], [1, 1], [1])], title="T"), "different length"),
        (lambda: weeks_by_station(["a"], ["w"], [[-1]], title="T"), "below nothing"),
        (lambda: weeks_by_station(["a"] * 41, ["w"], [[1]] * 41, title="T"), "at most 40"),
        (lambda: along(np.array(["NaT"], dtype="datetime64[s]")), "none"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_refused_with_what_is_allowed(draw, said):
    with pytest.raises(ChartError, match=said):
        draw()


@pytest.mark.parametrize(
    "draw",
    [
        lambda: steps_over_time([], title="T"),
        lambda: steps_over_time([Steps("x", [], [])], title="T"),
        lambda: steps_over_time([Steps("x", [5], [0])], title="T"),
        lambda: dots_in_order([], title="T"),
        lambda: dots_in_order([Dot(1, 0.0)], title="T"),
        lambda: bars([], title="T"),
        lambda: bars([Bar("x", 0.0)], title="T", running=True),
        lambda: spread([], title="T"),
        lambda: spread([3.0, 3.0], title="T"),
        lambda: lines_with_band([], title="T"),
        lambda: lines_with_band([Banded("x", [7], [0], [0], [0])], title="T", unit="share"),
        lambda: weeks_by_station([], [], [], title="T"),
        lambda: weeks_by_station(["a"], [], [[]], title="T"),
    ],
)
def test_nothing_or_next_to_nothing_is_drawn_too(draw):
    chart = draw()
    assert root_of(chart.svg_wide).get("role") == root_of(chart.svg_narrow).get("role") == "img"


def test_drawn_charts_are_kept_within_bounds_and_the_oldest_goes_first():
    drawn = _Drawn(most=2)

    def spec(number):
        return {
            "data": {"values": [{"x": number}]},
            "mark": "point",
            "encoding": {"x": {"field": "x", "type": "quantitative"}},
        }

    first = drawn.of(spec(1))
    assert drawn.of(spec(1)) is first
    for number in (2, 3):
        drawn.of(spec(number))
    assert len(drawn._kept) == 2
    assert drawn.of(spec(1)) is not first
    assert drawn._bytes == sum(map(len, drawn._kept.values()))
    small = _Drawn(most_bytes=1)
    small.of(spec(1))
    small.of(spec(2))
    assert len(small._kept) == 1
    with pytest.raises(ChartError, match="thin its points"):
        drawn.of({"data": {"values": ["x" * 4_000_001]}})
