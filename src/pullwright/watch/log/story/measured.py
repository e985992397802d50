"""A number that was read out of a log: its value, how sure, from how many rows, and which."""

from __future__ import annotations

from dataclasses import dataclass

MOST_ROWS = 20
"""So many source rows are named with a number of a story; its count says how many there are in all."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A number out of a log: `low` to `high` holds the truth nine times in ten, where the readings say that much.

    `count` is how many readings stand behind it, `rows` the source rows of the first of them. `value` is nan where
    there is no reading, `low` and `high` are nan where there are too few for an interval.
    """

    value: float
    low: float
    high: float
    count: int
    rows: tuple[int, ...] = ()

    @property
    def known(self) -> bool:
        """Is there a number at all?"""
        return self.value == self.value  # nan differs from itself
