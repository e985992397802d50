"""Laws of the card rule."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pullwright.pull.cards.card_rule import cards_by_rule, needed_by_rule, rounded_up

rates = st.floats(0.01, 1e4)
days = st.floats(0.0, 100.0)
shares = st.floats(0.0, 1.0)
holds = st.integers(1, 500)


@given(rates, days, shares, holds, st.floats(1.0, 3.0))
def test_more_demand_a_longer_way_or_more_safety_never_needs_fewer_cards(
    demand: float, lead: float, safety: float, pieces: int, times: float
) -> None:
    now = cards_by_rule(demand, lead, safety, pieces)
    assert cards_by_rule(demand * times, lead, safety, pieces) >= now
    assert cards_by_rule(demand, lead * times, safety, pieces) >= now
    assert cards_by_rule(demand, lead, safety * times, pieces) >= now


@given(rates, days, shares, holds)
def test_the_cards_cover_what_the_rule_asks_for_and_one_less_does_not(
    demand: float, lead: float, safety: float, pieces: int
) -> None:
    cards = float(cards_by_rule(demand, lead, safety, pieces))
    needed = float(needed_by_rule(demand, lead, safety, pieces))
    assert cards >= needed * (1 - 1e-8)
    assert cards == 1 or cards - 1 < needed


@given(days, shares, holds)
def test_nothing_asked_for_needs_no_card_however_long_it_takes(lead: float, safety: float, pieces: int) -> None:
    assert cards_by_rule(0.0, lead, safety, pieces) == 0
    assert cards_by_rule(0.0, np.inf, safety, pieces, lot=10.0) == 0


def test_a_lead_time_without_end_needs_cards_without_end() -> None:
    assert cards_by_rule(1.0, np.inf, 0.1, 10) == np.inf


@given(st.integers(0, 10**6), st.integers(1, 1000))
def test_a_whole_number_that_the_computer_missed_by_its_own_rounding_stays(whole: int, part: int) -> None:
    assert rounded_up(whole / part * part) == whole
