"""A line file drafted from the log of a shop: every number with its source rows, every guess with a comment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .draft_names import safe_text
from .draft_shop import DraftError, shop_of
from .draft_text import Page, written

if TYPE_CHECKING:
    from .decide import Decided
    from .draft_shop import Storied

__all__ = ["Draft", "DraftError", "draft_line"]

READINGS = 60
"""So many readings of a step are written down at most; where there are more, they are picked evenly over the log."""
ALL_READINGS = 6_000
"""So many readings are written down in a whole file at most."""
LONGEST = 900_000
"""A line file has at most 1,000,000 bytes; a draft leaves room for what is written into it by hand."""


@dataclass(frozen=True)
class Draft:
    """A drafted line file: its text, and in sentences what it left out and what has to be filled in by hand.

    `steps`, `stations` and `products` say what each of the log is called in the file.
    """

    text: str
    left_out: tuple[str, ...]
    to_fill_in: tuple[str, ...]
    steps: dict[str, str]
    stations: dict[str, str]
    products: dict[str, str]


def draft_line(story: Storied, decided: Decided, *, name: str = "") -> Draft:
    """Which line does this log show? Its calendar, products, stations and steps as a line file to go on from.

    Parameters: `story`, what was found in the log; `decided`, the log that it was made from; `name`, what the line is to
    be called (after the file where nothing is said). Returns the text of a line file that reads as it stands. Times are
    readings of the log, `READINGS` a step at most; nothing is taken for value-adding, because no log knows what the
    customer pays for. Errors: DraftError where the log gives no line (no order, no step), with what is missing.
    """
    from pullwright.line import Line, LineFileError

    shop = shop_of(story, decided)
    title = safe_text(name, 70) or f"Line of {safe_text(decided.source.file, 60)}"
    most = max(3, min(READINGS, ALL_READINGS // max(1, len(shop.steps))))
    while True:
        page: Page = written(shop, story, decided, title, most)
        if len(page.text.encode()) <= LONGEST or most == 0:
            break
        most = most // 2 if most > 3 else 0
    try:
        Line.from_text(page.text, name="the draft")
    except LineFileError as error:
        raise DraftError(
            f"no line file can be made of {safe_text(decided.source.file, 80)}: {error}. Leave out or merge steps, stations or products, and draft again."
        ) from error
    return Draft(page.text, tuple(page.left_out), tuple(page.to_fill_in), shop.step_names, shop.station_names, shop.product_names)  # fmt: skip
