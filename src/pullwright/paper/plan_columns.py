"""How wide the columns of a table of the plan are, and what gives where they have no room side by side: first the place of the intervals, then the intervals, then columns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Form = Literal["beside", "under", "plain"]
"""An interval stands beside its number, under it, or is left out."""
GUTTER = 1.0
BAR = 8.0
"""The least width of the bars, in letters' sizes (em) like all widths here."""
_FIRST, _WORDS, _LOOK = 7.0, 6.0, 6.5
"""What words get at least, where they are longer than that: in the first column, in others, and where something is out of place."""
TRIED: tuple[tuple[Form, float], ...] = (
    ("beside", 14.0), ("under", 14.0), ("under", 9.0), ("plain", 9.0), ("under", _WORDS), ("plain", _WORDS),
)  # fmt: skip
"""Forms, each with what long words have to get in it, the best first: words in a narrow column make rows that are hard to read."""


@dataclass(frozen=True, slots=True)
class Columns:
    """How a table is set: the form of its intervals, the columns kept, and the widths in em of the first column, of those, of the bars, and of what is out of place (0 where there is none)."""

    form: Form
    kept: tuple[int, ...]
    first: float
    widths: tuple[float, ...]
    bar: float
    look: float


def columns_of(table: dict[str, Any], sizes: dict[str, Any], room: float) -> Columns:
    """How is a table set in so much room (em)?

    `sizes`: what was measured of it, in em: `first` (longest word, all of it on one line), `look` (longest word of what is out of place, with its mark, and all of it on one line; 0 where nothing is), and for each of its `columns` the longest word of its `head`, that `over` it
    on one line, and its cells in each form (numbers) or their longest `word` and their longest `line` (words).
    """
    beside = (BAR + GUTTER if table["bar"] is not None else 0.0) + (
        _least_look(sizes) + GUTTER if sizes["look"][1] else 0.0
    )
    kept = tuple(range(len(table["columns"])))
    for form, words in TRIED:
        if sum(_least(table, sizes, kept, form, words)) + GUTTER * len(kept) + beside <= room:
            return _shared(table, sizes, kept, form, room)
    while len(kept) > 1 and sum(_least(table, sizes, kept, "plain")) + GUTTER * len(kept) + beside > room:
        last = next(place for place in reversed(kept) if place != table["bar"])
        kept = tuple(place for place in kept if place != last)
    return _shared(table, sizes, kept, "plain", room)


def _least(
    table: dict[str, Any], sizes: dict[str, Any], kept: tuple[int, ...], form: Form, words: float = _WORDS
) -> list[float]:
    longest, whole = sizes["first"]
    least = [max(longest, min(whole, _FIRST))]
    for place in kept:
        size = sizes["columns"][place]
        if table["columns"][place]["numbers"]:
            least.append(max(size["head"], size[form]))
        else:
            least.append(max(size["head"], size["word"], min(size["line"], words)))
    return least


def _least_look(sizes: dict[str, Any]) -> float:
    word, line = sizes["look"]
    return float(max(word, min(line, _LOOK)))


def _head(table: dict[str, Any], sizes: dict[str, Any], place: int) -> float:
    """Over numbers, a head on two lines."""
    return float(0.55 * sizes["columns"][place]["over"]) if table["columns"][place]["numbers"] else 0.0


def _shared(table: dict[str, Any], sizes: dict[str, Any], kept: tuple[int, ...], form: Form, room: float) -> Columns:
    """Each column what it needs; the rest goes to what would break, in the measure in which it would."""
    least = _least(table, sizes, kept, form)
    bar = BAR if table["bar"] is not None else 0.0
    look = _least_look(sizes)
    beside = (bar + GUTTER if bar else 0.0) + (look + GUTTER if look else 0.0)
    rest = room - sum(least) - GUTTER * len(kept) - beside
    words = [max(sizes["first"][1] - least[0], 0.0)]
    words += [
        0.0 if table["columns"][place]["numbers"] else max(sizes["columns"][place]["line"] - one, 0.0)
        for place, one in zip(kept, least[1:], strict=True)
    ]
    words.append(sizes["look"][1] - look)
    heads = (
        [0.0] + [max(_head(table, sizes, place) - one, 0.0) for place, one in zip(kept, least[1:], strict=True)] + [0.0]
    )
    widths = [*least, look]
    # First words that would break, then heads, which may.
    for wanted in (words, heads):
        share = min(max(rest, 0.0) / sum(wanted), 1.0) if sum(wanted) > 0 else 0.0
        widths = [one + share * more for one, more in zip(widths, wanted, strict=True)]
        rest -= share * sum(wanted)
    look = widths.pop()
    spare = max(rest, 0.0)
    # Words without a break can be wider than a page has room for: then all columns give way alike.
    squeeze = min(max(room - GUTTER * len(kept) - beside, 0.25 * room) / sum(widths), 1.0)
    return Columns(
        form,
        kept,
        widths[0] * squeeze,
        tuple(width * squeeze for width in widths[1:]),
        bar + spare if bar else 0.0,
        look,
    )
