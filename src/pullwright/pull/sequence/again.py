"""The rest of a day anew: what is done stays, the next pieces stay, and the rest is made even again when an order comes in or is withdrawn.

The even course of the rest begins where the morning's course stood: what is asked for anew is spread over what is left of the day, what was
behind its course is caught up, and where nothing changed the plan does not change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.aim import Aim, Order, set_ups_in
from pullwright.pull.sequence.levelled import levelled
from pullwright.pull.sequence.with_set_ups import fewest_set_ups, trade_off

Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Again:
    """The day anew.

    `done`: what is made. `frozen`: what comes next and was not changed. `rest`: what comes after that, in its new order. `left_over`: what no
    longer fits the day, by product. `squares`: unevenness of the rest (pieces²); `at_least`: what no order of it undercuts. `told`: what
    changes, in words. `set_ups`: changes of product from the last piece done on. `on`: the product that was made last (None: nothing was made).
    """

    done: tuple[str, ...]
    frozen: tuple[str, ...]
    rest: tuple[str, ...]
    left_over: dict[str, int]
    squares: float
    at_least: float
    set_ups: int
    told: tuple[str, ...]
    on: str | None = None

    @property
    def sequence(self) -> tuple[str, ...]:
        """The whole day: what is done, what is frozen, the rest."""
        return self.done + self.frozen + self.rest

    def last_of(self, names: Sequence[str]) -> int | None:
        """Which of these products is made last before the rest? None where nothing is."""
        last = self.frozen[-1] if self.frozen else self.on
        return names.index(last) if last is not None else None


def again(
    planned: Sequence[str],
    done: Sequence[str],
    orders: Counts,
    *,
    frozen: int = 0,
    started: int = 0,
    lost: Sequence[str] = (),
    on: str | None = None,
    room: int | None = None,
    set_ups: int | None = None,
    uses: Mapping[str, Sequence[float]] | None = None,
    keep: bool = False,
) -> Again:
    """In which order does the rest of the day come, now that the orders are others?

    Parameters: `planned`, the sequence that the day began with; `done`, what was really made so far; `orders`, pieces of each product asked for
    the whole day now; `frozen`, how many of the next planned pieces stay as they are (containers are on their way) as long as they are asked for;
    `started`, how many of those are begun already and stay in any case; `lost`, what was made too and is not there any more: it is made again; `on`,
    the product that the set-up is for now (that of the last piece done where nothing is said); `room`, how many pieces more the day can make (any number where nothing is said); `set_ups`, at most so many from now on; `uses`, pieces of each part in one piece of
    each product: then parts are made even, and products only where parts do not mind; `keep`, nothing has changed: the plan stays as it is. Of two
    orders that are as even as each other the one that was planned is taken. Result: see `Again`; the rest is the most even one for
    what was done, as far as `squares` says that it is proven. Of what does not fit the day, what was not planned in the morning waits first.
    Where it needs more set-ups than that it has as few as it can, and says so. Errors: BadPlanInput for counts that are not allowed.

    >>> day = again(["a", "b", "a", "a", "b", "a"], ["a", "b"], {"a": 4, "b": 3}, frozen=1)
    >>> "".join(day.sequence)
    'abaabab'
    >>> day.told
    ('1 more b: 3 in place of 2.',)
    """
    if frozen < 0:
        raise BadPlanInput(f"{frozen} frozen pieces were read; allowed: whole numbers from 0 on")
    coming = _coming(planned, (*done, *lost))
    names, kept, counts, over, told = _following(planned, done, orders, coming, max(frozen, started), started, room)
    told = [*_lost(lost), *told]
    aim = _aim(names, counts, planned, (*done, *kept), uses)
    on = done[-1] if on is None and done else on
    set_up = () if on is None else (on,)
    last = names.index((*set_up, *kept)[-1]) if (*set_up, *kept) else None
    spent = set_ups_in([names.index(product) for product in (*set_up, *kept)])
    few = fewest_set_ups(aim, last)
    if set_ups is not None and set_ups < spent + few:
        told.append(f"At most {_count(set_ups)} more can be had; what is left needs {spent + few}.")
    most = None if set_ups is None else max(set_ups - spent, few)
    as_planned = tuple(names.index(product) for product in coming[len(kept) :])
    if keep:
        most = set_ups_in(as_planned, last)
    order, squares, at_least = _within(aim, most, last)
    if aim.fits(as_planned):
        plain, set_up_too = aim.squares(as_planned), set_ups_in(as_planned, last) <= set_ups_in(order, last)
        if keep or (set_up_too and plain <= squares * (1 + 1e-9) + 1e-12):
            order, squares, at_least = as_planned, plain, min(plain, at_least)
    rest = tuple(names[i] for i in order)
    whole = [names.index(product) for product in (*set_up, *kept, *rest)]
    changed = (*kept, *rest) != coming
    if changed and not told:
        told.append("The orders are the same; the rest is put in order anew for what was really made.")
    if not changed:
        told.append("The plan stays as it is.")
    return Again(tuple(done), kept, rest, over, squares, at_least, set_ups_in(whole), tuple(told), on)


def mix_within(
    planned: Sequence[str],
    done: Sequence[str],
    orders: Counts,
    room: int,
    *,
    frozen: int = 0,
    started: int = 0,
    lost: Sequence[str] = (),
) -> Counter[str]:
    """Which pieces follow on what is done, of each product, if there is room for so many? As `again` chooses them."""
    coming = _coming(planned, (*done, *lost))
    names, kept, counts, _, _ = _following(planned, done, orders, coming, max(frozen, started), started, room)
    return Counter(kept) + Counter(dict(zip(names, counts, strict=True)))


def _following(
    planned: Sequence[str],
    done: Sequence[str],
    orders: Counts,
    coming: Sequence[str],
    frozen: int,
    started: int,
    room: int | None,
) -> tuple[list[str], tuple[str, ...], list[int], dict[str, int], list[str]]:
    """The products; the next pieces that stay, how many of each product come after them, what does not fit, and what is told of it."""
    names = list(dict.fromkeys([*orders, *planned, *done]))
    before, made, asked = Counter(planned), Counter(done), Counter(dict(orders))
    begun = coming[:started]
    left = {name: max(asked[name] - made[name], begun.count(name)) for name in names}
    told = [*_asked_anew(names, before, asked), *_made_beyond(names, made, Counter(begun), asked)]
    kept, moved = _frozen(coming[:frozen], left)
    told += moved
    ahead_of = Counter(kept)
    free = {name: left[name] - ahead_of[name] for name in names}
    over = _left_over(names, free, before, made + ahead_of, None if room is None else max(room - len(kept), 0))
    told += [f"{n} {name} no longer {_fit(n)} the day." for name, n in over.items()]
    return names, kept, [free[name] - over.get(name, 0) for name in names], over, told


def _within(aim: Aim, most: int | None, last: int | None) -> tuple[Order, float, float]:
    """The most even order with at most so many set-ups, its squares and their bound."""
    even = levelled(aim)
    if most is None or set_ups_in(even.order, last) <= most:
        return even.order, even.squares, even.at_least
    point = trade_off(aim, most, last, points=1)[-1]
    return point.order, point.squares, point.at_least


def _aim(
    names: Sequence[str],
    counts: Sequence[int],
    planned: Sequence[str],
    made: Sequence[str],
    uses: Mapping[str, Sequence[float]] | None,
) -> Aim:
    """The even course of the rest: it begins where the morning's course stands after as many pieces as are made or frozen."""
    gone = Fraction(min(len(made), len(planned)), max(len(planned), 1))
    wanted, come = Counter(planned), Counter(made)
    ahead = [come[name] - gone * wanted[name] for name in names]
    if uses is None:
        return Aim.of_products(counts, ahead)
    rows = [uses.get(name, ()) for name in names]
    parts = max(map(len, rows), default=0)
    table = [[*row, *[0.0] * (parts - len(row))] for row in rows]
    exact = Aim.of_parts(counts, table).uses
    of_parts = [sum((row[j] * a for row, a in zip(exact, ahead, strict=True)), Fraction(0)) for j in range(parts)]
    return Aim.of_parts(counts, table, [*of_parts, *ahead], products=TIES)


