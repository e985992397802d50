"""What the record hands out: revisions, titles, lines and settings, as plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class Revision:
    """One saved text of a line: what was written, by whom, when and why. It never changes again.

    `number` counts from 1 without gaps, `when` is aware and in UTC, `text` is exactly what was handed in.
    """

    key: str
    number: int
    text: str
    who: str
    when: datetime
    why: str

    @property
    def based_on(self) -> int | None:
        """The number of the revision that this one was written on; None for the first.

        A save on anything but the latest is refused, so it is always the one before.

        >>> from datetime import UTC
        >>> third = Revision("hone", 3, "steps: []", "A. Weber", datetime(2024, 5, 2, tzinfo=UTC), "")
        >>> third.based_on
        2
        """
        return self.number - 1 or None


@dataclass(frozen=True, slots=True)
class Title:
    """What a line is called for people, from `when` until the next title."""

    key: str
    title: str
    who: str
    when: datetime
    why: str


@dataclass(frozen=True, slots=True)
class LineEntry:
    """One row of the list of lines: who saved it last, when, and how many revisions it has.

    >>> from datetime import UTC
    >>> LineEntry("hone", "Honing", 4, "A. Weber", datetime(2024, 5, 2, tzinfo=UTC)).latest
    4
    """

    key: str
    title: str
    revisions: int
    who: str
    when: datetime

    @property
    def latest(self) -> int:
        """The number of the latest revision: numbers run from 1 without gaps, so it is how many there are."""
        return self.revisions


@dataclass(frozen=True, slots=True)
class SettingEntry:
    """One value that a setting was given: a JSON value, by whom and when (aware, UTC)."""

    name: str
    value: Any
    who: str
    when: datetime
