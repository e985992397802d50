"""The small typed words of a line file: names, clock times, weekdays, dates, whole numbers, yes and no."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from pullwright.line.faults import likely_slip, listed, shown

LONGEST_NAME = 80
LONGEST_TEXT = 2_000
MOST_WHOLE = 10_000_000
YEARS = (1900, 2200)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
CLOCK_PATTERN = r"^\s*(([01]?[0-9]|2[0-3]):[0-5][0-9]|24:00)\s*$"
DATE_PATTERN = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"
WHOLE_PATTERN = r"^\s*[0-9]{1,3}(( [0-9]{3})+|[0-9]*)\s*$"
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")
_TYPESET_QUOTES = frozenset("“”„‟«»‘’‚‛")


def slip(read: object, allowed: str, hint: str = "", message: str = "") -> PydanticCustomError:
    """Make the error of one field, in the shape that the reader turns into a fault with its place."""
    if not hint and not message and isinstance(read, str) and _TYPESET_QUOTES & {read[:1], read[-1:]}:
        hint = 'put straight quotes (") instead of the curved ones, or none'
    return PydanticCustomError(
        "word", "{said}", {"said": message or allowed, "faults": [((), shown(read), allowed, hint, message)]}
    )


@dataclass(frozen=True, slots=True, eq=False)
class WordField:
    """Marks a field that is read by a function of our own, with its JSON Schema."""

    read: Callable[[Any], Any]
    words: str
    """What may stand there, for the documentation."""
    schema: tuple[tuple[str, Any], ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return dict(self.schema)


def tidy_name(read: object) -> str | None:
    """Give a name as it is compared: one space between words, composed letters; None where it is no name.

    A number is taken as a name too, because part numbers look like one.

    >>> tidy_name("  hone   bore "), tidy_name(4711), tidy_name(True)
    ('hone bore', '4711', None)
    """
    if isinstance(read, bool) or not isinstance(read, str | int | float):
        return None
    return unicodedata.normalize("NFC", " ".join(str(read).split()))


def sound_name(read: object) -> str | None:
    """Give a name as it is compared, where it is one that a line file may hold."""
    name = tidy_name(read)
    return None if name is None or _name_trouble(name) else name


def _name_trouble(name: str) -> str:
    """Say what is wrong with a name, if something is."""
    if not name or len(name) > LONGEST_NAME:
        return f"a name of {len(name):,} characters was read; allowed: 1 to {LONGEST_NAME} printable ones"
    if strange := _UNSEEN.search(name):
        return f"the name holds the character U+{ord(strange[0]):04X}, which cannot be seen; allowed: printable ones"
    if name[0] in _TYPESET_QUOTES and name[-1] in _TYPESET_QUOTES:
        return f'the name {name} stands in curved quotes; allowed: straight quotes (") or none'
    return ""


def read_name(read: Any) -> str:
    """Read a name."""
    name, allowed = tidy_name(read), f"a name of 1 to {LONGEST_NAME} printable characters"
    if name is None:
        hints = {bool: "put quotes round a name that is true or false", type(None): "write a name after the colon"}
        raise slip(read, allowed, hints.get(type(read), ""))
    if said := _name_trouble(name):
        raise slip(read, allowed, message=said)
    return name


def read_text(read: Any) -> str:
    """Read a sentence or two of a person's own words."""
    allowed = f"a text of at most {LONGEST_TEXT:,} printable characters"
    if read is None:
        raise slip(read, allowed, "write a text after the colon, or leave the field out")
    if isinstance(read, bool) or not isinstance(read, str | int | float):
        raise slip(read, allowed, "put quotes round a text that holds ': '" if isinstance(read, dict) else "")
    text = str(read)
    if len(text) > LONGEST_TEXT:
        raise slip(
            read, allowed, message=f"a text of {len(text):,} characters was read; allowed: at most {LONGEST_TEXT:,}"
        )
    if strange := _UNSEEN.search(text):
        said = f"the text holds the character U+{ord(strange[0]):04X}, which cannot be seen; allowed: printable ones"
        raise slip(read, allowed, message=said)
    return text


def read_clock(read: Any) -> int:
    """Read a clock time as seconds after midnight; 24:00 is the end of the day."""
    if isinstance(read, str) and re.fullmatch(CLOCK_PATTERN, read):
        hours, minutes = read.split(":")
        return int(hours) * 3600 + int(minutes) * 60
    raise slip(read, "a clock time from 00:00 to 24:00, such as 06:30", _clock_hint(read))


def _clock_hint(read: Any) -> str:
    found = re.fullmatch(r"\s*([0-9]{1,2})(?:[.:h ]?([0-5][0-9])?)(?::[0-9]{2})? ?([aApP]\.?[mM]\.?|h)?\s*", str(read))
    if found is None or isinstance(read, bool):
        return ""
    hours, half = int(found[1]), (found[3] or "").lower()[:1]
    hours = hours % 12 + 12 * (half == "p") if half in ("a", "p") else hours
    return f'did you mean "{hours:02d}:{found[2] or "00"}"?' if hours < 24 else ""


def read_weekday(read: Any) -> int:
    """Read a weekday, written out or shortened to three letters or more, as 0 (Monday) to 6 (Sunday)."""
    word = str(read).strip().casefold()
    for index, day in enumerate(WEEKDAYS):
        if isinstance(read, str) and len(word) >= 3 and day.startswith(word):
            return index
    short = [day[:3] for day in WEEKDAYS]
    raise slip(read, listed(short), likely_slip(word, [*short, *WEEKDAYS]) if isinstance(read, str) else "")


