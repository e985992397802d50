"""What counts of a pile tell: how much lies there now, and how fast it grows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pullwright.figure import N_DRAWS, Figure, Reading, derive, from_draws, given
from pullwright.flow.givens import Givens
from pullwright.line.model import Count


def counted_now(givens: Givens, s: int) -> Figure | None:
    """How many pieces were counted in store `s`, the last time somebody counted? None where nobody did."""
    store = givens.line.stores[s]
    if store.counted is not None:
        figure = givens.figure(("stores", s, "counted"))
        return _as_count(figure)
    if not store.counts:
        return None
    last = max(range(len(store.counts)), key=lambda k: store.counts[k].on)
    return _as_count(givens.figure(("stores", s, "counts", last, "pieces")), _readings(givens, s, store.counts))


def growth_of(givens: Givens, s: int) -> Figure | None:
    """By how many pieces a working day does the pile in store `s` grow? None where nothing is known of it.

    As given, or the slope of a straight line through the counts over working days (ordinary least squares), with Student's t for how well
    three or more counts tell it; two counts give the slope alone. A pile that shrinks does not grow: see `grown`.
    """
    store = givens.line.stores[s]
    if store.grows is not None:
        return givens.per_day(("stores", s, "grows"))
    if len({count.on for count in store.counts}) < 2:
        return None
    first = min(count.on for count in store.counts)
    calendar = givens.line.work_calendar
    days = np.array([calendar.working_days(first, count.on) for count in store.counts], dtype=float)
    pieces = np.array([count.pieces.value for count in store.counts])
    if np.ptp(days) == 0:
        return None
    centred = days - days.mean()
    slope = float((centred * pieces).sum() / (centred**2).sum())
    name = f"growth of the counts / {givens.name(('stores', s))}"
    source = replace(givens.source(("stores", s, "counts")), kind="count", readings=_readings(givens, s, store.counts))
    rest = pieces - pieces.mean() - slope * centred
    if len(pieces) < 3 or not np.any(np.abs(rest) > 1e-9 * max(1.0, float(np.abs(pieces).max()))):
        return given(name, slope, "pieces/wd", source)
    freedom = len(pieces) - 2
    error = float(np.sqrt((rest**2).sum() / freedom / (centred**2).sum()))
    from hashlib import sha256

    rng = np.random.default_rng(int.from_bytes(sha256(name.encode()).digest()[:8], "big"))
    return from_draws(
        name, slope, slope + error * rng.standard_t(freedom, N_DRAWS), "pieces/wd", source, readings=len(pieces)
    )


def grown(name: str, growth: Figure) -> Figure:
    """What of a growth is stock that nobody pulled: a pile that shrinks counts as none."""
    return derive(
        f"made ahead a day / {name}",
        lambda g: np.maximum(g, 0.0),
        growth,
        unit="pieces/wd",
        formula="growth of the stock, where it grows",
    )


def _readings(givens: Givens, s: int, counts: tuple[Count, ...]) -> tuple[Reading, ...]:
    return tuple(
        Reading(count.pieces.value, "pieces", str(count.on), count.who, givens.source(("stores", s, "counts", k)).place, count.from_)
        for k, count in enumerate(counts)
    )  # fmt: skip


def _as_count(figure: Figure, readings: tuple[Reading, ...] = ()) -> Figure:
    """A count is a reading somebody took: its source says so."""
    if figure.source is None:
        return figure
    return replace(figure, source=replace(figure.source, kind="count", readings=readings or figure.source.readings))
