"""What does not fit at the line: laws of the share, and the formulas beside a plain day-by-day simulation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.deliveries.carried_away import (
    Away,
    away_over_draws,
    carried_away,
    pieces_away,
    pieces_outside,
    share_away,
)
from pullwright.pull.errors import BadPlanInput

lots = st.integers(1, 900)
rooms = st.integers(0, 900)
lying = st.integers(0, 300)


@given(lots, rooms, lying)
def test_nothing_is_carried_where_all_of_it_fits(lot: int, room: int, there: int) -> None:
    assert (share_away(lot, room, there) == 0) == (lot + there <= room)


@settings(max_examples=60)
@given(lots, lots, rooms, lying, st.floats(0, 80))
def test_the_share_is_a_share_and_grows_with_the_lot(lot: int, more: int, room: int, there: int, swing: float) -> None:
    small, large = (float(share_away(one, room, there, swing)) for one in (lot, lot + more))
    assert 0 <= small <= large + 1e-9 <= 1 + 2e-9


def test_without_room_everything_is_carried() -> None:
    assert share_away(100, 0) == share_away(100, 50, on_arrival=400) == 1


def test_without_a_limit_nothing_is_carried() -> None:
    assert share_away(100, np.inf, 30, 20) == 0


def simulated(lot: int, room: int, use: int, there: int, cycles: int = 7) -> tuple[float, float]:
    """Pieces carried away per delivery, and pieces outside on average, by moving piece after piece; batches of one."""
    line, outside = min(there, room), max(there - room, 0)
    carried, seen = 0, []
    for _ in range(cycles):
        # The lot is set down where it fits; the rest goes away.
        fits = min(lot, room - line)
        line, outside, carried = line + fits, outside + lot - fits, carried + lot - fits
        for _ in range(lot):
            seen.append(outside)
            line -= 1
            if outside:
                line, outside = line + 1, outside - 1
            seen.append(outside)
    return carried / cycles, float(np.mean(seen))


@pytest.mark.parametrize(("lot", "room", "there"), [(600, 200, 0), (600, 200, 41), (150, 200, 41), (180, 200, 41), (300, 100, 150)])  # fmt: skip
def test_integration_over_the_sawtooth_equals_a_plain_simulation(lot: int, room: int, there: int) -> None:
    pieces, outside = simulated(lot, room, 30, there)
    assert float(pieces_away(lot, room, there)) == pieces
    # A count in steps of whole pieces stands for a straight line: half a piece at most.
    assert float(pieces_outside(lot, room, there)) == pytest.approx(outside, abs=0.51)


@pytest.mark.parametrize(("lot", "room"), [(600, 200), (160, 200), (40, 60), (180, 30)])
@pytest.mark.parametrize("swing", [5.0, 25.0, 60.0])
def test_the_exact_mean_over_swings_is_that_of_many_draws(lot: int, room: int, swing: float) -> None:
    used = 354 + swing * np.random.default_rng(7).standard_normal(400_000)
    drawn = away_over_draws(lot, room, order_at=395.0, used=used)
    # The error of a mean of so many draws, each within the lot, four times over.
    assert float(pieces_away(lot, room, 41, swing)) == pytest.approx(drawn, abs=4 * swing / np.sqrt(400_000) + 1e-9)


def test_trips_and_time_of_a_delivery() -> None:
    found = carried_away(600, 200, 30, away=Away(distance=55, batch=25, handling=60, speed=1.1))
    # 16 trips away and 16 back, each 100 s of walking there and back, and 60 s of handling.
    assert (found.trips, found.time) == (32, pytest.approx(32 * 160))
    assert found.time_a_day == pytest.approx(32 * 160 * 30 / 600)
    assert found.most == 600


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"lot": 0}, "a lot of 0 pieces was read; allowed: above 0"),
        ({"use": -1}, "a use of -1 pieces was read; allowed: above 0"),
        ({"room": -2}, "a room of -2 pieces was read; allowed: from 0 on"),
    ],
)
def test_what_cannot_be_is_refused(given: dict[str, float], said: str) -> None:
    with pytest.raises(BadPlanInput, match=said):
        carried_away(**({"lot": 10, "room": 5, "use": 2} | given))
