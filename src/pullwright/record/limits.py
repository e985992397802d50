"""How long and of what shape each thing in the record may be, and the messages when it is not."""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from pullwright.record.errors import InvalidEntry

Field = Literal[
    "key",
    "title",
    "text",
    "who",
    "why",
    "setting name",
    "setting value",
    "sheet body",
    "note uid",
    "note kind",
    "note body",
    "file name",
]
Json = Literal["setting value", "sheet body", "note body"]


@dataclass(frozen=True, slots=True)
class Limit:
    """What one field may hold: from `least` to `most`, counted in characters, or in bytes of UTF-8 for whole texts."""

    least: int
    most: int
    counted_in: Literal["characters", "bytes"]
    one_line: bool
    remedy: str


LIMITS: dict[Field, Limit] = {
    "key": Limit(1, 60, "characters", one_line=True, remedy="Take a short key; the title may be longer."),
    "title": Limit(1, 120, "characters", one_line=True, remedy="Put the rest into the line file's own notes."),
    "text": Limit(0, 2_000_000, "bytes", one_line=False, remedy="Keep long readings in data files of their own."),
    "who": Limit(1, 80, "characters", one_line=True, remedy="Give the name that people on the floor know you by."),
    "why": Limit(0, 2_000, "characters", one_line=False, remedy="Say the reason in a few sentences."),
    "setting name": Limit(1, 80, "characters", one_line=True, remedy="Take a shorter name."),
    "setting value": Limit(1, 64_000, "bytes", one_line=False, remedy="Keep large things in files."),
    "sheet body": Limit(2, 256_000, "bytes", one_line=False, remedy="Hand long data in as a file."),
    "note uid": Limit(1, 80, "characters", one_line=True, remedy="Make a short name that is never used again."),
    "note kind": Limit(1, 40, "characters", one_line=True, remedy="Take a shorter word."),
    "note body": Limit(2, 64_000, "bytes", one_line=False, remedy="Spread it over several notes."),
    "file name": Limit(1, 200, "characters", one_line=True, remedy="Take a shorter name."),
}
"""The one table of sizes; the columns of the database and the messages both follow it."""

JSON_FIELDS: tuple[Json, ...] = ("setting value", "sheet body", "note body")
KEY_RULE = "lower-case letters a to z and digits, in words joined by single hyphens, as in 'hone-line-2'"
KEY_SHAPE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
NAME_RULE = "lower-case words joined by dots, hyphens or underscores, as in 'wall.distance'"
NAME_SHAPE = re.compile(r"[a-z0-9]+([._-][a-z0-9]+)*")
NOTES_AT_ONCE = 2_000
"""How many notes one call may write."""
FILE_BYTES = 600_000_000
"""How large a file may be that is handed in with a sheet."""
SHOWN = 40
"""Characters of a refused value that the message repeats."""


def checked(field: Field, read: str) -> str:
    """Check one field against the table and hand it back (blanks at both ends off, except of a text).

    >>> checked("who", "  A. Weber ")
    'A. Weber'
    >>> checked("key", "Hone line")
    Traceback (most recent call last):
    pullwright.record.errors.InvalidEntry: key: read 'Hone line'; allowed is lower-case letters a to z and digits, \
in words joined by single hyphens, as in 'hone-line-2'. Did you mean 'hone-line'?
    """
    limit = LIMITS[field]
    value = read if field in ("text", *JSON_FIELDS) else read.strip()
    _refuse_what_cannot_be_kept(field, value, limit)
    size = len(value) if limit.counted_in == "characters" else len(value.encode())
    if not limit.least <= size <= limit.most:
        allowed = f"{limit.least:,} to {limit.most:,} {limit.counted_in}"
        raise InvalidEntry(field, f"{_shown(read)} ({size:,} {limit.counted_in})", allowed, limit.remedy)
    if field == "key" and not KEY_SHAPE.fullmatch(value):
        raise InvalidEntry(field, _shown(read), KEY_RULE, _nearest_key(value, limit.most))
    if field in ("setting name", "note kind") and not NAME_SHAPE.fullmatch(value):
        raise InvalidEntry(field, _shown(read), NAME_RULE, "Write the name in that shape.")
    if field == "file name" and any(mark in value for mark in "/\\"):
        raise InvalidEntry(field, _shown(read), "a name without folders", "Leave the folder off.")
    return value


