"""What the record hands out: revisions, titles, lines, settings and sheets, as plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal


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
    away: bool = False
    """Whether the line was put away: it is kept, and left out of the list until somebody brings it back."""

    @property
    def latest(self) -> int:
        """The number of the latest revision: numbers run from 1 without gaps, so it is how many there are."""
        return self.revisions


@dataclass(frozen=True, slots=True)
class PutAway:
    """That a line was put away (`away`) or brought back (not `away`): by whom, when (aware, UTC) and why."""

    key: str
    away: bool
    who: str
    when: datetime
    why: str


@dataclass(frozen=True, slots=True)
class SettingEntry:
    """One value that a setting was given: a JSON value, by whom and when (aware, UTC)."""

    name: str
    value: Any
    who: str
    when: datetime


SheetKind = Literal["study", "sample", "count", "log"]
SHEET_KINDS: tuple[SheetKind, ...] = ("study", "sample", "count", "log")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What somebody began at the line: a time study, a tour of activity sampling, a round of counting, a log brought in.

    `key` names it in addresses and is unique in the record; `line` is the key of the line it is about, None where there is
    none yet (a log). `body` is what was said when it began, a table that JSON gives back unchanged; it never changes:
    whatever comes later is a `Note`. `struck` says that the last word on it is that it was undone as a whole.
    """

    key: str
    kind: SheetKind
    line: str | None
    title: str
    body: dict[str, Any]
    who: str
    when: datetime
    struck: bool = False
    notes: int = 0


@dataclass(frozen=True, slots=True)
class NewNote:
    """Something to be written on a sheet: a reading, a mark, a look, a count, a decision, or that it is undone.

    `uid` is made where it was noted (a phone without a network) and names it for ever, so that sending it twice writes it
    once; `taken` is the moment at which it was noted, aware.
    """

    uid: str
    kind: str
    body: dict[str, Any]
    who: str
    taken: datetime


@dataclass(frozen=True, slots=True)
class Note:
    """A note as it stands on a sheet; `number` counts from 1 on its sheet in the order of arrival, `when` is when it arrived."""

    number: int
    uid: str
    kind: str
    body: dict[str, Any]
    who: str
    taken: datetime
    when: datetime


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that was handed in with a sheet: its name, its size in bytes, and the SHA-256 digest of its content."""

    name: str
    size: int
    digest: str
