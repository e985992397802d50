"""What of a delivery does not fit at the line, and is therefore carried away and back again.

Stock at the line is a sawtooth: a lot comes when so much still lies there, and is used up evenly until the next one comes. What finds no room
on arrival is carried away at once, and comes back as soon as there is room: every such piece travels twice. Where more than the room lies there
already when the lot comes, the whole lot is carried, and not more.

The functions take floats or arrays and work number by number, so that draws go through them as values do.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.carrying import away_and_back
from pullwright.figure import Draws
from pullwright.pull.errors import BadPlanInput

_NO_SWING = 1e-12
_FAR = 38.0
"""So many standard deviations away the normal density is nothing to a float."""


@dataclass(frozen=True, slots=True)
class Away:
    """Where pieces go that find no room: `distance` one way (m), `batch` pieces at a time, `handling` of a batch (s), `speed` of a walk (m/s)."""

    distance: float
    batch: float = 1
    handling: float = 0.0
    speed: float = 1.1

    @property
    def seconds(self) -> float:
        """How long it takes to carry one piece away and back (person-s/piece), as the hours account counts it."""
        return float(away_and_back(self.batch, self.distance, self.speed, self.handling))


@dataclass(frozen=True, slots=True)
class CarriedAway:
    """What becomes of one delivery.

    `pieces` of it find no room, which is this `share` of all pieces; `trips` away and back together, and their `time` (person-s), a delivery;
    `time_a_day` (person-s/wd). `outside`: how many pieces lie elsewhere, on average over time; `most`: how many lie there and here just after
    a delivery.
    """

    pieces: float
    share: float
    trips: float
    time: float
    time_a_day: float
    outside: float
    most: float


def carried_away(
    lot: float, room: float, use: float, on_arrival: float = 0.0, swing: float = 0.0, away: Away | None = None
) -> CarriedAway:
    """How much of every delivery is carried away and back again, and how long does that take?

    Parameters: `lot` pieces come at once, `room` for so many is at the line, `use` a working day (pieces/wd), `on_arrival` pieces still lie there
    on average when they come (the safety stock), and that differs by `swing` from delivery to delivery (its standard deviation, pieces). `away`:
    where they go; without it no time is known, and it counts as 0. BadPlanInput for a lot or use that is not above 0, or anything below 0.

    Source: area under the sawtooth; the expected part of a normal quantity above a limit is the linear loss (Raiffa & Schlaifer 1961).

    >>> tubes = carried_away(600, 200, 30, away=Away(distance=44, batch=25, handling=60))
    >>> tubes.pieces, round(tubes.share, 3), tubes.trips, round(tubes.time / 60)
    (400.0, 0.667, 32.0, 75)
    >>> round(tubes.outside, 1)
    133.3
    """
    for name, value, above in (("lot", lot, True), ("use", use, True), ("room", room, False), ("stock on arrival", on_arrival, False), ("swing", swing, False)):  # fmt: skip
        if not (value > 0 if above else value >= 0):
            raise BadPlanInput(
                f"a {name} of {value:g} pieces was read; allowed: {'above' if above else 'from'} 0{'' if above else ' on'}"
            )
    pieces = float(pieces_away(lot, room, on_arrival, swing))
    trips = 0.0 if away is None else 2 * pieces / away.batch
    time = 0.0 if away is None else pieces * away.seconds
    outside = float(pieces_outside(lot, room, on_arrival))
    return CarriedAway(pieces, pieces / lot, trips, time, time * use / lot, outside, lot + on_arrival)


def pieces_away(lot: Any, room: Any, on_arrival: Any = 0.0, swing: Any = 0.0) -> Any:
    """How many pieces of a delivery find no room, on average?

    With s pieces there on arrival it is what s + lot is above the room, at most the lot: max(Q - R, 0) + (s - a)⁺ - (s - R)⁺, a = max(R - Q, 0).
    For s normal with this mean and `swing`, and never below 0, each (s - x)⁺ has the linear loss as its mean.

    >>> float(pieces_away(600, 200)), float(pieces_away(600, 200, 41)), float(pieces_away(150, 200, 41))
    (400.0, 441.0, 0.0)
    >>> round(float(pieces_away(150, 200, 41, swing=25)), 2)
    6.11
    """
    lot, room = np.asarray(lot, dtype=float), np.asarray(room, dtype=float)
    free = np.where(np.isfinite(room), room, 0.0)
    beside = np.maximum(free - lot, 0.0)
    found = np.maximum(lot - free, 0.0) + mean_above(on_arrival, swing, beside) - mean_above(on_arrival, swing, free)
    return np.where(np.isfinite(room), np.clip(found, 0.0, lot), 0.0)


def share_away(lot: Any, room: Any, on_arrival: Any = 0.0, swing: Any = 0.0) -> Any:
    """Which share of all pieces is carried away and back? From 0 where every delivery fits to 1 where none of it ever does.

    >>> round(float(share_away(600, 200)), 3)
    0.667
    """
    lot = np.asarray(lot, dtype=float)
    return pieces_away(lot, room, on_arrival, swing) / np.maximum(lot, 1e-12)


def mean_above(mean: Any, swing: Any, limit: Any) -> Any:
    """By how much is a normal quantity above a limit, on average? σ (φ(z) - z (1 - Φ(z))) with z = (limit - mean) / σ; limits from 0 on.

    The unit normal linear loss (Raiffa & Schlaifer 1961); without a swing it is what the mean is above the limit.

    >>> [round(float(mean_above(0.0, 1.0, z)), 4) for z in (0.0, 0.5, 1.0, 2.0)]
    [0.3989, 0.1978, 0.0833, 0.0085]
    """
    from scipy.special import ndtr

    mean, swing = np.asarray(mean, dtype=float), np.asarray(swing, dtype=float)
    over = mean - np.asarray(limit, dtype=float)
    some = np.where(swing > _NO_SWING, swing, 1.0)
    z = np.clip(-over / some, -_FAR, _FAR)
    loss = over * ndtr(-z) + some * np.exp(-z * z / 2) / np.sqrt(2 * np.pi)
    return np.where(swing > _NO_SWING, np.maximum(loss, 0.0), np.maximum(over, 0.0))


def pieces_outside(lot: Any, room: Any, on_arrival: Any = 0.0) -> Any:
    """How many pieces lie elsewhere for want of room, on average over time?

    The area of the sawtooth above the room, over the time between two deliveries: ((s + Q - R)⁺² - (s - R)⁺²) / 2 Q.

    >>> float(pieces_outside(600, 200)), float(pieces_outside(150, 200, 40))
    (133.33333333333334, 0.0)
    """
    lot, room = np.asarray(lot, dtype=float), np.asarray(room, dtype=float)
    high, low = np.maximum(on_arrival + lot - room, 0.0), np.maximum(np.asarray(on_arrival) - room, 0.0)
    return (high * high - low * low) / (2 * np.maximum(lot, 1e-12))


def away_over_draws(lot: float, room: float, order_at: float, used: Draws) -> float:
    """How many pieces of a delivery find no room, on average over draws of what is used between its order and its coming?

    `order_at`: so many are there and under way when it is ordered; `used`: pieces, equally likely, shape (n,). What is wanted and not there
    waits for nobody: stock does not fall below 0.

    >>> away_over_draws(600, 200, 395, np.array([350.0, 354.0, 420.0]))
    428.6666666666667
    """
    there = np.maximum(order_at - np.asarray(used, dtype=float), 0.0)
    return float(np.mean(np.clip(there + lot - room, 0.0, lot)))
