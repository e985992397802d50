"""What is assumed stands in one table, on the page and in the code."""

from __future__ import annotations

from pathlib import Path

from pullwright.forecast.money import ASSUMED

PAGE = Path(__file__).parents[3] / "docs" / "forecast-money.md"


def test_the_page_shows_the_table_of_the_code():
    text = PAGE.read_text("utf-8")
    table = text[text.index("## What is taken where nobody says") : text.index("It is the table of")]
    rows = [line for line in table.splitlines() if line.startswith("| ") and "---" not in line]

    assert [row for row in rows if row.strip("| ")] == [f"| {key} | {words} |" for key, words in ASSUMED.items()]