TIES = 0.001
"""Beside parts, products count with this weight: it settles which of two orders that use parts alike is taken."""


def _asked_anew(names: Sequence[str], before: Counts, asked: Counts) -> list[str]:
    found = []
    for name in names:
        more = asked[name] - before[name]
        if more:
            found.append(
                f"{abs(more)} {'more' if more > 0 else 'fewer'} {name}: {asked[name]} in place of {before[name]}."
            )
    return found


def _lost(lost: Sequence[str]) -> list[str]:
    return [
        f"{n} {name} {'was' if n == 1 else 'were'} lost and {'is' if n == 1 else 'are'} made again."
        for name, n in Counter(lost).items()
    ]


def _made_beyond(names: Sequence[str], made: Counts, begun: Counts, asked: Counts) -> list[str]:
    found = []
    for name in names:
        done, started = max(made[name] - asked[name], 0), min(begun[name], made[name] + begun[name] - asked[name])
        if done:
            found.append(f"{done} {name} {_are(done)} made already that nobody asks for now.")
        if started > 0:
            found.append(f"{started} {name} {_are(started)} started already that nobody asks for now.")
    return found


def _coming(planned: Sequence[str], gone: Sequence[str]) -> tuple[str, ...]:
    """What of the plan has not come yet: of every product its first pieces are gone, in whatever order they came."""
    left, coming = Counter(gone), []
    for product in planned:
        if left[product]:
            left[product] -= 1
        else:
            coming.append(product)
    return tuple(coming)


def _frozen(following: Sequence[str], left: Counts) -> tuple[tuple[str, ...], list[str]]:
    """The next planned pieces, as far as they are still asked for."""
    kept: list[str] = []
    dropped: Counter[str] = Counter()
    for product in following:
        if kept.count(product) < left.get(product, 0):
            kept.append(product)
        else:
            dropped[product] += 1
    return tuple(kept), [
        f"{n} {name} of the next pieces {_go(n)} out: no longer asked for." for name, n in dropped.items()
    ]


def _left_over(names: Sequence[str], free: Counts, before: Counts, made: Counts, room: int | None) -> dict[str, int]:
    """What does not fit: first what was not planned in the morning (evenly), then the end of the most even order of what is left."""
    too_many = 0 if room is None else max(sum(free.values()) - room, 0)
    if not too_many:
        return {}
    new = [min(max(made[name] + free[name] - before[name], 0), free[name]) for name in names]
    over = [0] * len(names)
    for group in (new, [free[name] - n for name, n in zip(names, new, strict=True)]):
        wait = min(too_many, sum(group))
        order = levelled(Aim.of_products(group)).order
        for i in order[len(order) - wait :] if wait else ():
            over[i] += 1
        too_many -= wait
    return {name: n for name, n in zip(names, over, strict=True) if n}


def _count(n: int) -> str:
    return "1 set-up" if n == 1 else f"{n} set-ups"


def _fit(n: int) -> str:
    return "fits" if n == 1 else "fit"


def _are(n: int) -> str:
    return "is" if n == 1 else "are"


def _go(n: int) -> str:
    return "goes" if n == 1 else "go"
