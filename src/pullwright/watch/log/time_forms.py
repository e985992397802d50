"""The ways in which a log writes a moment, and reading a whole column of them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pullwright.watch.log.month_names import MONTH, is_month, numbered

if TYPE_CHECKING:
    import polars as pl

_TEXT = re.compile(
    r"(?:(?P<ymd>\d{4}(?P<s1>[-/.])\d{1,2}(?P=s1)\d{1,2})"
    r"|(?P<xxy>\d{1,2}(?P<s2>[-/.])\d{1,2}(?P=s2)(?P<y2>\d{4}|\d{2}))"
    rf"|(?P<dmon>\d{{1,2}}(?:er)?(?P<s3>-|\.? | de )(?P<month>{MONTH})(?P<s4>-| | de )(?P<y3>\d{{4}}|\d{{2}}))"
    rf"|(?P<mond>(?P<month2>{MONTH}) \d{{1,2}}, \d{{4}})"
    r"|(?P<whole>\d{8}(?:\d{4}(?:\d{2})?)?))"
    r"(?:(?P<sep>T|,? {1,2})(?P<time>\d{1,2}:\d{2}(?P<sec>:\d{2}(?P<frac>[.,]\d{1,9})?)?)(?P<half> ?[AaPp][Mm])?)?"
    r"(?P<zone> ?(?:Z|UTC|GMT|[+-]\d{2}:?\d{2}))?"
)
CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d{1,9})?)?(?: ?[AaPp][Mm])?")
MOST_FORMS = 24
FEW = 200
"""So many cells are looked at first: most columns are written in one way."""
EPOCHS: tuple[tuple[float, float, str, float], ...] = (
    (1e8, 1e10, "seconds since 1970", 1e6),
    (1e11, 1e13, "milliseconds since 1970", 1e3),
    (1e14, 1e16, "microseconds since 1970", 1.0),
    (1e17, 1e19, "nanoseconds since 1970", 1e-3),
)
"""How large a count since 1970 is, its words, and the microseconds of one."""
SERIAL = (20_000.0, 80_000.0)
"""Days since the end of 1899, as spreadsheets count them: 1954 to 2119."""


@dataclass(frozen=True, slots=True)
class TimeForm:
    """One way of writing a moment. `order`: "" where day and month cannot be mixed up, otherwise which comes first ("d", "m")."""

    chrono: str
    words: str
    order: str = ""
    zoned: bool = False
    clock: bool = True
    named: bool = False
    """Does it name the month? `chrono` then has its number instead."""


def form_of(text: str, *, day_first: bool) -> TimeForm | None:
    """How is this moment written? None where it is no moment.

    >>> form_of("2024/05/03 06:15", day_first=True).words, form_of("3.5.24 6:15", day_first=True).words
    ('YYYY/MM/DD h:mm', 'DD.MM.YY h:mm')
    """
    found = _TEXT.fullmatch(text.strip())
    if not found:
        return None
    g = found.groupdict()
    order = ""
    if g["ymd"]:
        s = g["s1"]
        date, words = f"%Y{s}%m{s}%d", f"YYYY{s}MM{s}DD"
    elif g["xxy"]:
        s, order = g["s2"], "d" if day_first else "m"
        a, b = ("%d", "%m") if day_first else ("%m", "%d")
        y = "%Y" if len(g["y2"]) == 4 else "%y"
        date = f"{a}{s}{b}{s}{y}"
        words = f"{'DD' if day_first else 'MM'}{s}{'MM' if day_first else 'DD'}{s}{'YYYY' if y == '%Y' else 'YY'}"
    elif g["dmon"]:
        if not is_month(g["month"]):
            return None
        s, t, y = g["s3"], g["s4"], "%Y" if len(g["y3"]) == 4 else "%y"
        date, words = f"%d{s}%m{t}{y}", f"DD{s}month{t}{'YYYY' if y == '%Y' else 'YY'}"
    elif g["mond"]:
        if not is_month(g["month2"]):
            return None
        date, words = "%m %d, %Y", "month DD, YYYY"
    else:
        size = len(g["whole"])
        date = "%Y%m%d" + ("%H%M%S" if size == 14 else "%H%M" if size == 12 else "")
        words = "YYYYMMDD" + ("hhmmss" if size == 14 else "hhmm" if size == 12 else "")
        if not 1950 <= int(g["whole"][:4]) <= 2100 or (size > 8 and g["time"]):
            return None
        return TimeForm(date, words, zoned=bool(g["zone"]), clock=size > 8 or bool(g["time"])) if not g["time"] else _timed(date, words, g, "")  # fmt: skip
    return _timed(date, words, g, order)


def _timed(date: str, words: str, g: dict[str, str | None], order: str) -> TimeForm:
    chrono = date
    if g["time"]:
        hour = "%I" if g["half"] else "%H"
        sep = g["sep"] or " "
        chrono += f"{sep}{hour}:%M" + (":%S" if g["sec"] else "") + ("%.f" if g["frac"] else "")
        words += f"{sep if sep == 'T' else ' '}h:mm" + (":ss" if g["sec"] else "") + (" am/pm" if g["half"] else "")
        if g["half"]:
            chrono += f"{' ' if (g['half'] or '').startswith(' ') else ''}%p"
    if g["zone"]:
        words += " with its zone"
    return TimeForm(chrono, words, order, bool(g["zone"]), bool(g["time"]), bool(g["dmon"] or g["mond"]))


def day_comes_first(texts: Iterable[str]) -> tuple[bool, bool]:
    """Does the day come before the month, and do these texts tell? A number above 12 tells; points stand after days.

    >>> day_comes_first(["05/13/2024 06:00"]), day_comes_first(["05/06/2024 06:00"])
    ((False, True), (True, False))
    """
    votes: Counter[str] = Counter()
    dotted = 0
    for text in texts:
        found = _TEXT.fullmatch(text.strip())
        if found and found["xxy"]:
            a, b = (int(part) for part in re.split(r"[-/.]", found["xxy"])[:2])
            dotted += found["s2"] == "."
            votes["d" if a > 12 >= b else "m" if b > 12 >= a else "?"] += 1
    if not votes:
        return True, True
    if votes["d"] or votes["m"]:
        return votes["d"] >= votes["m"], True
    return True, dotted > 0


def forms_in(texts: Iterable[str], *, day_first: bool) -> list[tuple[TimeForm, int]]:
    """The ways of writing in these texts, the most frequent first, each with how often it comes."""
    found: Counter[TimeForm] = Counter()
    for text in texts:
        form = form_of(text, day_first=day_first)
        if form:
            found[form] += 1
    return found.most_common()


def other_order(form: TimeForm) -> TimeForm:
    """The same way of writing with day and month the other way round."""
    swapped = form.chrono.replace("%d", "\0").replace("%m", "%d").replace("\0", "%m")
    words = form.words.replace("DD", "\0").replace("MM", "DD").replace("\0", "MM")
    return TimeForm(swapped, words, "m" if form.order == "d" else "d", form.zoned, form.clock, form.named)


@dataclass(frozen=True, slots=True)
class ReadTimes:
    """A column of moments: `at` (Datetime(us), on the clock of UTC where `zoned`), `offset` seconds where zones are named (else
    None), and in which way each cell was written (`forms` with their counts); `lost` are the indices of cells that are none,
    `bare` those of moments that name no zone in a column where others do: their `at` is on the clock on the wall."""

    at: pl.Series
    offset: pl.Series | None
    forms: tuple[tuple[str, int], ...]
    lost: pl.Series
    bare: pl.Series | None = None


def read_times(column: pl.Series, *, day_first: bool) -> ReadTimes:
    """Read a column of moments, each in its own way of writing."""
    import polars as pl

    kind = column.dtype
    micro = pl.Datetime("us")
    if isinstance(kind, pl.Datetime):
        if kind.time_zone:
            utc = column.dt.convert_time_zone("UTC").dt.replace_time_zone(None).cast(micro)
            local = column.dt.replace_time_zone(None).cast(micro)
            offset = (local - utc).dt.total_seconds().cast(pl.Int32)
            return _read(utc, offset, ((f"moments in {kind.time_zone}", utc.count()),), column)
        at = column.cast(micro)
        return _read(at, None, (("moments", at.count()),), column)
    if kind == pl.Date:
        at = column.cast(micro)
        return _read(at, None, (("dates", at.count()),), column)
    if kind.is_numeric():
        return _from_numbers(column, column)
    text = column.cast(pl.String)
    first = next((form for form, _ in forms_in(_spread(text, FEW), day_first=day_first)), None)
    if first is not None:
        at, shift = parse(text, first)
        if at.null_count() == text.null_count():
            nothing = pl.Series([], dtype=pl.Int64)
            return ReadTimes(at, shift, ((first.words, at.count()),) if at.count() else (), nothing)
    text = text.str.strip_chars()
    text = text.set(text == "", None) if (text == "").any() else text
    return _progressive(text, _spread(text), day_first=day_first, micro=micro)


def _spread(text: pl.Series, most: int = 3000) -> list[str]:
    filled = text.drop_nulls() if text.null_count() else text
    if filled.len() > most:
        filled = filled.gather_every(max(1, filled.len() // most))
    found: list[str] = filled.to_list()
    return found


def _progressive(text: pl.Series, sample: list[str], *, day_first: bool, micro: pl.DataType) -> ReadTimes:
    import polars as pl

    at = pl.Series(text.name, [None], dtype=micro).new_from_index(0, text.len())
    offset: pl.Series | None = None
    said: dict[str, int] = {}
    unzoned: list[pl.Series] = []
    tried: set[TimeForm] = set()
    left = pl.arange(0, text.len(), eager=True).filter(text.is_not_null())
    some = text.gather(left) if left.len() < text.len() else text
    whole = left.len() == text.len()
    while left.len() and len(tried) < MOST_FORMS:
        form = next((f for f, _ in forms_in(sample, day_first=day_first) if f not in tried), None)
        if form is None:
            form = next((other_order(f) for f in tried if f.order and other_order(f) not in tried), None)
        if form is None:
            break
        tried.add(form)
        got, shift = parse(some, form)
        count = got.count()
        if count:
            said[form.words] = said.get(form.words, 0) + count
            if count == some.len() and whole:
                at, offset = got, shift
                left = left.clear()
                break
            hit = got.is_not_null()
            where = left.filter(hit)
            at = at.scatter(where, got.filter(hit))
            if shift is None:
                unzoned.append(where)
            if shift is not None:
                if offset is None:
                    offset = pl.Series([0], dtype=pl.Int32).new_from_index(0, text.len())
                offset = offset.scatter(where, shift.filter(hit))
            left, some, whole = left.filter(~hit), some.filter(~hit), False
        sample = _spread(some.unique() if some.len() < 2_000_000 else some)
    if left.len():
        numbers = some.str.replace(",", ".", literal=True).cast(pl.Float64, strict=False)
        if numbers.count():
            read = _from_numbers(numbers, some)
            hit = read.at.is_not_null()
            at = at.scatter(left.filter(hit), read.at.filter(hit))
            said.update(read.forms)
            left = left.filter(~hit)
    bare = pl.concat(unzoned).sort() if unzoned and offset is not None else None
    return ReadTimes(at, offset, tuple(sorted(said.items(), key=lambda one: -one[1])), left, bare)


def parse(text: pl.Series, form: TimeForm) -> tuple[pl.Series, pl.Series | None]:
    """The moments of texts written in one way, null where they are written in another; and the offset of their zones."""
    import polars as pl

    shift: pl.Series | None = None
    bare = text
    if form.zoned:
        sign = text.str.extract(r"([+-])\d{2}:?\d{2}$", 1)
        ends = text.str.contains(r"(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})$")
        hours = text.str.extract(r"[+-](\d{2}):?\d{2}$", 1).cast(pl.Int32)
        minutes = text.str.extract(r"[+-]\d{2}:?(\d{2})$", 1).cast(pl.Int32)
        size = (hours * 3600 + minutes * 60).fill_null(0)
        shift = pl.select(pl.when(sign == "-").then(-size).otherwise(size).cast(pl.Int32)).to_series()
        bare = text.str.replace(r" ?(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})$", "")
        bare = pl.select(pl.when(ends).then(bare)).to_series()
    if "%.f" in form.chrono:
        bare = bare.str.replace(",", ".", literal=True)
    chrono = form.chrono
    if form.named:
        bare = numbered(bare)
        chrono = chrono.replace("T%H", "t%H")
    elif "%p" in chrono:
        bare = bare.str.to_uppercase()
    if form.clock:
        at = bare.str.to_datetime(chrono, time_unit="us", strict=False)
    else:
        at = bare.str.to_date(chrono, strict=False).cast(pl.Datetime("us"))
    if "%Y" in chrono and (form.order or form.named):
        at = at.set(at.dt.year() < 1000, None)
    if shift is not None:
        at = at - pl.select(pl.duration(seconds=pl.lit(shift))).to_series()
    return at.rename(text.name), shift


def _from_numbers(numbers: pl.Series, column: pl.Series) -> ReadTimes:
    """Counts since 1970, or the days of a spreadsheet."""
    import polars as pl

    value = numbers.cast(pl.Float64, strict=False)
    middle = value.median()
    size = abs(float(middle)) if isinstance(middle, (int, float)) else 0.0
    micro = pl.Datetime("us")
    for low, high, words, factor in EPOCHS:
        if low <= size < high:
            kept = pl.select(pl.when(value.is_between(low, high)).then((value * factor).round())).to_series()
            return _read(kept.cast(pl.Int64, strict=False).cast(micro), None, ((words, kept.count()),), column)
    low, high = SERIAL
    days = pl.select(pl.when(value.is_between(low, high)).then(value - 25_569.0)).to_series()
    # A day in a Float64 is good to about a microsecond; spreadsheets mean whole milliseconds.
    micros = (days * 86_400_000).round().cast(pl.Int64, strict=False) * 1000
    return _read(micros.cast(micro), None, (("days as a spreadsheet counts them", days.count()),), column)


def _read(at: pl.Series, offset: pl.Series | None, forms: tuple[tuple[str, int], ...], column: pl.Series) -> ReadTimes:
    import polars as pl

    lost = pl.arange(0, at.len(), eager=True).filter(at.is_null() & column.is_not_null())
    return ReadTimes(at, offset, forms if at.count() else (), lost)


def read_clock(column: pl.Series) -> tuple[pl.Series, pl.Series]:
    """Times of day as Duration(us), and the indices of cells that are none."""
    import polars as pl

    if column.dtype == pl.Time:
        span = column.cast(pl.Duration("us"))
        return span, pl.arange(0, span.len(), eager=True).clear()
    if column.dtype.is_numeric():
        part = column.cast(pl.Float64)
        span = (
            ((part - part.floor()) * 86_400_000).round().cast(pl.Int64).cast(pl.Duration("ms")).cast(pl.Duration("us"))
        )
        return span, pl.arange(0, span.len(), eager=True).clear()
    if isinstance(column.dtype, pl.Datetime):
        span = column.dt.time().cast(pl.Duration("us"))
        return span, pl.arange(0, span.len(), eager=True).clear()
    text = column.cast(pl.String).str.strip_chars()
    text = text.str.replace(r"^.*[ T](\d{1,2}:\d{2})", "$1")
    hours = text.str.extract(r"^(\d{1,2}):\d{2}", 1).cast(pl.Int64)
    minutes = text.str.extract(r"^\d{1,2}:(\d{2})", 1).cast(pl.Int64)
    seconds = text.str.extract(r"^\d{1,2}:\d{2}:(\d{2}(?:[.,]\d+)?)", 1).str.replace(",", ".", literal=True).cast(pl.Float64).fill_null(0.0)  # fmt: skip
    half = text.str.to_lowercase().str.extract(r"([ap])m$", 1)
    hours = pl.select(
        pl.when(half == "p").then(hours % 12 + 12).when(half == "a").then(hours % 12).otherwise(hours)
    ).to_series()
    micros = (hours * 3600 + minutes * 60) * 1_000_000 + (seconds * 1e6).round().cast(pl.Int64)
    fine = (hours <= 24) & (minutes < 60) & (seconds < 60)
    span = pl.select(pl.when(fine).then(micros)).to_series().cast(pl.Duration("us"))
    lost = pl.arange(0, span.len(), eager=True).filter(span.is_null() & (text != "").fill_null(value=False))
    return span, lost
