"""Hypothesis strategies that several rooms use."""

from __future__ import annotations

from hypothesis import strategies as st

from bench.lines import line_text
from pullwright.line import Line


def line_texts(most_stations: int = 12) -> st.SearchStrategy[str]:
    """Texts of valid, varied line files of 1 to `most_stations` stations."""
    return st.builds(line_text, st.integers(1, most_stations), st.integers(0, 2**32))


def lines(most_stations: int = 12) -> st.SearchStrategy[Line]:
    """Valid, varied lines; a failing one is made again with `line_text(stations, seed)`."""
    return line_texts(most_stations).map(Line.from_text)
