"""The small line that is worked out by hand, as it stands on the page of the accounts."""

from __future__ import annotations

import doctest
from pathlib import Path
from typing import Any

PAGE = Path(__file__).parents[2] / "docs" / "accounts.md"


def bracket_text() -> str:
    """The text of the line file on the page."""
    found: dict[str, Any] = {}
    for example in doctest.DocTestParser().get_examples(PAGE.read_text("utf-8")):
        if example.source.startswith("text ="):
            exec(compile(example.source, str(PAGE), "exec"), found)  # noqa: S102 - our own page
            return str(found["text"])
    raise AssertionError("the page of the accounts shows no line")
