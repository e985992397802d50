"""The docs page says what the code does."""

import doctest
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "figures.md"


def test_the_worked_example_of_the_page_runs_as_printed():
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.attempted >= 10
    assert result.failed == 0
