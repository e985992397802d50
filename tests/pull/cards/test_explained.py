"""What explains the difference between the rule and the stochastic answer adds up to it, whatever the loop."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.cards.compared import compared
from pullwright.pull.cards.explained import REASONS, Sized, explained

KEYS = [reason.key for reason in REASONS]


def parts(sized: Sized) -> dict[str, float]:
    return {key: float(np.asarray(part).reshape(-1)[0]) for key, part in zip(KEYS, explained(sized), strict=True)}


sizes = st.builds(
    Sized, st.floats(0.0, 80.0), st.floats(0.05, 4.0), st.floats(0.001, 4.0), st.floats(0.0, 2.0), st.floats(0.0, 0.6), st.floats(0.5, 0.9999),
    st.integers(1, 30), st.integers(1, 5), st.integers(1, 60), st.integers(1, 3),
)  # fmt: skip


@settings(max_examples=60)
@given(sizes)
def test_the_parts_add_up_to_the_whole_difference(sized: Sized) -> None:
    whole = float(np.ravel(sized.stochastic())[0]) - float(np.ravel(sized.rule())[0])
    assert sum(parts(sized).values()) == pytest.approx(whole, abs=1e-9)


def test_each_reason_is_nothing_where_it_is_not_there() -> None:
    found = parts(Sized(40.0, 1.0, 0.5, 0.0, 0.0, 0.95, 1))
    assert found["safety as a share"] == 0
    assert found["service"] == 0
    assert found["taken in lots"] == 0
    assert found["lead time"] == 0
    assert found["container"] == 0
    assert found["demand"] > 0


def test_each_reason_has_its_sign() -> None:
    found = parts(Sized(40.0, 1.0, 0.55, 0.1, 0.2, 0.99, 6, 1, 20))
    assert found["rounding of the rule"] < 0
    assert found["safety as a share"] < 0
    assert found["demand"] > 0
    assert found["service"] > 0
    assert found["taken in lots"] > 0
    assert found["lead time"] > 0
    assert found["container"] > 0


def test_draws_with_a_queue_without_end_have_nothing_to_explain() -> None:
    sized = Sized(40.0, 1.0, np.array([0.5, np.inf]), np.array([0.1, np.inf]), 0.1, 0.95, 6)
    assert [float(part[1]) for part in explained(sized)] == [0.0] * len(REASONS)
    assert sized.rule()[1] == sized.stochastic()[1] == np.inf


@pytest.mark.parametrize(
    ("rule", "stochastic", "forecast", "said"),
    [
        (5, 5, 5, "They agree."),
        (5, 5, None, "They agree."),
        (4, 6, None, "The rule is 2 short of the swings."),
        (6, 5, 5, "The rule has 1 more than the swings ask for; the forecast confirms the swings."),
        (5, 5, 3, "The forecast does with 2 fewer"),
        (5, 5, 8, "The forecast adds 3"),
    ],
)
def test_three_answers_side_by_side(rule: int, stochastic: int, forecast: int | None, said: str) -> None:
    assert said in compared(rule, stochastic, forecast, place="weld base")


def test_what_the_forecast_met_stands_beside_what_is_wished() -> None:
    assert compared(4, 5, 5, met=0.963, wished=0.95).endswith("meets 96.3 % from the shelf, and 95.0 % is wished.")
    assert "less than the 95.0 %" in compared(4, 5, None, met=0.9, wished=0.95)