def read_date(read: Any) -> dt.date:
    """Read a date as YYYY-MM-DD (ISO 8601)."""
    allowed = f"a date as YYYY-MM-DD, such as 2026-12-24, in the years {YEARS[0]} to {YEARS[1]}"
    if isinstance(read, str) and re.fullmatch(DATE_PATTERN, read):
        try:
            date = dt.date.fromisoformat(read.strip())
        except ValueError:
            raise slip(read, allowed, "there is no such day") from None
        if YEARS[0] <= date.year <= YEARS[1]:
            return date
    raise slip(read, allowed, _date_hint(read))


def _date_hint(read: Any) -> str:
    """Where day, month and year can be told apart, the date that was meant; where they cannot, both readings."""
    found = re.fullmatch(r"\s*([0-9]{1,4})[./ -]([0-9]{1,2})[./ -]([0-9]{1,4})\s*", str(read))
    if found is None:
        return ""
    a, b, c = (int(number) for number in found.groups())
    orders = [(a, b, c)] if a > 31 else [(c, b, a), (c, a, b)] if c > 31 else []
    meant = []
    for year, month, day in orders:
        try:
            meant.append(dt.date(year, month, day).isoformat())
        except ValueError:
            continue
    return f"did you mean {' or '.join(dict.fromkeys(meant))}?" if meant else ""


def read_yes(read: Any) -> bool:
    """Read yes or no."""
    if isinstance(read, bool):
        return read
    word = str(read).strip().casefold()
    if isinstance(read, str) and word in _YES_OR_NO:
        return _YES_OR_NO[word]
    raise slip(read, "yes or no")


_YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}


def read_currency(read: Any) -> str:
    """Read the code of a currency: three capital letters (ISO 4217)."""
    if not isinstance(read, str) or not re.fullmatch(r"[A-Z]{3}", read.strip()):
        near = read.strip().upper() if isinstance(read, str) and re.fullmatch(r"[A-Za-z]{3}", read.strip()) else ""
        raise slip(read, "three capital letters, such as EUR (ISO 4217)", f"did you mean {near}?" if near else "")
    return read.strip()


def whole(least: int) -> Callable[[Any], int]:
    """Make a reader of whole numbers from `least` on; thousands may be parted by spaces."""
    allowed = f"a whole number from {least} to {MOST_WHOLE:,}"

    def read_whole(read: Any) -> int:
        number = read
        if isinstance(read, str) and len(read) <= LONGEST_NAME and re.fullmatch(WHOLE_PATTERN, read):
            number = int(read.replace(" ", ""))
        elif isinstance(read, float) and read.is_integer():
            number = int(read)
        if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= MOST_WHOLE:
            found = re.match(r"\s*([0-9]{1,7})(?![0-9.,:/])\s*\D", read) if isinstance(read, str) else None
            raise slip(read, allowed, f"did you mean {found[1]}?" if found and int(found[1]) >= least else "")
        return number

    return read_whole


def choice(*allowed: str) -> WordField:
    """Mark a field that takes one of a few words."""

    def read_choice(read: Any) -> str:
        if not isinstance(read, str) or read not in allowed:
            raise slip(read, listed(allowed), likely_slip(read.strip(), allowed) if isinstance(read, str) else "")
        return read

    return WordField(read_choice, " or ".join(f"`{word}`" for word in allowed), (("enum", list(allowed)),))


def _any_case(pattern: str) -> str:
    """A JSON Schema has no flag for capital letters, so that every letter of the words becomes a pair."""
    return re.sub(r"(?<!\\)(?<!\[)(?<!-)[a-z](?!-)", lambda found: f"[{found[0].upper()}{found[0]}]", pattern)


def _text(words: str, pattern: str, *examples: str) -> tuple[str, tuple[tuple[str, Any], ...]]:
    shown_example = f", such as `{examples[0]}`"
    return words + shown_example, (("type", "string"), ("pattern", pattern), ("examples", list(examples)))


def _whole(least: int) -> WordField:
    limits = (("minimum", least), ("maximum", MOST_WHOLE), ("pattern", WHOLE_PATTERN))
    return WordField(whole(least), f"a whole number from {least}", (("type", ["integer", "string"]), *limits))


_SHORT_DAYS = [day[:3] for day in WEEKDAYS]
_DAY_PATTERN = _any_case(rf"^\s*({'|'.join(_SHORT_DAYS)})[A-Za-z]*\s*$")
_YES_PATTERN = _any_case(r"^\s*(yes|no|true|false)\s*$")

Name = Annotated[str, WordField(read_name, "a name", (("type", ["string", "number"]), ("pattern", r"\S")))]
Text = Annotated[str, WordField(read_text, "a text", (("type", ["string", "number"]), ("maxLength", LONGEST_TEXT)))]
Clock = Annotated[int, WordField(read_clock, *_text("a clock time", CLOCK_PATTERN, "06:00", "14:30"))]
Weekday = Annotated[int, WordField(read_weekday, *_text("a weekday", _DAY_PATTERN, *_SHORT_DAYS))]
Date = Annotated[dt.date, WordField(read_date, *_text("a date", DATE_PATTERN, "2026-12-24"))]
YesNo = Annotated[
    bool,
    WordField(
        read_yes, "yes or no", (("type", ["boolean", "string"]), ("pattern", _YES_PATTERN), ("examples", ["yes", "no"]))
    ),
]
Currency = Annotated[str, WordField(read_currency, *_text("a currency", r"^\s*[A-Z]{3}\s*$", "EUR"))]
AtLeastOne = Annotated[int, _whole(1)]
AtLeastZero = Annotated[int, _whole(0)]
