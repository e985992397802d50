"""When does the shop work, as its own log shows it: working days, shifts, breaks, days off?"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import percent
from pullwright.line.worktime import clock
from pullwright.watch.log.laid import ABSENT, Flags, Ints, Laid

if TYPE_CHECKING:
    import polars as pl

    from pullwright.line.calendar import WorkCalendar

_EPOCH_DAY = dt.date(1970, 1, 1)


@dataclass(frozen=True, slots=True)
class FoundBreak:
    """A break: seconds after midnight of its start and end, and how busy it is beside the time around it (0 to 1)."""

    start: int
    end: int
    busy: float


@dataclass(frozen=True, slots=True)
class FoundShift:
    """A shift: seconds after midnight, the weekdays (0 = Monday) on which it starts, its breaks, on how many days seen.

    An end at or before the start lies on the next day. `edge` is how far (in seconds) start and end may be off.
    """

    name: str
    start: int
    end: int
    days: tuple[int, ...]
    breaks: tuple[FoundBreak, ...]
    days_seen: int
    edge: int


@dataclass(frozen=True)
class FoundCalendar:
    """The working calendar as the booked moments show it.

    `calendar` is ready for `pullwright.line`; `outside` is the share of booked moments that lie outside it; `sure` says
    from 0 (assumed) to 1 how far it may be trusted, `doubts` why not further. `per_day` has one row a date of the
    window: day, moments (booked starts and ends), worked (true where it counts as a working day). `profile` has one row
    a slot of the week: weekday, second (after midnight), moments, open. `slot` is the width of a slot in seconds.
    `rows` are source rows booked outside the calendar, the first of `outside_count`.
    """

    calendar: WorkCalendar
    first: dt.date
    last: dt.date
    shifts: tuple[FoundShift, ...]
    working_days: int
    days_off: tuple[dt.date, ...]
    extra_days: tuple[dt.date, ...]
    outside: float
    outside_count: int
    sure: float
    doubts: tuple[str, ...]
    slot: int
    per_day: pl.DataFrame
    profile: pl.DataFrame
    rows: tuple[int, ...]
    found: str

    @property
    def day_seconds(self) -> float:
        """Working seconds of an average working day."""
        return self.calendar.average_day().working

    def busy_hours(self) -> NDArray[np.float64]:
        """How many moments fall into each hour of the week, beside the busiest one? Shape (7 days, 24 hours), 0 to 1."""
        profile = self.profile
        hours = (profile["weekday"].to_numpy() % 7) * 24 + profile["second"].to_numpy() // 3600 % 24
        moments = np.bincount(hours, weights=profile["moments"].to_numpy(), minlength=7 * 24).reshape(7, 24)
        shares: NDArray[np.float64] = moments / max(moments.max(), 1.0)
        return shares


# How it is found. Booked starts and ends (not spans: a booking that was left on over lunch or over night would hide
# the pause) are counted in slots of five minutes over the whole window. A day is cut where the shop is quietest, so
# that a night shift stays in one piece; days of the week that look alike are pooled; a slot is open where it has at
# least a quarter of what is usual around it. All of it is our own rule, checked on logs made with a known calendar.

SLOT = 300
SLOTS = 288
OPEN = 0.25
QUIET = 0.2
THIN, FALLEN, STILL = 20_000, 0.3, 0.7
LONGEST_BREAK = 7200
MOST_BREAKS = 5
"""Breaks in one shift (common practice: two or three)."""
NAMES = ("day", "second", "third", "fourth", "fifth", "sixth", "seventh")
_DAY_US = 86_400_000_000
_SLOT_US = SLOT * 1_000_000


def calendar_of(laid: Laid) -> FoundCalendar:
    """Infer shifts, breaks, working weekdays, days off and extra days from the booked moments of a log.

    Works for logs of any size (the moments are counted once). A log without any moment gets an assumed week (Monday to
    Friday, 08:00 to 16:00) with `sure` 0.
    """
    starts, ends = (at[at != ABSENT] for at in (laid.wall_start, laid.wall_end))
    if starts.size + ends.size == 0:
        return _assumed(dt.date(1970, 1, 5), dt.date(1970, 1, 5), "the log has no moments")
    sample = np.concatenate([starts[:: max(1, starts.size // 50_000)], ends[:: max(1, ends.size // 50_000)]])
    midnight = float((sample % _DAY_US == 0).mean())
    low = int(min(a.min() for a in (starts, ends) if a.size) // _DAY_US)
    high = int(max(a.max() for a in (starts, ends) if a.size) // _DAY_US)
    if high - low > 40 * 366:
        # A single wrong year must not make a window of a century: the middle of the moments, and ten years around it.
        middle = int(np.median(sample) // _DAY_US)
        low, high = max(low, middle - 3660), min(high, middle + 3660)
    first, last = _EPOCH_DAY + dt.timedelta(days=low), _EPOCH_DAY + dt.timedelta(days=high)
    if midnight > 0.6:
        return _assumed(first, last, "nearly all moments are at midnight: the log knows days, not hours")
    width = _rounding(sample)
    counts = np.zeros((high - low + 1) * SLOTS, np.int64)
    for at, back in ((starts, 0), (ends, 1)):
        # An end on the stroke belongs to the slot that it ends, not to the one that begins there.
        slot = (at - back) // _SLOT_US - low * SLOTS
        inside = slot[(slot >= 0) & (slot < counts.size)] if high - low > 3660 else np.clip(slot, 0, counts.size - 1)
        counts += np.bincount(inside, minlength=counts.size)
    if midnight > 0.03:
        counts[::SLOTS] = np.minimum(counts[::SLOTS], counts[1::SLOTS])
        counts[SLOTS - 1 :: SLOTS] = np.minimum(counts[SLOTS - 1 :: SLOTS], counts[SLOTS - 2 :: SLOTS])
    return _found(laid, counts, first, last, width)


def _rounding(sample: Ints) -> int:
    """The widest slot to which nearly all moments are rounded, in seconds."""
    for minutes in (60, 30, 15, 10):
        if float((sample % (minutes * 60_000_000) == 0).mean()) > 0.9:
            return minutes * 60
    return SLOT


def _found(laid: Laid, counts: Ints, first: dt.date, last: dt.date, width: int) -> FoundCalendar:
    days = counts.size // SLOTS
    origin = _origin(counts.reshape(days, SLOTS), first.weekday())
    # One row a day of the shop, from the quietest time to the quietest time.
    padded = np.concatenate([np.zeros(SLOTS, np.int64), counts, np.zeros(SLOTS, np.int64)])
    table = padded[origin : origin + (days + 1) * SLOTS].reshape(days + 1, SLOTS)  # row 0 begins the day before
    dates = [first + dt.timedelta(days=k - 1) for k in range(days + 1)]
    weekdays = np.array([date.weekday() for date in dates])
    totals = table.sum(1)
    usual = np.array([_typical(totals[weekdays == day]) for day in range(7)])
    busiest = usual.max()
    working = usual > 0.15 * busiest if busiest else usual > 0
    by_day = {int(day): table[(weekdays == day) & (totals > 0.1 * usual[day])] for day in np.flatnonzero(working)}
    shifts, lift, width = _shifts(by_day, origin, width)
    if not shifts:
        return _assumed(first, last, "too few booked moments to see shifts")
    shifts, doubtful = _breaks_that_are_kept(laid, shifts)
    off, extra = [], {}
    names: dict[int, tuple[str, ...]] = {
        day: tuple(shift.name for shift in shifts if day in shift.days) for day in range(7)
    }
    commonest = max(names.values(), key=lambda some: (sum(some == other for other in names.values()), bool(some)))
    worked = np.zeros(days + 1, bool)
    for k, date in enumerate(dates):
        own = date + dt.timedelta(days=lift)
        day = own.weekday()
        expected = usual[weekdays[k]]
        if names[day]:
            worked[k] = not (expected >= 6 and totals[k] <= 0.1 * expected and first < own < last)
            if not worked[k]:
                off.append(own)
        elif totals[k] >= max(8, 0.3 * busiest):
            worked[k] = True
            extra[own] = commonest
    calendar = _as_calendar(shifts, off, extra)
    return _told(laid, calendar, counts, first, last, shifts, off, extra, width, doubtful)


def _typical(totals: Ints) -> float:
    """The usual number of moments of one weekday: the median; with few weeks the mean of them."""
    if totals.size == 0:
        return 0.0
    return float(np.median(totals)) if totals.size >= 3 else float(totals.max())


def _origin(table: Ints, weekday: int) -> int:
    """At which slot of the day is the shop quietest: the middle of the longest quiet run of a day, or the end of the week's."""
    quiet = _longest_quiet(table.sum(0), smooth=3)
    # Shorter than two hours it is a break, and a break is no end of a day.
    if quiet is not None and quiet[1] * SLOT >= LONGEST_BREAK:
        return (quiet[0] + quiet[1] // 2) % SLOTS
    week = np.zeros((7, SLOTS), np.int64)
    np.add.at(week, (np.arange(table.shape[0]) + weekday) % 7, table)
    quiet = _longest_quiet(week.ravel(), smooth=3)
    return (quiet[0] + quiet[1]) % SLOTS if quiet is not None and quiet[1] >= 24 else 0


def _longest_quiet(profile: Ints, smooth: int) -> tuple[int, int] | None:
    """Begin and length of the longest run, around the clock, that has next to no moments."""
    around = np.concatenate([profile[-smooth:], profile, profile[:smooth]]).astype(float)
    level = np.convolve(around, np.ones(2 * smooth + 1) / (2 * smooth + 1), "valid")
    busy = level > QUIET * _level(level)
    if busy.all() or not busy.any():
        return None
    begin = int(np.flatnonzero(busy)[0])
    turned = np.roll(busy, -begin)
    best, at, run = (0, 0), 0, 0
    for k, is_busy in enumerate([*turned.tolist(), True]):
        if is_busy:
            best, run = max(best, (run, at)), 0
        else:
            at, run = (k if run == 0 else at), run + 1
    return (best[1] + begin) % profile.size, best[0]


def _level(profile: NDArray[np.floating | np.integer]) -> float:
    """The level of a busy slot: half of all moments lie in slots that are busier."""
    ranked = np.sort(profile)
    total = np.cumsum(ranked)
    return float(ranked[np.searchsorted(total, total[-1] / 2)]) if total.size and total[-1] else 0.0


def _shifts(by_day: dict[int, Ints], origin: int, width: int) -> tuple[tuple[FoundShift, ...], int, int]:
    """Shifts of the weekdays, alike ones pooled; `lift` is 1 where a day of the table begins on the evening before."""
    if not by_day or sum(table.sum() for table in by_day.values()) < 20:
        return (), 0, width
    everything = np.concatenate(list(by_day.values()))
    width = _wide_enough(everything, width)
    main = _span(everything.sum(0), width)
    alike: list[tuple[tuple[int, int], list[int]]] = [(main, [])]
    for day, table in sorted(by_day.items()):
        own = main
        if _level(table.sum(0)) * (width // SLOT) >= 6:
            own = _span(table.sum(0), width)
        room = max(3 * width, 2400)
        near = [group for group in alike if max(abs(group[0][0] - own[0]), abs(group[0][1] - own[1])) * SLOT < room]
        if near:
            near[0][1].append(day)
        else:
            alike.append((own, [day]))
    blocks: list[tuple[int, int, list[int], list[FoundBreak], int]] = []
    for _, some in alike:
        if some:
            tables = np.concatenate([by_day[day] for day in some])
            blocks += [(*block, some, breaks, tables.shape[0]) for *block, breaks in _blocks(tables.sum(0), width)]
    blocks.sort(key=lambda block: (-len(block[2]), block[0]))
    if not blocks:
        return (), 0, width
    early = min(block[0] for block in blocks)
    lift = (origin + early) // SLOTS
    made = []
    for k, (begin, until, some, breaks, seen) in enumerate(blocks):
        start, end = ((origin + slot) % SLOTS * SLOT for slot in (begin, until))
        over = (origin + begin) // SLOTS
        pauses = tuple(
            FoundBreak((pause.start + origin * SLOT) % 86_400, (pause.end + origin * SLOT) % 86_400, pause.busy)
            for pause in breaks
        )
        days = tuple(sorted((day + over) % 7 for day in some))
        made.append(FoundShift(_shift_name(k, begin, until, start), start, end, days, pauses, seen, width))
    named: dict[str, int] = {}
    unique = []
    for shift in made:
        named[shift.name] = named.get(shift.name, 0) + 1
        unique.append(shift if named[shift.name] == 1 else replace(shift, name=f"{shift.name} {named[shift.name]}"))
    return tuple(unique), lift, width


def _shift_name(k: int, begin: int, until: int, start: int) -> str:
    hours = (until - begin) / 12
    if hours >= 23:
        return "round the clock"
    if hours > 17:
        return "three shifts"
    if hours > 11:
        return "two shifts"
    return "night" if start >= 20 * 3600 or start < 3 * 3600 else "late" if start >= 12.5 * 3600 else "day"


def _wide_enough(table: Ints, width: int) -> int:
    """The narrowest slot in which a usual one has a dozen moments or more."""
    level = _level(table.sum(0))
    for seconds in (SLOT, 600, 900, 1800, 3600):
        if seconds >= width and level * (seconds // SLOT) >= 12:
            return seconds
    return max(width, 3600)


def _open(profile: Ints, width: int) -> Flags:
    """Which slots of a day are open, at this width? Given back in slots of five minutes."""
    per = width // SLOT
    wide = profile.reshape(-1, per).sum(1).astype(float)
    reach = max(2, 5400 // width)
    padded = np.concatenate([np.zeros(reach), wide, np.zeros(reach)])
    around = np.median(np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1), axis=1)
    level = _level(wide)
    is_open = (wide >= OPEN * around) & (wide >= 0.06 * level) & (wide > 0)
    return np.repeat(is_open, per)


def _span(profile: Ints, width: int) -> tuple[int, int]:
    """From the first to the last slot of work of a day, strays left out."""
    blocks = _blocks(profile, width)
    return (blocks[0][0], blocks[-1][1]) if blocks else (0, SLOTS)


def _blocks(profile: Ints, width: int) -> list[tuple[int, int, list[FoundBreak]]]:
    """Blocks of work of a pooled day (begin and end in slots) with their breaks (seconds after the begin of the day)."""
    is_open = _open(profile, width)
    begins = np.flatnonzero(np.diff(np.concatenate([[False], is_open]).astype(np.int8)) == 1)
    ends = np.flatnonzero(np.diff(np.concatenate([is_open, [False]]).astype(np.int8)) == -1) + 1
    total = profile.sum()
    runs = [
        (int(begin), int(end))
        for begin, end in zip(begins, ends, strict=True)
        if profile[begin:end].sum() > 0.01 * total
    ]
    blocks: list[tuple[int, int, list[FoundBreak]]] = []
    for begin, end in runs:
        if blocks and (begin - blocks[-1][1]) * SLOT <= LONGEST_BREAK:
            before = blocks[-1]
            gap = (before[1], begin)
            reach = 12
            around = np.concatenate([profile[max(0, gap[0] - reach) : gap[0]], profile[gap[1] : gap[1] + reach]])
            expected = float(around.mean()) * (gap[1] - gap[0])
            busy = float(profile[gap[0] : gap[1]].sum()) / expected if expected else 0.0
            pauses = [*before[2]]
            if gap[1] - gap[0] > 1 and busy < 0.5 and _is_rest(float(profile[gap[0] : gap[1]].sum()), expected):
                pauses.append(FoundBreak(gap[0] * SLOT, gap[1] * SLOT, busy))
            blocks[-1] = (before[0], end, pauses)
        else:
            blocks.append((begin, end, []))
    if len(blocks) == 1 and (blocks[0][1] - blocks[0][0]) * SLOT >= 23 * 3600:
        return [(0, SLOTS, blocks[0][2])]
    return [(*_trimmed(profile, begin, end, width // SLOT), pauses) for begin, end, pauses in blocks]


def _trimmed(profile: Ints, begin: int, end: int, per: int) -> tuple[int, int]:
    """Begin and end of a block without the few who come early and leave late: up to two hours at either side."""
    hour = max(12, per)

    def early(wide: Ints) -> int:
        inside = wide[per : hour + per].astype(float)
        level = float(np.median(inside.reshape(-1, per).sum(1))) if inside.size == hour else 0.0
        return per if wide[:per].sum() < OPEN * level else 0

    for _ in range(2 * hour // per):
        if end - begin <= 3 * hour:
            break
        front, back = early(profile[begin:end]), early(profile[begin:end][::-1])
        if not front + back:
            break
        begin, end = begin + front, end - back
    return begin, end


def _is_rest(seen: float, expected: float) -> bool:
    """Is it so quiet that it is no luck? Less than once in ten thousand, were half as much going on as around it (Poisson)."""
    from scipy.special import pdtr

    return bool(pdtr(seen, expected / 2) < 1e-4)


def _breaks_that_are_kept(
    laid: Laid, shifts: tuple[FoundShift, ...]
) -> tuple[tuple[FoundShift, ...], tuple[FoundBreak, ...]]:
    """Leave out what is no break: quiet times that come again and again through a shift are the rhythm of its bookings."""
    beat = tuple(one for shift in shifts if len(shift.breaks) > MOST_BREAKS for one in shift.breaks)
    shifts = tuple(replace(shift, breaks=() if len(shift.breaks) > MOST_BREAKS else shift.breaks) for shift in shifts)
    kept, doubtful = _breaks_that_fall(laid, shifts)
    return kept, beat + doubtful


def _breaks_that_fall(
    laid: Laid, shifts: tuple[FoundShift, ...]
) -> tuple[tuple[FoundShift, ...], tuple[FoundBreak, ...]]:
    """Where a shop books out for its breaks, what goes on falls in every one of them; in a thin log a quiet time without that is chance.

    A shop in which nothing falls in any break books through them: then the moments alone decide.
    """
    timed = np.flatnonzero((laid.start != ABSENT) & (laid.end > laid.start) & (laid.end - laid.start < _DAY_US // 2))
    if not 0 < timed.size < THIN or not any(shift.breaks for shift in shifts):
        return shifts, ()
    starts, ends = np.sort(laid.wall_start[timed]), np.sort(laid.wall_end[timed])
    low, high = int(starts[0] // _DAY_US), int(ends[-1] // _DAY_US) + 1
    if high - low > 3660:
        return shifts, ()
    middles = np.arange(low * SLOTS, high * SLOTS) * _SLOT_US + _SLOT_US // 2
    going_on = (np.searchsorted(starts, middles) - np.searchsorted(ends, middles)).reshape(-1, SLOTS).sum(0)

    def falls(one: FoundBreak) -> float:
        inside = np.arange(one.start // SLOT, one.end // SLOT + (SLOTS if one.end <= one.start else 0))
        around = np.concatenate([inside[0] - np.arange(1, 7), inside[-1] + np.arange(1, 7)])
        return float(going_on[inside % SLOTS].mean() / max(float(going_on[around % SLOTS].mean()), 1e-9))

    level = {one: falls(one) for shift in shifts for one in shift.breaks}
    if min(level.values()) >= FALLEN:
        return shifts, ()
    kept = tuple(replace(shift, breaks=tuple(one for one in shift.breaks if level[one] < STILL)) for shift in shifts)
    return kept, tuple(one for one, left in level.items() if left >= STILL)


def _as_calendar(
    shifts: tuple[FoundShift, ...], off: list[dt.date], extra: dict[dt.date, tuple[str, ...]]
) -> WorkCalendar:
    from pullwright.line.calendar import CalendarError, Pause, Shift, WorkCalendar

    def shift_of(shift: FoundShift, with_breaks: bool = True) -> Shift:
        pauses = tuple(
            Pause(f"break {k + 1}", pause.start, pause.end, paid=False) for k, pause in enumerate(shift.breaks)
        )
        return Shift(shift.name, shift.start, shift.end, frozenset(shift.days), pauses if with_breaks else ())

    try:
        return WorkCalendar(tuple(map(shift_of, shifts)), frozenset(off), extra)
    except CalendarError:
        # Weekdays that differ may touch one another over midnight: the commonest day then stands for all.
        main = replace(shifts[0], days=tuple(sorted({day for shift in shifts for day in shift.days})))
        return WorkCalendar((shift_of(main, with_breaks=False),), frozenset(off), dict.fromkeys(extra, (main.name,)))


def _assumed(first: dt.date, last: dt.date, doubt: str) -> FoundCalendar:
    import polars as pl

    from pullwright.line.calendar import Shift, WorkCalendar

    calendar = WorkCalendar((Shift("day", 28_800, 57_600),))
    days = [first + dt.timedelta(days=k) for k in range((last - first).days + 1)]
    per_day = pl.DataFrame(
        {"day": days, "moments": [0] * len(days), "worked": [calendar.is_working_day(day) for day in days]},
        schema={"day": pl.Date, "moments": pl.Int64, "worked": pl.Boolean},
    )
    profile = pl.DataFrame(schema={"weekday": pl.Int64, "second": pl.Int64, "moments": pl.Int64, "open": pl.Boolean})
    shift = FoundShift("day", 28_800, 57_600, (0, 1, 2, 3, 4), (), 0, 0)
    found = f"The log does not show when the shop works ({doubt}): Monday to Friday, 08:00 to 16:00, is assumed."
    working = calendar.working_days(first, last + dt.timedelta(days=1))
    return FoundCalendar(
        calendar, first, last, (shift,), working, (), (), 0.0, 0, 0.0, (doubt,), SLOT, per_day, profile, (), found
    )  # fmt: skip


def _told(
    laid: Laid, calendar: WorkCalendar, counts: Ints, first: dt.date, last: dt.date, shifts: tuple[FoundShift, ...],
    off: list[dt.date], extra: dict[dt.date, tuple[str, ...]], width: int, doubtful: tuple[FoundBreak, ...],
) -> FoundCalendar:  # fmt: skip
    import polars as pl

    days = counts.size // SLOTS
    grid = np.datetime64(first, "us") + np.arange(counts.size + 1) * np.timedelta64(SLOT, "s")
    is_open = calendar.between_many(grid[:-1], grid[1:]) > 0
    outside_moments = int(counts[~is_open].sum())
    outside = outside_moments / max(1, int(counts.sum()))
    slot = laid.wall_start // _SLOT_US - (first - _EPOCH_DAY).days * SLOTS
    strange = np.flatnonzero((slot >= 0) & (slot < is_open.size) & ~is_open[np.clip(slot, 0, is_open.size - 1)])
    dates = [first + dt.timedelta(days=k) for k in range(days)]
    per_day = pl.DataFrame(
        {
            "day": dates,
            "moments": counts.reshape(days, SLOTS).sum(1),
            "worked": [calendar.is_working_day(date) for date in dates],
        }
    )
    week = np.zeros((7, SLOTS), np.int64)
    np.add.at(week, (np.arange(days) + first.weekday()) % 7, counts.reshape(days, SLOTS))
    grid_week = np.datetime64("1970-01-05", "us") + np.arange(7 * SLOTS + 1) * np.timedelta64(SLOT, "s")
    usual = replace(calendar, days_off=frozenset(), extra_days={})
    profile = pl.DataFrame(
        {
            "weekday": np.repeat(np.arange(7), SLOTS),
            "second": np.tile(np.arange(SLOTS) * SLOT, 7),
            "moments": week.ravel(),
            "open": usual.between_many(grid_week[:-1], grid_week[1:]) > 0,
        }
    )
    worked = int(per_day["worked"].sum())
    total = int(counts.sum())
    doubts = []
    if worked < 10:
        doubts.append(f"only {worked} working days are in the log")
    if total < 1000:
        doubts.append(f"only {total:,} booked moments")
    if outside > 0.1:
        doubts.append(f"{percent(outside)} of the booked moments lie outside")
    if width > 900:
        doubts.append(f"the moments tell no finer than {width // 60} minutes")
    doubts += [
        f"it is quiet from {clock(one.start)} to {clock(one.end)}, and work goes on: no break" for one in doubtful
    ]
    sure = min(1.0, worked / 10) * min(1.0, total / 1000) * max(0.0, 1 - 2 * outside) * (0.8 if width > 900 else 1.0)
    return FoundCalendar(
        calendar, first, last, shifts, worked, tuple(sorted(off)), tuple(sorted(extra)), outside, outside_moments,
        round(sure, 3), tuple(doubts), width, per_day, profile,
        tuple(laid.row[strange[:20]].tolist()), _sentence(shifts, worked, off, extra, outside),
    )  # fmt: skip


def _sentence(
    shifts: tuple[FoundShift, ...],
    worked: int,
    off: list[dt.date],
    extra: dict[dt.date, tuple[str, ...]],
    outside: float,
) -> str:
    parts = []
    for shift in shifts:
        end = shift.end or 86_400
        times = "round the clock" if shift.end == shift.start else f"{clock(shift.start)} to {clock(end)}"
        pauses = " and ".join(f"{clock(pause.start)} to {clock(pause.end)}" for pause in shift.breaks)
        parts.append(f"{weekday_words(shift.days)} {times}" + (f" with a break {pauses}" if pauses else ""))
    more = []
    if off:
        more.append(f"{len(off)} {'day' if len(off) == 1 else 'days'} off")
    if extra:
        more.append(f"{len(extra)} extra {'day' if len(extra) == 1 else 'days'} worked")
    tail = f", {' and '.join(more)}" if more else ""
    beyond = f" {percent(outside)} of the booked moments lie outside that." if outside >= 0.005 else ""
    return f"The shop works {'; '.join(parts)}: {worked} working days in the log{tail}.{beyond}"


def weekday_words(days: tuple[int, ...]) -> str:
    """Weekdays in words, runs pulled together.

    >>> weekday_words((0, 1, 2, 3, 4)), weekday_words((5,)), weekday_words((0, 1, 3, 6))
    ('Monday to Friday', 'Saturday', 'Monday, Tuesday, Thursday and Sunday')
    """
    from pullwright.line.calendar import WEEKDAYS

    if len(days) == 7:
        return "every day"
    if len(days) > 2 and days == tuple(range(days[0], days[-1] + 1)):
        return f"{WEEKDAYS[days[0]]} to {WEEKDAYS[days[-1]]}"
    # A week that begins on Saturday or Sunday reads on over its end.
    missing = [day for day in range(7) if day not in days]
    if len(days) > 3 and missing == list(range(missing[0], missing[-1] + 1)):
        return f"{WEEKDAYS[(missing[-1] + 1) % 7]} to {WEEKDAYS[missing[0] - 1]}"
    words = [WEEKDAYS[day] for day in days]
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
