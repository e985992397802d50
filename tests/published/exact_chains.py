"""Exact Markov chains of small serial lines with exponential times: what a run must come near to, worked out without running.

States and their changes are made from the rules of docs/forecast.md: a machine whose piece has no room holds it (blocking after
service), cards and a cap let a step begin, a machine breaks down by its running time or by the clock. The balance of the chain is one
sparse system. Orders that wait are cut off where they have become too rare to matter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from tests.forecast.small_lines import DAY, line_text, machine

IDLE, BUSY, HOLDS = range(3)
Place = tuple[int, int, int]
"""Of one step: pieces before it, what its machine does, 1 while it is broken down."""
State = tuple[int, tuple[Place, ...]]
"""What is owed to customers, and the steps. Owed: jobs not begun yet; with stage cards, orders that wait (below 0: units in the finished store)."""
ANY = 1 << 30


@dataclass(frozen=True)
class Shares:
    """What the chain says of a line in the long run: pieces a second, mean pieces, shares of each machine's time."""

    rate: float
    before: tuple[float, ...]
    in_line: float
    in_store: float
    working: tuple[float, ...]
    repaired: tuple[float, ...]
    held: tuple[float, ...]
    not_asked: tuple[float, ...]
    starved: tuple[float, ...]
    cut_off: float
    """How often the last state that is followed is taken: what is left out is of that size."""