def checked_body(field: Json, body: Any) -> str:
    """Check that the body of a sheet or a note is a table that JSON gives back unchanged, and give its JSON text.

    >>> checked_body("note body", {"seconds": 12.5})
    '{"seconds": 12.5}'
    """
    if not isinstance(body, dict):
        raise InvalidEntry(field, _shown(body), "a table with text as keys", "Put it into a table.")
    written = checked_value(body, field)
    # JSON writes them as escapes, so that they are seen only here.
    _refuse_what_cannot_be_kept(field, json.dumps(body, ensure_ascii=False), LIMITS[field])
    if "\\u0000" in written:
        raise InvalidEntry(field, "a zero character", "text without zero characters", "Write the text without them.")
    return written


def checked_moment(field: str, moment: datetime) -> datetime:
    """Check that a moment says its time zone, and give it in UTC.

    >>> from datetime import timedelta, timezone
    >>> checked_moment("taken", datetime(2024, 5, 2, 10, 30, tzinfo=timezone(timedelta(hours=2)))).isoformat()
    '2024-05-02T08:30:00+00:00'
    """
    try:
        if moment.utcoffset() is not None:
            return moment.astimezone(UTC)
    except OverflowError:
        pass
    raise InvalidEntry(
        field,
        _shown(moment.isoformat()),
        "a moment that says its time zone, in the years 1 to 9999 of UTC",
        "Give it one.",
    )


def checked_value(value: Any, field: Json = "setting value") -> str:
    """Check that a setting's value reads back from JSON as it was handed in, and give its JSON text.

    >>> checked_value({"letters": 3.5, "where": ["hall 1"]})
    '{"letters": 3.5, "where": ["hall 1"]}'
    >>> checked_value((1, 2))
    Traceback (most recent call last):
    pullwright.record.errors.InvalidEntry: setting value: read (1, 2); allowed is a value that JSON gives back \
unchanged: text, numbers, true or false, nothing, lists, and tables with text as keys. Turn it into one of these.
    """
    rule = (
        "a value that JSON gives back unchanged: text, numbers, true or false, nothing, lists, "
        "and tables with text as keys"
    )
    try:
        # ASCII only, so that the text is the same whatever the encoding of the database.
        written = json.dumps(value, allow_nan=False)
        same = bool(json.loads(written) == value)
    except (TypeError, ValueError, RecursionError):
        same = False
    if not same:
        raise InvalidEntry(field, _shown(value), rule, "Turn it into one of these.")
    return checked(field, written)


def _refuse_what_cannot_be_kept(field: Field, value: str, limit: Limit) -> None:
    """Refuse characters that a database, or a line on a screen, cannot hold."""
    try:
        value.encode()
    except UnicodeEncodeError as error:
        at = f"half a character (U+{ord(value[error.start]):04X}) at position {error.start + 1}"
        raise InvalidEntry(field, at, "text that can be written as UTF-8", "Save the text as UTF-8 again.") from error
    if "\0" in value:
        at = f"a zero character at position {value.index(chr(0)) + 1}"
        raise InvalidEntry(field, at, "text without zero characters", "Is this a text file? Save it as UTF-8 text.")
    if limit.one_line and any(unicodedata.category(letter) in ("Cc", "Zl", "Zp") for letter in value):
        raise InvalidEntry(field, _shown(value), "one line without control characters", "Write it on one line.")


def _nearest_key(read: str, most: int) -> str:
    plain = unicodedata.normalize("NFKD", read).encode("ascii", "ignore").decode().lower()
    near = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:most].strip("-")
    return f"Did you mean {near!r}?" if near else "Write the key in that shape."


def _shown(read: object) -> str:
    whole = repr(read[: SHOWN + 1] if isinstance(read, str) else read)
    return whole if len(whole) <= SHOWN + 2 else f"{whole[:SHOWN]}..."
