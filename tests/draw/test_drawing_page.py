"""The page about the drawing says what runs."""

from __future__ import annotations

import doctest
from pathlib import Path


def test_the_example_on_the_page_runs():
    page = Path(__file__).parents[2] / "docs" / "drawing.md"
    result = doctest.testfile(str(page), module_relative=False)
    assert result.attempted > 5
    assert result.failed == 0