@dataclass(frozen=True)
class SerialLine:
    """Machines one after another. `means` s; `spaces` before the second and those after it, None: any number fit.

    `breakdowns`, of each machine: None, or (mean time between s, mean repair s, by the clock?). `orders`, mean time between two at random s, None: never
    without. `cards` of each step, none: begun to order. `cap` over the whole line.
    """

    means: tuple[float, ...]
    spaces: tuple[int | None, ...]
    breakdowns: tuple[tuple[float, float, bool] | None, ...]
    orders: float | None = None
    cards: tuple[int, ...] = ()
    cap: int | None = None
    most_owed: int = field(default=80, compare=False)

    # --- rules ------------------------------------------------------------------------------------------------------

    def _room(self, places: tuple[Place, ...], j: int) -> bool:
        """Is there room before step `j`? Where no room is at all, a piece goes straight on to a machine that could take it."""
        if j == len(self.means):
            return True
        space, (lying, doing, down) = self.spaces[j - 1], places[j]
        if space == 0:
            return lying == 0 and doing == IDLE and not down
        return space is None or lying < space

    def _has_piece(self, state: State, j: int) -> bool:
        owed, places = state
        if j > 0:
            return places[j][0] > 0
        return bool(self.cards) or self.orders is None or owed > 0

    def _allowed(self, state: State, j: int) -> bool:
        """Do cards and the cap let step `j` begin one more?"""
        owed, places = state
        if self.cards:
            behind = max(-owed, 0) if j + 1 == len(places) else places[j + 1][0]
            return (places[j][1] != IDLE) + behind < self.cards[j]
        if self.cap is not None and j == 0:
            return in_line(places) < self.cap
        return True

    def _settled(self, state: State) -> State:
        """All that moves at once: pieces that are held go on, idle machines begin, from the customer back to the first step."""
        owed, places = state
        moved = True
        while moved:
            moved = False
            for j in reversed(range(len(places))):
                lying, doing, down = places[j]
                if doing == HOLDS and self._room(places, j + 1):
                    places = _with(places, j, (lying, IDLE, down))
                    if j + 1 < len(places):
                        after = places[j + 1]
                        places = _with(places, j + 1, (after[0] + 1, *after[1:]))
                    elif self.cards and self.orders is not None:
                        owed -= 1  # never without orders, it is shipped at once
                    moved = True
                elif (
                    doing == IDLE
                    and not down
                    and self._has_piece((owed, places), j)
                    and self._allowed((owed, places), j)
                ):
                    places = _with(places, j, (lying - 1 if j else 0, BUSY, down))
                    if j == 0 and not self.cards and self.orders is not None:
                        owed -= 1
                    moved = True
                if moved:
                    break
        return owed, places

    def changes(self, state: State) -> Iterator[tuple[float, State]]:
        """The rates at which a state changes, and to which one."""
        owed, places = state
        for j, (lying, doing, down) in enumerate(places):
            if doing == BUSY and not down:
                yield 1 / self.means[j], self._settled((owed, _with(places, j, (lying, HOLDS, down))))
            fails = self.breakdowns[j]
            if fails is not None and down:
                yield 1 / fails[1], self._settled((owed, _with(places, j, (lying, doing, 0))))
            elif fails is not None and (doing == BUSY or fails[2]):
                yield 1 / fails[0], self._settled((owed, _with(places, j, (lying, doing, 1))))
        if self.orders is not None and owed < self.most_owed:
            yield 1 / self.orders, self._settled((owed + 1, places))

    # --- long run ---------------------------------------------------------------------------------------------------

    def chances(self) -> dict[State, float]:
        """How often each state is taken in the long run."""
        first = self._settled((0, ((0, IDLE, 0),) * len(self.means)))
        found, states = {first: 0}, [first]
        rows, columns, rates = [], [], []
        for k, state in enumerate(states):
            for rate, after in self.changes(state):
                if after not in found:
                    found[after] = len(states)
                    states.append(after)
                rows += [found[after], k]
                columns += [k, k]
                rates += [rate, -rate]
        balance = coo_matrix((rates, (rows, columns)), shape=(len(states),) * 2).tolil()
        balance[0] = 1.0  # one of them says what the others do; instead of it, all chances are 1 together
        taken = spsolve(balance.tocsc(), np.eye(1, len(states))[0])
        return dict(zip(states, taken.tolist(), strict=True))

    def shares(self) -> Shares:
        """What the chain says of the line."""
        chances = self.chances()
        each = range(len(self.means))

        def mean(of: object) -> float:
            return sum(chance * of(owed, places) for (owed, places), chance in chances.items())  # type: ignore[operator]

        def idle(j: int, asked: bool) -> float:
            return sum(
                chance for state, chance in chances.items()
                if state[1][j][1] == IDLE and (self._has_piece(state, j) and not self._allowed(state, j)) != asked
            )  # fmt: skip

        working = tuple(mean(lambda _, places, j=j: places[j][1:] == (BUSY, 0)) for j in each)
        return Shares(
            rate=working[-1] / self.means[-1],
            before=tuple(mean(lambda _, places, j=j: places[j][0]) for j in each),
            in_line=mean(lambda _, places: in_line(places)),
            in_store=mean(lambda owed, _: max(-owed, 0)),
            working=working,
            repaired=tuple(mean(lambda _, places, j=j: places[j][1:] == (BUSY, 1)) for j in each),
            held=tuple(mean(lambda _, places, j=j: places[j][1] == HOLDS) for j in each),
            not_asked=tuple(idle(j, asked=False) for j in each),
            starved=tuple(idle(j, asked=True) for j in each),
            cut_off=0.0 if self.orders is None else sum(chance for (owed, _), chance in chances.items() if owed == self.most_owed),
        )  # fmt: skip

    # --- the same in the words of a line file -----------------------------------------------------------------------

    def text(self) -> str:
        """The line file."""
        releases = [f", release: {{by: cards, cards: {many}, per_card: 1}}" for many in self.cards] or [""] * len(
            self.means
        )
        plenty = 1.4 * DAY / min(self.means)
        demand = plenty if self.orders is None else DAY / self.orders
        if self.cap is not None:
            releases[0] = f", release: {{by: cap, limit: {self.cap}, until: t{len(self.means) - 1}}}"
        elif self.orders is None and not self.cards:
            releases[0], demand = f", release: {{by: push, rate: {plenty!r} /d}}", 10.0
        return line_text(
            [machine(f"{mean!r} s", "exponential") + release for mean, release in zip(self.means, releases, strict=True)],
            demand=f"{demand!r} /d",
            stations=["" if one is None else _breakdowns(*one) for one in self.breakdowns],
            more="stores:\n" + "".join(f"  - {{before: t{j + 1}, capacity: {space}}}\n" for j, space in enumerate(self.spaces) if space is not None)
            if any(space is not None for space in self.spaces) else "",
        )  # fmt: skip


def in_line(places: tuple[Place, ...]) -> int:
    """Pieces that were begun and are not finished."""
    return sum(lying + (doing != IDLE) for lying, doing, _ in places)


def _with(places: tuple[Place, ...], j: int, place: Place) -> tuple[Place, ...]:
    return (*places[:j], place, *places[j + 1 :])


def _breakdowns(between: float, repair: float, by_clock: bool) -> str:
    counted = ", counted_by: clock" if by_clock else ""
    return f"breakdowns: {{between: {between!r} s, repair: {{mean: {repair!r} s, distribution: exponential}}{counted}}}"
