"""The tables of the page about the story of a log are those of the code."""

from __future__ import annotations

from pathlib import Path

from pullwright.watch.log.oddities import CHOICES, ODDITIES
from pullwright.watch.log.story import Story

from .made_rows import CHAPTERS

PAGE = Path(__file__).parents[3] / "docs" / "event_logs_story.md"


def table_rows(head: str) -> list[tuple[str, ...]]:
    """The rows of the table of the page whose first column is called so."""
    lines = PAGE.read_text("utf-8").splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith(f"| {head} |"))
    rows = []
    for line in lines[first + 2 :]:
        if not line.startswith("|"):
            break
        rows.append(tuple(cell.strip() for cell in line.strip("|").split(" | ")))
    return rows


def test_every_oddity_stands_on_the_page_with_its_choices() -> None:
    assert table_rows("Oddity") == [
        (f"`{kind.key}`", kind.question, kind.choices[0], "; ".join(kind.choices[1:]) or "-") for kind in ODDITIES
    ]


def test_every_choice_stands_on_the_page_with_what_it_does() -> None:
    assert table_rows("Choice") == [(choice, sentence) for choice, sentence in CHOICES.items()]


def test_every_chapter_stands_on_the_page() -> None:
    told = [row[0].strip("`") for row in table_rows("Chapter")]

    assert told == list(CHAPTERS[:-1])
    assert all(hasattr(Story, chapter) for chapter in told)
