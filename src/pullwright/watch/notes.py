"""The notes of a sheet as they came: each once, in the order in which they were noted, without those that were taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Any, Protocol

from pullwright.line.faults import shown
from pullwright.watch.misread import MisreadError


class NoteLike(Protocol):
    """A note as the record hands it out: `uid` names it for ever, `taken` is the moment at which it was noted."""

    @property
    def uid(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def body(self) -> Mapping[str, Any]: ...
    @property
    def who(self) -> str: ...
    @property
    def taken(self) -> datetime: ...


def standing(notes: Sequence[NoteLike], error: type[MisreadError]) -> list[NoteLike]:
    """Which notes stand? Each once, in the order in which they were noted; what was undone is left out, an undo may be undone too.

    Errors: `error` for an undo that names no note.
    """
    once: dict[str, NoteLike] = {}
    for note in notes:
        once.setdefault(note.uid, note)
    ordered = sorted(once.values(), key=lambda note: note.taken)
    undone: set[str] = set()
    for note in reversed(ordered):
        if note.kind == "undo" and note.uid not in undone:
            undone.add(named_note(note.body, error))
    return [note for note in ordered if note.kind != "undo" and note.uid not in undone]


def named_note(body: Mapping[str, Any], error: type[MisreadError]) -> str:
    """The uid of the note that an undo takes back."""
    of = body.get("of")
    if not isinstance(of, str) or not of:
        raise error(f"of {shown(of)}", "names no note", "the uid of an earlier note")
    return of


def wall_clock(moment: datetime, zone: tzinfo | None) -> datetime:
    """The moment as the clock on the wall shows it, without a zone; `zone` None is the zone that this machine stands in.

    >>> from datetime import UTC
    >>> wall_clock(datetime(2026, 3, 17, 8, 30, tzinfo=UTC), UTC)
    datetime.datetime(2026, 3, 17, 8, 30)
    """
    return moment if moment.tzinfo is None else moment.astimezone(zone).replace(tzinfo=None)


def text_in(body: Mapping[str, Any], key: str, error: type[MisreadError], *, must: bool = False) -> str:
    """A text of a body; empty where nothing is said, unless it must be there."""
    read = body.get(key)
    text = "" if read is None else read.strip() if isinstance(read, str) else None
    if text is None or (must and not text) or len(text) > 2_000:
        raise error(f"{key} {shown(read)}", "is no text", "a text of 1 to 2,000 characters" if must else "a text")
    return text


def whole_in(
    body: Mapping[str, Any],
    key: str,
    least: int,
    error: type[MisreadError],
    default: int | None = None,
    most: int = 10_000_000,
) -> int:
    """A whole number of a body, also where it was typed as text."""
    read = body.get(key)
    if read is None and default is not None:
        return default
    text = str(read).strip()
    if (
        isinstance(read, bool)
        or not isinstance(read, int | str)
        or not text.isdecimal()
        or not least <= int(text) <= most
    ):
        raise error(f"{key} {shown(read)}", "is no such number", f"a whole number from {least:,} to {most:,}")
    return int(text)
