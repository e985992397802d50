"""Lines fit their column, and cut words are kept whole elsewhere."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.draw.ink import FAINT, INK, LOOK, PAPER, PENCIL
from pullwright.draw.keys import place_keys
from pullwright.draw.lettering import figure_rows, words
from pullwright.draw.letters import shorten, width_of, wrap


@given(st.text(max_size=80), st.floats(20, 300), st.integers(1, 5), st.booleans())
def test_no_line_is_wider_than_its_column(text, width, most_lines, bold):
    lines = wrap(text, width, 12, most_lines, bold)
    assert len(lines) <= most_lines
    assert all(width_of(line, 12, bold) <= width + 1e-9 for line in lines)


@given(st.text(alphabet="abc WM-é", max_size=60), st.floats(20, 300))
def test_nothing_is_lost_where_there_is_room(text, width):
    assert "".join(wrap(text, width, 12, 100)).replace(" ", "") == text.replace(" ", "")


@given(st.text(max_size=60), st.floats(14, 300))
def test_a_shortened_text_fits(text, width):
    assert width_of(shorten(text, width, 12), 12) <= width + 1e-9


def test_what_is_cut_stays_in_the_title():
    name = "Press the sealed bearing into the left housing and check its running by hand twice"
    rows = words(name, 90, 12, 2)
    assert rows[-1].runs[0].text.endswith("…")
    assert all(row.title == name for row in rows)
    assert all(row.title == "" for row in words("Saw", 90, 12, 2))


@given(st.floats(-1e12, 1e12), st.floats(40, 200))
def test_a_number_is_written_whole_and_inside_its_column(scenes, value, width):
    figure = scenes.Fake("load", value, "pieces", 0.1)
    rows = figure_rows(figure, "EUR", width)
    written = "".join(run.text for row in rows for run in row.runs).replace(" ", "")
    assert written == figure.text().replace(" ", "")
    assert all(row.width <= width + 1e-6 for row in rows)


@given(st.lists(st.floats(0, 50), min_size=1, max_size=80), st.sets(st.integers(1, 80)))
def test_keys_never_overlap_and_every_piece_has_one(widths, marked):
    edges = [sum(widths[:place]) for place in range(len(widths) + 1)]
    pieces = [(place + 1, edges[place], edges[place + 1]) for place in range(len(widths))]
    right = max(edges[-1], 60.0)
    keys = place_keys(pieces, 0.0, right, frozenset(marked))
    assert [number for key in keys for number in range(key.first, key.last + 1)] == list(range(1, len(widths) + 1))
    for before, after in itertools.pairwise(keys):
        assert before.middle + before.row.width / 2 < after.middle - after.row.width / 2
    assert keys[0].middle - keys[0].row.width / 2 >= -1e-9
    assert keys[-1].middle + keys[-1].row.width / 2 <= right + 1e-9


def _luminance(colour: str) -> float:
    """Relative luminance: WCAG 2.2, definition in the glossary."""
    shares = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_computed_as_defined():
    """Black on white is 21 to 1: WCAG 2.2, glossary, contrast ratio."""
    assert _contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("ground", [PAPER, "#ffffff"])
def test_letters_and_marks_can_be_read(ground):
    """4.5 to 1 for text, 3 to 1 for what has to be seen: WCAG 2.2, success criteria 1.4.3 and 1.4.11."""
    assert min(_contrast(tone, ground) for tone in (INK, PENCIL, LOOK)) >= 4.5
    assert _contrast(FAINT, ground) >= 3
    assert _contrast(PAPER, INK) >= 4.5
