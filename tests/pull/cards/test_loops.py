"""Which time belongs to which loop."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.pull.cards import loops
from pullwright.pull.cards.signal import Signal, lot_in_containers


@given(st.floats(0.1, 1e4), st.floats(0.01, 0.99))
def test_waiting_in_a_queue_varies_at_least_as_much_as_an_exponential_time(wait: float, load: float) -> None:
    """Some do not wait at all, which makes it more uneven still; at full load it is exponential."""
    assert loops.queueing(wait, load).variance >= wait**2
    assert loops.queueing(wait, 1.0).variance == pytest.approx(wait**2)


def test_a_lot_stays_at_one_machine_and_single_pieces_are_shared_out() -> None:
    assert loops.working(10.0, 5.0, 60.0, 0.0, kept=True).mean == 600.0
    assert loops.working(10.0, 5.0, 60.0, 0.0).mean == pytest.approx(60.0 * (1 + 9 / 5))


def test_a_set_up_comes_once_before_what_is_handed_on_and_varies_by_itself() -> None:
    found = loops.working(4.0, 1.0, 60.0, 9.0, set_up=600.0, set_up_cv=0.3, kept=True)
    assert found.mean == 840.0
    assert found.variance == pytest.approx(4 * 9.0 + 180.0**2)


def test_gathering_is_the_mean_over_where_the_load_stands_when_a_container_is_ready() -> None:
    """Carried are 28 pieces, a container has 7, pieces come every 100 s: there are 0, 7, 14 or 21 before it."""
    waits = [(28 - 7 - before) * 100.0 for before in np.linspace(0, 21, 20_001)]
    found = loops.gathering(28.0, 7.0, 0.01)
    assert found.mean == pytest.approx(np.mean(waits), rel=1e-6)
    assert found.variance == pytest.approx(np.var(waits), rel=1e-3)


def test_stock_at_a_withdrawal_has_to_last_a_whole_round() -> None:
    assert loops.rhythm(100.0, 50.0, 0.01).mean == 100.0 / 0.01
    assert loops.rhythm(10.0, 50.0, 0.01).mean == 50.0 / 0.01


@given(st.integers(1, 400), st.integers(1, 50), st.integers(0, 9))
def test_a_lot_is_made_in_full_containers(lot: int, holds: int, trigger: int) -> None:
    signal = Signal(lot_in_containers(lot, holds), trigger, holds)
    assert lot <= signal.pieces_made < lot + holds
    assert signal.most * holds == signal.pieces_left + signal.pieces_made


def test_a_signal_says_when_and_how_much() -> None:
    assert Signal(4, 2, 14).says == "When 2 containers (28 pieces) are left, make 4 containers (56 pieces)."
    assert Signal(4, 1, 14).says == "When one container (14 pieces) is left, make 4 containers (56 pieces)."
    assert Signal(4, 0, 14).says == "When the last container is empty, make 4 containers (56 pieces)."
