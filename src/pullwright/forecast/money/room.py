"""The floor of runs, day by day: what lies there and what stands there, against the floor that there is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pullwright.account import Accounts
from pullwright.account.floor import area_of, container_of
from pullwright.figure import Figure, Source, from_readings
from pullwright.flow.stock import Stock
from pullwright.forecast.drawn import drawn
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.money.sureness import Bands, Chance, Enough, bands_of, chance_of, enough, in_runs
from pullwright.forecast.whole_sets import pieces_in_a_set
from pullwright.watch.sample.clusters import LEVEL

Floats = NDArray[np.float64]
FIXED = ("stations", "places", "ways", "red-tagged")
"""Rows of the floor account that stand there whatever the line does."""


@dataclass(frozen=True)
class FloorBook:
    """Floor by run and working day (R, D), at the end of the day; m².

    `places`: area of what lies in each place, by the words of the place ("before hone bore"). `fixed`: stations, places, ways and red-tagged things.
    `total`: the floor that there is, None where the file does not say it. `without`: places whose containers are not given; what lies
    there takes no floor here.
    """

    places: dict[str, Floats]
    fixed: float
    total: float | None
    without: tuple[str, ...]
    runs_and_days: tuple[int, int]

    @cached_property
    def area(self) -> Floats:
        """All that is taken (R, D)."""
        taken = np.full(self.runs_and_days, self.fixed)
        for area in self.places.values():
            taken += area
        return taken

    @property
    def peaks(self) -> Floats:
        """The most that each run takes (R,)."""
        peaks: Floats = self.area.max(axis=1)
        return peaks


def floor_book(book: DayBook, accounts: Accounts, *, draw: int | None = None) -> FloorBook:
    """How much floor is taken at the end of each working day?

    As in the floor account: whole containers, stacked as high as allowed, in the container of the store, else of the part. Before a step where
    flows come together pieces are counted in whole sets; where several steps finish, the finished store is parted as they ship.
    """
    book, floor = book.by_run(), accounts.floor
    places: dict[str, Floats] = {}
    without = []
    for stock, pieces in _pieces(book, accounts, draw):
        found = container_of(accounts.flow, stock)
        if found is None:
            if np.any(pieces > 0):
                without.append(stock.words)
            continue
        path, container = found
        each = drawn(accounts.flow.givens.figure((*path, "floor")), draw)
        places[stock.words] = area_of(pieces, container.holds, container.stack, each)
    line = accounts.flow.line
    return FloorBook(
        places,
        sum(drawn(floor.row(key).amount, draw) for key in FIXED),
        None if line.floor is None else drawn(floor.whole, draw),
        tuple(without),
        (book.runs, book.days),
    )


def _pieces(book: DayBook, accounts: Accounts, draw: int | None) -> list[tuple[Stock, Floats]]:
    """What lies in each stock of the accounts, (R, D)."""
    stocks = accounts.ground.stocks
    in_a_set = pieces_in_a_set(accounts.flow)
    shipped = sum(drawn(one.taken, draw) for one in stocks if one.kind == "after")
    ends = sum(one.kind == "after" for one in stocks)

    def lies(stock: Stock) -> Floats:
        if stock.part is not None:
            return np.asarray(book.part_stock[..., stock.part], float)
        if stock.kind == "before":
            step = stock.step or 0
            return np.asarray(book.lying_by_day[..., step] / in_a_set[step])
        share = drawn(stock.taken, draw) / shipped if shipped > 0 else 1 / ends
        return np.asarray(book.lying_by_day[..., -2] * share)

    return [(stock, lies(stock)) for stock in stocks]


@dataclass(frozen=True)
class FloorForecast:
    """What the runs tell together of the floor. m²; days are working days of the run, the first one is 0.

    `area`: bands by working day. `peak`: the most that a run takes, on average, and `peak_day`, when. `over`: the chance that a run takes more
    than there is on one day or more; None where the floor is not given. `enough`: floor that suffices in all but a wished share of the runs.
    `notes`: what is not given.
    """

    area: Bands
    peak: Figure
    peak_day: Figure
    over: Chance | None
    enough: Enough
    notes: tuple[str, ...]


def floor_forecast(floor: FloorBook, *, wished: float = 0.05, level: float = LEVEL) -> FloorForecast:
    """How much floor will be taken, when most, and how likely is it more than there is?"""
    peaks, days = floor.peaks, floor.area.argmax(axis=1)
    said = f"{in_runs(peaks.size)} of {floor.area.shape[1]:,} working days"
    notes = []
    if floor.total is None:
        notes.append("The floor that there is is not given (`floor: total`): whether it is enough cannot be said.")
    if floor.without:
        notes.append(f"In what containers it lies is not given of {', '.join(floor.without)}: it takes no floor here.")
    return FloorForecast(
        bands_of(floor.area),
        from_readings("most floor taken", peaks.tolist(), "m2", Source("computed", f"mean of the peaks of {said}")),
        from_readings("day of the most floor taken", days.tolist(), "wd", Source("computed", f"mean of {said}")),
        None if floor.total is None else chance_of("chance to take more floor than there is", peaks > floor.total + 1e-9, level=level),
        enough("floor needed", peaks, "m2", wished=wished, level=level),
        tuple(notes),
    )  # fmt: skip
