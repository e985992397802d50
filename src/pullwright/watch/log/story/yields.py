"""What comes out good: first-pass yield, scrap, what is held, rework, pieces lost along the way, rolled yield."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import first_rows
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import NONE, share
from pullwright.watch.log.story.visits import Shop
from pullwright.watch.log.story.way import Way


@dataclass(frozen=True, slots=True)
class StepYield:
    """Pieces of one step. Shares come with Wilson intervals; `count` of each is the pieces looked at.

    `first_pass`: share of pieces that were good at the first visit, neither scrapped nor held nor done again; `scrap`
    and `held`: shares of all pieces done; `rework`: share of visits that were done again (booked as rework, or back
    after another step). `lost` are pieces that the step before gave and this one did not take on, where both book pieces.
    """

    step: str
    good: float
    scrapped: float
    held_pieces: float
    first_pass: Measured
    scrap: Measured
    held: Measured
    rework: Measured
    lost: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Yields:
    """Yields of all steps that book pieces, in usual order; `rolled` multiplies the first-pass yields of the main steps."""

    steps: tuple[StepYield, ...]
    rolled: Measured
    scrap: Measured
    rework_cases: int
    cases: int
    says_pieces: bool
    rows: tuple[int, ...]
    found: str


def yields_of(shop: Shop, way: Way) -> Yields:
    """What comes out good at each step, and what does not?

    Shares of pieces have Wilson intervals, as if pieces went wrong one by one; pieces of one lot often go wrong together, so
    that the truth is somewhat wider.
    """
    visits, names = shop.visits, shop.laid.step.names
    size = len(names)
    says = bool({"good", "scrap", "held"} & shop.laid.events.has)
    again = visits.again | visits.marked
    pieces = np.nan_to_num(visits.pieces)

    def summed(values: np.ndarray) -> np.ndarray:
        return np.bincount(visits.step, values, size)

    done, scrapped, held = summed(pieces), summed(visits.scrap), summed(visits.held)
    first_good = summed(np.where(again, 0.0, visits.good))
    first_all = summed(np.where(again, 0.0, pieces))
    count, back = np.bincount(visits.step, minlength=size), np.bincount(visits.step[again], minlength=size)
    lost = _lost(shop, size)
    rows = first_rows(visits.step, visits.row, size, MOST_ROWS)
    bad_rows = first_rows(
        np.where((visits.scrap > 0) | (visits.held > 0), visits.step, -1), visits.row, size, MOST_ROWS
    )
    again_rows = first_rows(np.where(again, visits.step, -1), visits.row, size, MOST_ROWS)
    told = []
    for one in way.order:
        k = names.index(one.step)
        first_pass = share(first_good[k], first_all[k], bad_rows[k] or rows[k]) if first_all[k] > 0 else NONE
        told.append(
            StepYield(
                one.step, float(done[k] - scrapped[k] - held[k]), float(scrapped[k]), float(held[k]), first_pass,
                share(scrapped[k], done[k], bad_rows[k] or rows[k]) if done[k] > 0 else NONE,
                share(held[k], done[k], bad_rows[k] or rows[k]) if done[k] > 0 else NONE,
                share(float(back[k]), float(count[k]), again_rows[k] or rows[k]), float(lost[k]), rows[k],
            )
        )  # fmt: skip
    main = {one.step for one in way.order if one.main}
    bad = float(scrapped.sum())
    # Of all pieces once: a piece that goes through nine steps is booked nine times.
    total = float(np.nansum(np.fmax.reduceat(visits.pieces, visits.begins))) if visits.size else 0.0
    cases_again = int(np.unique(visits.case[again]).size)
    rolled = _rolled([one.first_pass for one in told if one.step in main and one.first_pass.known])
    scrap = share(bad, total, tuple(visits.row[visits.scrap > 0][:MOST_ROWS].tolist())) if total > 0 else NONE
    return Yields(
        tuple(told), rolled, scrap, cases_again, int(visits.begins.size), says, tuple(visits.row[:MOST_ROWS].tolist()),
        _sentence(told, scrap, cases_again, int(visits.begins.size), says),
    )  # fmt: skip


def _lost(shop: Shop, size: int) -> np.ndarray:
    """Pieces that the visit before gave good and this one did not take on."""
    visits = shop.visits
    if not visits.size:
        return np.zeros(size)
    before = np.append(np.nan, visits.good[:-1])
    before[visits.begins] = np.nan
    short = np.where(np.isfinite(visits.pieces) & (before > visits.pieces), before - visits.pieces, 0.0)
    return np.bincount(visits.step, np.nan_to_num(short), size)


def _rolled(shares: list[Measured]) -> Measured:
    """The product of shares, with the interval of a product of independent ones (on the logarithm)."""
    if not shares or any(one.value <= 0 for one in shares):
        return NONE
    value = float(np.prod([one.value for one in shares]))
    down = float(np.sqrt(sum(np.log(one.value / max(one.low, 1e-9)) ** 2 for one in shares)))
    up = float(np.sqrt(sum(np.log(max(one.high, one.value) / one.value) ** 2 for one in shares)))
    rows = tuple(row for one in shares for row in one.rows[:4])[:MOST_ROWS]
    return Measured(
        value, value * float(np.exp(-down)), min(value * float(np.exp(up)), 1.0), min(one.count for one in shares), rows
    )


def _sentence(told: list[StepYield], scrap: Measured, again: int, cases: int, says: bool) -> str:
    back = f"{again:,} of {cases:,} orders come back to a step that was done, or are booked as done again."
    if not says:
        return f"The log has no quantities, so that scrap cannot be told. {back}"
    if not scrap.known:
        return f"No pieces are booked. {back}"
    bad = sum(one.scrapped for one in told)
    said = "No piece is booked as scrapped."
    if bad:
        worst = max(told, key=lambda one: one.scrapped)
        said = f"{bad:,.0f} of {scrap.count:,} pieces are scrapped, {percent(scrap.value)}."
        said += f" {worst.step} scraps most: {worst.scrapped:,.0f} of them."
    return f"{said} {back}"
