"""Where the pages of one line are: the same parts under its latest revision, under an earlier one, and under an example."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from urllib.parse import quote

LONGEST_IN_ADDRESS = 1_500
"""Characters of a figure's name, as an address writes it; a longer name is asked for by its digest."""
LINES_AT_ONCE = 4_000
"""Lines of a line file that one page shows."""


def digest_of(name: str) -> str:
    """Return the short form of a name that is too long for an address.

    >>> digest_of("takt time")
    'dcd3a1760f0e652515a70a9e'
    """
    return hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:24]


def first_line_shown(line: int) -> int:
    """Return the first line of the page on which a line of the file is shown.

    >>> first_line_shown(1), first_line_shown(4_000), first_line_shown(4_001)
    (1, 1, 4001)
    """
    return (max(line, 1) - 1) // LINES_AT_ONCE * LINES_AT_ONCE + 1


@dataclass(frozen=True, slots=True)
class Way:
    """The addresses of the pages about one text of a line; `base` is that of the line itself.

    >>> Way("/lines/hone").why('load / "bore 1"')
    '/lines/hone/why?figure=load%20%2F%20%22bore%201%22'
    """

    base: str

    def part(self, name: str) -> str:
        """The address of one of its pages."""
        return f"{self.base}/{name}"

    def why(self, figure: str) -> str:
        """The address at which a figure of this name answers why, whatever letters are in the name."""
        name = quote(figure, safe="")
        asked = f"figure={name}" if len(name) <= LONGEST_IN_ADDRESS else f"digest={digest_of(figure)}"
        return f"{self.base}/why?{asked}"

    def text(self, line: int) -> str:
        """The address of one line of the line file."""
        first = first_line_shown(line)
        window = f"?first={first}" if first > 1 else ""
        return f"{self.base}/text{window}#L{line}"


def line_way(key: str, number: int | None = None) -> Way:
    """The way to a kept line: its latest revision, or the one of this number.

    >>> line_way("hone").base, line_way("hone", 2).base
    ('/lines/hone', '/lines/hone/revisions/2')
    """
    base = f"/lines/{quote(key, safe='')}"
    return Way(base if number is None else f"{base}/revisions/{number}")


def example_way(key: str) -> Way:
    """The way to an example."""
    return Way(f"/examples/{quote(key, safe='')}")
