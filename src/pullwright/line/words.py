"""The small typed words of a line file: names, clock times, weekdays, dates, whole numbers, yes and no."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, get_args

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from pullwright.line.faults import likely_slip, listed, shown

LONGEST_NAME = 80
LONGEST_TEXT = 2_000
MOST_WHOLE = 10_000_000
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_CLOCK = re.compile(r"([01]?[0-9]|2[0-4]):([0-5][0-9])")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def slip(read: object, allowed: str, hint: str = "", message: str = "") -> PydanticCustomError:
    """Make the error of one field, in the shape that the reader turns into a fault with its place."""
    return PydanticCustomError(
        "word", "{said}", {"said": message or allowed, "faults": [((), shown(read), allowed, hint, message)]}
    )


@dataclass(frozen=True, slots=True, eq=False)
class WordField:
    """Marks a field that is read by a function of our own, with its JSON Schema."""

    read: Callable[[Any], Any]
    schema: tuple[tuple[str, Any], ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return dict(self.schema)


def read_name(read: Any) -> str:
    """Read a name; a number is taken as a name too, because part numbers look like one."""
    if isinstance(read, bool) or not isinstance(read, str | int):
        raise slip(
            read,
            f"a name of 1 to {LONGEST_NAME} characters",
            "" if read is not None else "write a name after the colon",
        )
    name = " ".join(str(read).split())
    if not name or len(name) > LONGEST_NAME or _CONTROL.search(name):
        raise slip(
            read,
            f"a name of 1 to {LONGEST_NAME} printable characters",
            message=f"a name of {len(name)} characters was read; allowed: 1 to {LONGEST_NAME} printable ones",
        )
    return name


def read_text(read: Any) -> str:
    """Read a sentence or two of a person's own words."""
    if isinstance(read, dict | list | bool) or read is None:
        raise slip(read, f"a text of at most {LONGEST_TEXT:,} characters", "put quotes round a text that holds ': '")
    if len(str(read)) > LONGEST_TEXT or _CONTROL.search(str(read)):
        raise slip(read, f"a text of at most {LONGEST_TEXT:,} printable characters")
    return str(read)


def read_clock(read: Any) -> int:
    """Read a clock time as seconds after midnight; 24:00 is the end of the day."""
    found = _CLOCK.fullmatch(read.strip()) if isinstance(read, str) else None
    seconds = int(found[1]) * 3600 + int(found[2]) * 60 if found else -1
    if not 0 <= seconds <= 86_400:
        hint = 'put it in quotes: "06:00"' if isinstance(read, int | float) and not isinstance(read, bool) else ""
        raise slip(read, "a clock time from 00:00 to 24:00, such as 06:30", hint)
    return seconds


def read_weekday(read: Any) -> int:
    """Read a weekday as 0 (Monday) to 6 (Sunday)."""
    word = str(read).strip().casefold()
    for index, day in enumerate(WEEKDAYS):
        if word[:3] == day and word.isalpha():
            return index
    raise slip(read, listed(WEEKDAYS), likely_slip(word, WEEKDAYS))


def read_date(read: Any) -> dt.date:
    """Read a date as YYYY-MM-DD (ISO 8601)."""
    try:
        if not isinstance(read, str) or not re.fullmatch(r"\d{4}-\d{2}-\d{2}", read.strip()):
            raise ValueError
        return dt.date.fromisoformat(read.strip())
    except ValueError:
        raise slip(read, "a date as YYYY-MM-DD, such as 2026-12-24") from None


def read_yes(read: Any) -> bool:
    """Read yes or no."""
    if isinstance(read, bool):
        return read
    word = str(read).strip().casefold()
    if word in ("yes", "no"):
        return word == "yes"
    raise slip(read, "yes or no")


def read_currency(read: Any) -> str:
    """Read the code of a currency: three capital letters (ISO 4217)."""
    if not isinstance(read, str) or not re.fullmatch(r"[A-Z]{3}", read.strip()):
        near = read.strip().upper() if isinstance(read, str) and re.fullmatch(r"[A-Za-z]{3}", read.strip()) else ""
        raise slip(read, "three capital letters, such as EUR (ISO 4217)", f"did you mean {near}?" if near else "")
    return read.strip()


def whole(least: int, what: str) -> Callable[[Any], int]:
    """Make a reader of whole numbers from `least` on."""

    def read_whole(read: Any) -> int:
        number = read
        if isinstance(read, str) and re.fullmatch(r"[0-9]{1,9}", read.strip()):
            number = int(read)
        if isinstance(number, float) and number.is_integer():
            number = int(number)
        if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= MOST_WHOLE:
            raise slip(read, f"{what}, a whole number from {least} to {MOST_WHOLE:,}")
        return number

    return read_whole


def choice(*allowed: str) -> WordField:
    """Mark a field that takes one of a few words."""

    def read_choice(read: Any) -> str:
        if not isinstance(read, str) or read.strip() not in allowed:
            raise slip(read, listed(allowed), likely_slip(str(read), allowed))
        return read.strip()

    return WordField(read_choice, (("enum", list(allowed)),))


def choices_of(literal: Any) -> WordField:
    """Mark a field that takes one of the words of a Literal type."""
    return choice(*get_args(literal))


_TEXT = (("type", ["string", "number"]),)
Name = Annotated[str, WordField(read_name, (*_TEXT, ("minLength", 1), ("maxLength", LONGEST_NAME)))]
Text = Annotated[str, WordField(read_text, (*_TEXT, ("maxLength", LONGEST_TEXT)))]
Clock = Annotated[
    int, WordField(read_clock, (("type", "string"), ("pattern", _CLOCK.pattern), ("examples", ["06:00"])))
]
Weekday = Annotated[int, WordField(read_weekday, (("type", "string"), ("examples", list(WEEKDAYS))))]
Date = Annotated[dt.date, WordField(read_date, (("type", "string"), ("format", "date")))]
YesNo = Annotated[bool, WordField(read_yes, (("enum", [True, False, "yes", "no"]),))]
Currency = Annotated[str, WordField(read_currency, (("type", "string"), ("pattern", "^[A-Z]{3}$")))]
AtLeastOne = Annotated[int, WordField(whole(1, "how many"), (("type", "integer"), ("minimum", 1)))]
AtLeastZero = Annotated[int, WordField(whole(0, "how many"), (("type", "integer"), ("minimum", 0)))]
