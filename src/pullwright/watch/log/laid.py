"""The events of a log laid out as arrays: codes instead of words, whole microseconds instead of moments, sorted once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .events import EVENT_KINDS, Events

if TYPE_CHECKING:
    import polars as pl

Ints = NDArray[Any]
"""Whole numbers, of whatever width numpy makes them."""
Codes = NDArray[Any]
"""Small whole numbers that stand for words; -1 where there is none."""
Floats = NDArray[Any]
"""Numbers, nan where there is none; counts may stand in their place."""
Flags = NDArray[Any]
"""True or false."""

SECOND = 1_000_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY = 24 * HOUR
ABSENT = np.iinfo(np.int64).min
"""What stands in an array of moments where there is none."""


@dataclass(frozen=True)
class Coded:
    """A column of words as codes 0, 1, 2 ... in the order in which the words first appear; -1 where there is none."""

    codes: Codes
    names: tuple[str, ...]

    @property
    def size(self) -> int:
        """How many different words are there?"""
        return len(self.names)

    def counts(self) -> Ints:
        """How often does each word come?"""
        return np.bincount(self.codes[self.codes >= 0], minlength=self.size).astype(np.int64)


def coded(column: pl.Series) -> Coded:
    """A categorical column as dense codes and their words."""
    import polars as pl

    if column.dtype != pl.Categorical:
        column = column.cast(pl.String).cast(pl.Categorical)
    physical = column.to_physical()
    most = physical.max()
    if most is None:
        return Coded(np.full(column.len(), -1, np.int32), ())
    top, size = int(most), column.len()  # type: ignore[arg-type]
    at = (physical.fill_null(top + 1) if physical.null_count() else physical).to_numpy()
    first = np.full(top + 2, size, np.int64)
    first[at[::-1]] = np.arange(size - 1, -1, -1)  # written back to front, so that the first place of each stays
    known = np.flatnonzero(first[: top + 1] < size)
    known = known[np.argsort(first[known])]
    to_dense = np.full(top + 2, -1, np.int32)
    to_dense[known] = np.arange(known.size, dtype=np.int32)
    return Coded(to_dense[at], tuple(column.gather(first[known]).cast(pl.String).to_list()))


def moments(column: pl.Series) -> Ints:
    """A column of moments as whole microseconds, ABSENT where there is none."""
    whole = column.to_physical()
    return (whole.fill_null(ABSENT) if whole.null_count() else whole).to_numpy()


def numbers(column: pl.Series) -> Floats:
    """A column of numbers, nan where there is none."""
    import polars as pl

    return column.cast(pl.Float64).fill_null(np.nan).to_numpy()


@dataclass(frozen=True)
class Laid:
    """Events as arrays, one element an event, in the order of the table they come from."""

    events: Events

    @cached_property
    def size(self) -> int:
        """How many events?"""
        return self.events.table.height

    @cached_property
    def row(self) -> NDArray[np.uint32]:
        """Source row."""
        return self.events.table["row"].to_numpy()

    @cached_property
    def unexplained(self) -> Flags:
        """Events that are rows whose lifecycle word nobody explained."""
        rows = self.events.unexplained
        return np.zeros(self.size, bool) if rows is None or not rows.len() else np.isin(self.row, rows.to_numpy())

    @cached_property
    def start(self) -> Ints:
        """Begin, in microseconds since 1970."""
        return moments(self.events.table["start"])

    @cached_property
    def end(self) -> Ints:
        """End, in microseconds since 1970."""
        return moments(self.events.table["end"])

    @cached_property
    def _clock(self) -> Ints | None:
        clock = self.events.table["clock"]
        shown = clock.fill_null(0).to_numpy()
        return shown.astype(np.int64) * SECOND if shown.any() else None

    @cached_property
    def wall_start(self) -> Ints:
        """Begin as the clock on the wall shows it."""
        return self.start if self._clock is None else _shifted(self.start, self._clock)

    @cached_property
    def wall_end(self) -> Ints:
        """End as the clock on the wall shows it."""
        return self.end if self._clock is None else _shifted(self.end, self._clock)

    @cached_property
    def case(self) -> Coded:
        """What goes through the shop."""
        return coded(self.events.table["case"])

    @cached_property
    def step(self) -> Coded:
        """What was done."""
        return coded(self.events.table["activity"])

    @cached_property
    def station(self) -> Coded:
        """Where."""
        return coded(self.events.table["station"])

    @cached_property
    def product(self) -> Coded:
        """Of which product."""
        return coded(self.events.table["product"])

    @cached_property
    def person(self) -> Coded:
        """By whom."""
        return coded(self.events.table["person"])

    @cached_property
    def kind(self) -> NDArray[np.int8]:
        """Kind of work as its place in EVENT_KINDS; "run" where nothing is said."""
        found = coded(self.events.table["kind"])
        places = [EVENT_KINDS.index(name) if name in EVENT_KINDS else 3 for name in found.names]
        return np.array([*places, 0], np.int8)[found.codes]

    @cached_property
    def timed(self) -> Flags:
        """Events with a start and an end that is not before it."""
        timed: Flags = (self.start != ABSENT) & (self.end >= self.start)  # what has no end ends before everything
        return timed

    @cached_property
    def in_time(self) -> Ints:
        """All events by begin, end and place: their places."""
        return order_in_time(self.start, self.end)

    @cached_property
    def by_case(self) -> Ints:
        """Timed events with a case, by case, begin and end: their places."""
        return self._by(self.case)

    @cached_property
    def by_station(self) -> Ints:
        """Timed events with a station, by station, begin and end: their places."""
        return self._by(self.station)

    @cached_property
    def by_person(self) -> Ints:
        """Timed events with a person, by person, begin and end: their places."""
        return self._by(self.person)

    def _by(self, names: Coded) -> Ints:
        some = self.timed & (names.codes >= 0)
        among = self.in_time if some.all() else self.in_time[some[self.in_time]]
        return in_groups(among, names.codes, names.size)

    def pieces(self, name: str) -> Floats | None:
        """A column of quantities, or None where the log has none."""
        return numbers(self.events.table[name]) if name in self.events.has else None

    @cached_property
    def rework(self) -> Flags:
        """Booked as done again."""
        return self.events.table["rework"].fill_null(False).to_numpy()


def _shifted(at: Ints, by: Ints) -> Ints:
    return np.where(at == ABSENT, ABSENT, at + by)


@dataclass(frozen=True)
class Key:
    """One whole number an element that sorts by group, then by moment; `cut` low bits of the moment did not fit."""

    values: Ints
    bits: int
    cut: int
    origin: int

    def moment(self, keys: Ints) -> Ints:
        """The moments of sorted keys again (to `cut` bits)."""
        return ((keys & ((1 << self.bits) - 1)) << self.cut) + self.origin

    def group(self, keys: Ints) -> Ints:
        """The groups of sorted keys."""
        return keys >> self.bits


def key_of(group: NDArray[np.integer], at: Ints, origin: int | None = None, last: int | None = None) -> Key:
    """Group and moment in one number: groups are 0 or above, moments any; finer than fits 61 bits is cut off."""
    if at.size == 0:
        return Key(np.zeros(0, np.int64), 1, 0, 0)
    origin = int(at.min()) if origin is None else origin
    last = int(at.max()) if last is None else last
    need = max(1, (last - origin).bit_length())
    cut = max(0, need + int(group.max()).bit_length() - 61)
    bits = need - cut
    return Key((group.astype(np.int64) << bits) | ((at - origin) >> cut), bits, cut, origin)


def stable_order(values: NDArray[np.integer]) -> Ints:
    """The order of whole numbers of 0 or above, equal ones in the order of their places; as indices.

    Sorting plain numbers is several times quicker than sorting indices: the place stands in the low bits of the number. Where
    both do not fit, the lowest bits are left out, and what is equal without them is put right afterwards.

    >>> stable_order(np.array([5, 3, 5, 0]))
    array([3, 1, 0, 2])
    """
    size = values.size
    if size < 2 or bool(np.all(values[1:] >= values[:-1])):
        return np.arange(size, dtype=np.int64)
    low = (size - 1).bit_length()
    cut = max(0, int(values.max()).bit_length() + low - 63)
    keys = ((values.astype(np.int64) >> cut) << low) | np.arange(size, dtype=np.int64)
    keys.sort()
    order: Ints = keys & ((1 << low) - 1)
    if cut:
        ranked = values[order]
        if not np.all(ranked[1:] >= ranked[:-1]):
            keys >>= low
            tied = _tied(keys)
            some = order[tied]
            order[tied] = some[np.lexsort((some, values[some]))]
    return order


def _tied(ranked: Ints) -> Ints:
    """The places in a sorted array of what is there more than once."""
    same = ranked[1:] == ranked[:-1]
    tied = np.zeros(ranked.size, bool)
    tied[1:] |= same
    tied[:-1] |= same
    return np.flatnonzero(tied)


MANY_TIED = 50_000
"""From so many equal moments on, two sorts of plain numbers are quicker than one by two keys."""
LARGE = 300_000
"""From so many elements on, compiled loops and work in turns are worth their loading."""


def is_large(size: int) -> bool:
    """Are so many elements worth a compiled loop? Below that, the same is done by whole arrays."""
    return size >= LARGE


def order_within(group: NDArray[np.integer], at: Ints, then: Ints | None = None) -> Ints:
    """The order by group, then moment, then `then`, then place; as indices. Groups are 0 or above."""
    if at.size == 0:
        return np.zeros(0, np.int64)
    return in_groups(order_in_time(at, then), group, int(group.max()) + 1)


def in_groups(order: Ints, group: NDArray[np.integer], groups: int) -> Ints:
    """Places in some order, by group (0 to `groups` - 1), those of a group in the order in which they came.

    >>> in_groups(np.array([3, 1, 0]), np.array([1, 0, 9, 1]), 10)
    array([1, 3, 0])
    """
    if is_large(order.size) and groups <= order.size:
        from .order_kernel import into_groups

        return into_groups(order, group.astype(np.int32, copy=False), groups)
    return order[stable_order(group[order])]


def order_in_time(at: Ints, then: Ints | None = None) -> Ints:
    """The order by moment, then `then`, then place; as indices."""
    if at.size == 0:
        return np.zeros(0, np.int64)
    order = np.arange(at.size) if bool(np.all(at[1:] >= at[:-1])) else stable_order(_from_zero(at))
    if then is None:
        return order
    if is_large(at.size):
        from .order_kernel import ties_put_right

        if ties_put_right(order, at, then):
            return order
    ranked = at[order]
    tied = _tied(ranked)
    if tied.size < 2:
        return order
    some = order[tied]
    moment, after = ranked[tied], then[some]
    if np.all((after[1:] >= after[:-1]) | (moment[1:] != moment[:-1])):
        return order
    if tied.size < MANY_TIED:
        order[tied] = some[np.lexsort((some, after, moment))]
        return order
    by_then = stable_order(_from_zero(after))
    order[tied] = some[by_then[stable_order(_from_zero(moment[by_then]))]]
    return order


def _from_zero(at: Ints) -> Ints:
    """Moments counted from the first one, in whole seconds where all of them are."""
    least, most = int(at.min()), int(at.max())
    if most - least >= 1 << 62:  # one of them is ABSENT
        known = at[at != ABSENT]
        return np.where(at == ABSENT, 0, at - int(known.min()) + 1) if known.size else np.zeros(at.size, np.int64)
    counted = at - least
    if (
        int(counted.max()).bit_length() > 40
        and not (counted[: 1 << 16] % SECOND).any()
        and not (counted % SECOND).any()
    ):
        counted //= SECOND
    return counted


def distinct(values: NDArray[np.integer]) -> tuple[Ints, Ints]:
    """The different values in order, and how often each comes; by one sort.

    >>> distinct(np.array([4, 2, 4]))
    (array([2, 4]), array([1, 2]))
    """
    ranked = np.sort(values)
    begins = edges_of(ranked)
    return ranked[begins], run_lengths(begins, ranked.size)


def came_before(values: NDArray[np.integer]) -> Flags:
    """Which values were there at an earlier place?

    >>> came_before(np.array([7, 3, 7, 7])).tolist()
    [False, False, True, True]
    """
    again = np.zeros(values.size, bool)
    order = stable_order(values)
    ranked = values[order]
    again[order[1:]] = ranked[1:] == ranked[:-1]
    return again


def tallied(values: NDArray[np.integer], size: int) -> tuple[Ints, Ints]:
    """The same as `distinct` for values from 0 to `size` - 1: counted where that is less work than sorting."""
    if size > max(4 * values.size, 1 << 16):
        return distinct(values)
    counts = np.bincount(values, minlength=1)
    seen = np.flatnonzero(counts)
    return seen, counts[seen]


def edges_of(*sorted_groups: NDArray[np.integer]) -> Ints:
    """Where does a new group begin in arrays sorted by it? The first index of each run in which all of them are equal."""
    size = sorted_groups[0].size
    if size == 0:
        return np.zeros(0, np.int64)
    new = np.zeros(size, bool)
    new[0] = True
    for groups in sorted_groups:
        new[1:] |= groups[1:] != groups[:-1]
    return np.flatnonzero(new)


def run_lengths(begins: Ints, size: int) -> Ints:
    """How long is each run that begins at one of these indices?"""
    return np.diff(np.append(begins, size))


def running_max(values: Ints, begins: Ints) -> Ints:
    """The highest value so far within each run, this one included.

    >>> running_max(np.array([3, 1, 5, 2, 4]), np.array([0, 3]))
    array([3, 3, 5, 2, 4])
    """
    if values.size == 0:
        return values.copy()
    low = int(values.min())
    step = int(values.max()) - low + 1
    at_a_time = max(1, (1 << 62) // step - 1)
    out = np.empty_like(values)
    for first in range(0, begins.size, at_a_time):
        some = begins[first : first + at_a_time]
        until = int(begins[first + at_a_time]) if first + at_a_time < begins.size else values.size
        piece = slice(int(some[0]), until)
        lift = np.repeat(np.arange(some.size, dtype=np.int64) * step, np.diff(np.append(some, until)))
        out[piece] = np.maximum.accumulate(values[piece] - low + lift) - lift + low
    return out


def first_rows(codes: NDArray[np.integer], rows: NDArray[np.integer], groups: int, most: int) -> list[tuple[int, ...]]:
    """The first `most` source rows of each group, groups 0 to `groups` - 1, in the order of the arrays.

    Looks no further than needed: long arrays are read from the front until every group that is in them has its rows.
    """
    if is_large(codes.size):
        from .order_kernel import first_places

        return rows_at(first_places(codes.astype(np.int32, copy=False), groups, most), rows)
    found: list[list[int]] = [[] for _ in range(groups)]
    missing = groups
    # Blocks that double: the first rows of nearly all groups lie near the front.
    begin, block = 0, max(4096, 4 * groups * most)
    full = np.zeros(groups, bool)
    while begin < codes.size and missing:
        piece = codes[begin : begin + block]
        wanted = np.flatnonzero((piece >= 0) & ~full[np.maximum(piece, 0)])
        order = wanted[np.argsort(piece[wanted], kind="stable")]
        starts = edges_of(piece[order])
        for at, length in zip(starts.tolist(), run_lengths(starts, order.size).tolist(), strict=True):
            group = int(piece[order[at]])
            take = order[at : at + min(length, most - len(found[group]))]
            found[group].extend(rows[begin + take].tolist())
            if len(found[group]) >= most:
                full[group] = True
                missing -= 1
        begin, block = begin + block, block * 2
    return [tuple(some) for some in found]


def rows_at(places: Ints, rows: NDArray[np.integer]) -> list[tuple[int, ...]]:
    """The source rows at the places of each group, -1 where there are no more; shape (groups, most)."""
    named = rows[np.maximum(places, 0)].tolist() if rows.size else places.tolist()
    many = (places >= 0).sum(axis=1).tolist()
    return [tuple(some[:count]) for some, count in zip(named, many, strict=True)]
