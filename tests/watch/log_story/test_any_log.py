"""Whatever a log holds, its story is told or a clear sentence said; what is exact is exact on every log."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log.decide import decide
from pullwright.watch.log.laid import Laid
from pullwright.watch.log.oddities import oddities
from pullwright.watch.log.story import story
from pullwright.watch.log.story.levels import MOST_LEVEL, integrals, time_at_levels, unions
from pullwright.watch.log.story.visits import Shop
from pullwright.watch.log.story.way import way_of

from .made_rows import CHAPTERS, booking, figures_of, log_of, told

Row = dict[str, Any]
PEOPLE = ("Person Quux", "Person Zyx")


@st.composite
def odd_rows(draw: st.DrawFn) -> list[Row]:
    rows = []
    for _ in range(draw(st.integers(0, 14))):
        start = draw(st.none() | st.integers(0, 6_000))
        end = draw(st.none() | st.integers(0, 6_000))
        rows.append(
            booking(
                draw(st.sampled_from(["A", "B", "C", None])), draw(st.sampled_from(["saw", "weld", "Saw", None])), start, end,
                station=draw(st.sampled_from(["S 1", "S 2", None])), span=draw(st.none() | st.floats(-10, 1e6)),
                kind=draw(st.sampled_from(["run", "set-up", "down", "other"])), product=draw(st.sampled_from(["P", "Q", None])),
                person=draw(st.sampled_from([*PEOPLE, None])), asked=draw(st.none() | st.integers(0, 20)),
                good=draw(st.none() | st.integers(0, 20)), scrap=draw(st.none() | st.integers(0, 5)),
                rework=draw(st.booleans()), clock=draw(st.sampled_from([0, 3600])),
            )
        )  # fmt: skip
    return rows


@settings(max_examples=25, deadline=None)
@given(odd_rows())
def test_any_small_log_has_a_story_that_names_nobody(rows: list[Row]) -> None:
    events = log_of(rows)
    found = oddities(events)
    decided = decide(events)
    chapters = told(events)

    assert all(one.rows == tuple(sorted(one.rows)) and one.count for one in found)
    assert decided.events.table.height + decided.aside.height == len(rows)
    assert all(isinstance(chapters[name].found, str) for name in CHAPTERS[:-1])
    assert chapters["found"].endswith(".")
    assert chapters["wip"].little.exact_error < 1e-9
    said = repr(chapters) + "".join(one.sentence for one in found)
    assert not any(person in said for person in PEOPLE)
    for figure in figures_of(decided).every.values():
        assert figure.source is not None
        assert not any(person in repr(figure.source) for person in PEOPLE)


SMALL: dict[str, list[Row]] = {
    "no row": [],
    "one row": [booking("A", "saw", 0, 10)],
    "one order": [booking("A", "saw", 0, 10), booking("A", "weld", 20, 30), booking("A", "saw", 40, 50)],
    "no station": [booking(f"A{k}", "saw", k, k + 5, station=None) for k in range(5)],
    "no end at all": [booking(f"A{k}", "saw", k, None) for k in range(5)],
    "no order": [booking(None, "saw", k, k + 5) for k in range(5)],
    "only breakdowns": [booking("A", "saw", k * 10, k * 10 + 5, kind="down") for k in range(5)],
    "no time at all": [booking(f"A{k}", "saw", k, k) for k in range(30)],
}


@pytest.mark.parametrize("name", SMALL)
def test_a_log_with_next_to_nothing_says_so(name: str) -> None:
    events = log_of(SMALL[name])
    chapters = told(events)

    oddities(events)
    figures_of(decide(events)).every  # noqa: B018
    if name in ("no row", "no end at all", "no order", "only breakdowns"):
        assert chapters["found"].startswith("Nothing in this log can be told")
    if name == "no station":
        assert chapters["stations"].found == "The log does not say how loaded any station is."
    if name == "only breakdowns":
        assert chapters["breakdowns"].stations[0].count == 5


@st.composite
def random_rows(draw: st.DrawFn) -> list[Row]:
    seed = draw(st.integers(0, 2**32 - 1))
    rng = np.random.default_rng(seed)
    rows = []
    for _ in range(int(rng.integers(1, 60))):
        start = int(rng.integers(0, 4_000))
        rows.append(
            booking(f"A{rng.integers(6)}", f"step {'abcd'[rng.integers(4)]}", start, start + int(rng.integers(0, 90)))
        )
    return rows


@settings(max_examples=25, deadline=None)
@given(random_rows())
def test_variants_repeats_and_edges_are_those_of_a_plain_loop(rows: list[Row]) -> None:
    way = way_of(Shop(Laid(log_of(rows))).visits)
    ways: Counter[tuple[str, ...]] = Counter()
    back: Counter[tuple[str, str]] = Counter()
    edges: Counter[tuple[str, str]] = Counter()
    for case in {row["case"] for row in rows}:
        mine = sorted((r["start"], r["end"], k, r["activity"]) for k, r in enumerate(rows) if r["case"] == case)
        steps = tuple(step for step, _ in groupby(one[3] for one in mine))
        ways[steps] += 1
        for k in range(1, len(steps)):
            edges[steps[k - 1], steps[k]] += 1
            if steps[k] in steps[:k]:
                back[steps[k - 1], steps[k]] += 1

    assert {one.steps: one.cases for one in way.variants} == dict(ways)
    assert {(one.after, one.step): one.times for one in way.repeats} == dict(back)
    assert {(b, a): n for b, a, n in way.edges.select("before", "after", "times").iter_rows()} == dict(edges)
    assert sum(one.share for one in way.variants) == pytest.approx(1)
    assert way.cases == sum(ways.values())


@settings(max_examples=25, deadline=None)
@given(random_rows())
def test_littles_identity_is_exact_on_any_log_and_the_area_is_a_slow_sum(rows: list[Row]) -> None:
    wip = story(decide(log_of(rows))).wip
    slow = 0.0
    for case in {row["case"] for row in rows}:
        mine = [row for row in rows if row["case"] == case]
        slow += (max(row["end"] for row in mine) - min(row["start"] for row in mine)).total_seconds()

    assert wip.little.exact_error < 1e-9
    if wip.little.from_open == wip.little.from_before == 0 and wip.little.area > 1:
        assert wip.little.area == pytest.approx(slow, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 40), st.integers(0, 15)), max_size=30))
def test_unions_levels_and_integrals_are_those_of_a_slow_count(spans: list[tuple[int, int, int]]) -> None:
    group, start, length = (np.array([one[k] for one in spans], np.int64) for k in range(3))
    end = start + length
    levels = np.zeros((3, MOST_LEVEL + 1))
    going = np.zeros((3, 60), int)
    for g, s, n in spans:
        going[g, s : s + n] += 1
    for g in range(3):
        for tick in range(60):
            levels[g, going[g, tick]] += going[g, tick] > 0

    assert (time_at_levels(group, start, end, 3) == levels).all()
    who, begin, until = unions(group, start, end)
    for g in range(3):
        assert (until - begin)[who == g].sum() == (going[g] > 0).sum()
    assert integrals(start, end, np.arange(61)).tolist() == pytest.approx(going.sum(0).tolist(), abs=1e-9)
