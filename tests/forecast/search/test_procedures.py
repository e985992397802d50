"""Settings are gone through so that nothing that matters is left out, and little is run for nothing."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.problem import Problem
from pullwright.forecast.search.trial import Threshold
from tests.forecast.search.made_up import Shares, asked, searched


def sure(good):
    """Runs that always, or never, are on time."""
    return lambda setting, numbers: [(1.0 if good(setting) else 0.0,) for _ in numbers]


@pytest.mark.parametrize("need", range(1, 14))
def test_halving_one_knob_finds_what_trying_all_would(need):
    search = searched(asked(13), sure(lambda setting: setting[0] >= need))

    assert search.found == (need,)
    assert len(search.book.trials) <= 1 + np.ceil(np.log2(13))


@pytest.mark.parametrize("seed", range(8))
def test_halving_several_knobs_finds_what_trying_all_would(seed):
    luck = np.random.default_rng(seed)
    weights, need = luck.uniform(0.3, 3, 3), luck.uniform(5, 25)

    def good(setting):
        return bool(weights @ np.array(setting) >= need)

    search = searched(asked(6, 6, 6), sure(good))

    kept = [sum(one) for one in product(range(1, 7), repeat=3) if good(one)]
    assert (None if search.found is None else sum(search.found)) == min(kept, default=None)
    assert len(search.book.trials) < 60, "of 216"


def test_from_the_cheapest_on_where_more_may_do_worse():
    search = searched(asked(9, rising=False), sure(lambda setting: setting[0] in (4, 9)))

    assert search.found == (4,)
    assert sorted(search.book.trials) == [(1,), (2,), (3,), (4,)]


def test_nothing_keeps_it_is_told_from_the_largest_setting_alone():
    search = searched(asked(50), sure(lambda setting: False))

    assert search.found is None
    assert [one.verdict for one in search.book.trials.values()] == ["broken"]


def test_what_cannot_be_run_is_passed_over_with_its_reason():
    def work(setting, numbers):
        return ["a lot would never come out" if setting[0] < 3 else (1.0,) for _ in numbers]

    search = searched(asked(8), work)

    assert search.found == (3,)
    assert {one.verdict for one in search.book.trials.values()} == {"kept", "refused"}
    assert "a lot would never come out" in {one.refusal for one in search.book.trials.values()}


def test_what_cannot_be_told_within_the_runs_that_are_allowed_is_open():
    search = searched(asked(3, zone=0.001, most_runs=30), Shares(lambda setting: 0.7995 if setting[0] < 3 else 1.0, 1))

    assert search.book.trials[(2,)].verdict == "open"
    assert search.book.trials[(2,)].runs == 30


def test_of_several_promises_the_worst_one_decides():
    problem = Problem(
        ((1, 2, 3),),
        (Threshold(0.8, 0.1, at_least=True, share=True), Threshold(3.0, 0.1, at_least=False, share=False)),
        sum,
        rising=False,
    )
    luck = np.random.default_rng(1).normal(0, 0.1, 3_000)

    search = searched(
        problem, lambda setting, numbers: [(min(1.0, 0.4 * setting[0]), setting[0] + 0.5 + luck[n]) for n in numbers]
    )

    assert search.found == (2,)
    assert {one: trial.verdict for one, trial in search.book.trials.items()} == {(1,): "broken", (2,): "kept"}


def test_a_larger_chance_to_be_wrong_takes_fewer_runs():
    def runs(confidence):
        search = searched(asked(8, confidence=confidence), Shares(lambda setting: 0.1 * setting[0] + 0.1, 4))
        return sum(one.runs for one in search.book.trials.values())

    assert runs(0.6) < runs(0.95) < runs(0.999)


@pytest.mark.parametrize(
    ("axes", "more", "said"),
    [
        ((), {}, "there is nothing to try"),
        ((0,), {}, "there is nothing to try"),
        ((1000, 1000), {}, "1,000,000 settings; at most 20,000"),
        ((100, 100), {"rising": False}, "10,000 settings; at most 2,000 are looked through, because each"),
        ((3,), {"confidence": 1.0}, "a confidence of 1 was read"),
        ((3,), {"most_runs": 0}, "at most 0 runs"),
        ((3,), {"cost": None, "close": 0.0}, "has to be above 0"),
    ],
)
def test_what_cannot_be_looked_for_is_said_before_a_run(axes, more, said):
    with pytest.raises(CannotSearch, match=said):
        asked(*axes, **more)
