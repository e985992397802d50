"""The made-up lines that other tests rest on: valid, repeatable, and rich enough to mean something."""

from __future__ import annotations

from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.lines import line_text
from pullwright.line import Line
from tests.effort import turns
from tests.strategies import line_texts


@given(line_texts())
def test_every_made_up_line_is_a_valid_line(text: str) -> None:
    assert Line.from_text(text).invented


@given(st.integers(1, 20), st.integers(0, 2**32))
def test_the_same_seed_makes_the_same_line(stations: int, seed: int) -> None:
    assert line_text(stations, seed) == line_text(stations, seed)


@pytest.mark.parametrize("stations", [1, 30, 300])
def test_a_made_up_line_has_the_stations_that_were_asked_for(stations: int) -> None:
    assert len(Line.from_text(line_text(stations, 1)).stations) == stations


def test_thirty_stations_are_read_and_checked_in_a_moment() -> None:
    texts = [line_text(30, seed) for seed in range(9)]
    Line.from_text(texts[0])  # the first one imports the parser
    assert median(turns(lambda text=text: Line.from_text(text)) for text in texts) < 15


def test_made_up_lines_have_everything_that_a_line_file_can_say() -> None:
    everything = [Line.from_text(line_text(12, seed)) for seed in range(60)]
    steps = [step for line in everything for step in line.steps]
    ways = {step.release.by for step in steps if step.release is not None}
    assert ways == {"push", "cards", "cap", "order"}
    assert any(len(line.route.chains) > 1 for line in everything)
    assert any(len(line.route.alike()) > 1 for line in everything)
    for holds in (
        "elements",
        "manual",
        "set_up",
        "rework",
        "also_at",
        "asked",
        "first_pass_yield",
        "for_",
        "after",
        "watched",
    ):
        assert any(getattr(step, holds) for step in steps), holds
    for part in ("stores", "moves", "people", "floor", "money", "pressure", "standard", "studies", "samples"):
        assert any(getattr(line, part) for line in everything), part
    for known in ("text", "judged", "readings", "study", "counts"):
        assert any(
            quantity is not None and quantity.given == known
            for step in steps
            for quantity in (step.manual, step.scrap, *(element.manual for element in step.elements))
        ), known
