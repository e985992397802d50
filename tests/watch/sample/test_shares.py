"""Shares with what they are worth: people on one round are alike, strata have their weight, and the why ends at the looks."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest

from pullwright.line.kinds import KindKey
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.differ import differ_by
from pullwright.watch.sample.enough import enough_of, looks_needed
from pullwright.watch.sample.looks import Look, Tour
from pullwright.watch.sample.running import running_share
from pullwright.watch.sample.shares import found, shares_of, strata

START = datetime(2026, 3, 17, 8, 0)


def tour(rounds: list[list[KindKey]], stations: tuple[str, ...] = ("saw", "press", "kiln", "bench")) -> Tour:
    looks = [
        Look(
            f"{n}-{k}",
            n,
            stations[k % len(stations)],
            START + timedelta(hours=n % 8),
            seen,
            "line lead",
            "",
            f"round {n}",
        )
        for n, round_ in enumerate(rounds, 1)
        for k, seen in enumerate(round_)
    ]
    return Tour("March", (), tuple(looks))


ALIKE = tour([["waiting"] * 4, ["value"] * 4, ["value"] * 4, ["waiting"] * 4, ["value"] * 4, ["value"] * 4])
MIXED = tour([["waiting", "value", "value", "value"]] * 6)


def test_rounds_on_which_everybody_does_the_same_tell_as_much_as_one_look_each() -> None:
    row = shares_of(ALIKE).row("waiting")

    assert row.design_effect == pytest.approx(4 * 6 / 5)  # four looks for one, and R / (R - 1)
    assert row.honest is not None
    assert row.honest[1] - row.honest[0] > row.plain[1] - row.plain[0]


def test_rounds_that_are_all_the_same_are_not_taken_for_sure() -> None:
    row = shares_of(MIXED).row("waiting")

    assert row.design_effect == pytest.approx(0.0)
    assert row.honest is not None
    assert row.honest[1] - row.honest[0] >= row.plain[1] - row.plain[0]


def test_one_round_cannot_tell_how_rounds_differ() -> None:
    shares = shares_of(tour([["waiting", "value"]]))

    assert shares.row("value").honest is None
    assert found(shares).endswith("One round cannot tell how much rounds differ: walk more of them.")


def test_shares_add_up_and_kinds_that_nobody_saw_keep_their_doubt() -> None:
    shares = shares_of(ALIKE)

    assert sum(row.share.value for row in shares.rows) == pytest.approx(1.0)
    nobody = shares.row("moving")
    assert nobody.found == 0
    assert nobody.share.interval()[1] > 0.02


def test_the_why_ends_at_the_looks_with_who_when_and_which_round() -> None:
    share = shares_of(ALIKE).row("waiting").share

    assert share.source is not None
    assert len(share.source.readings) == 8
    first = share.source.readings[0]
    assert (first.who, first.when, first.where) == ("line lead", "2026-03-17 09:00", "round 1, saw")


def test_a_station_that_was_looked_at_too_often_gets_no_more_than_its_weight() -> None:
    looks = [Look(f"a{i}", i, "saw", START, "waiting") for i in range(30)] + [
        Look(f"b{i}", i, "press", START, "value") for i in range(10)
    ]

    plain = shares_of(Tour("March", (), tuple(looks))).row("waiting").share.value
    weighted = shares_of(Tour("March", (), tuple(looks)), by="station").row("waiting").share.value
    given = (
        shares_of(Tour("March", (), tuple(looks)), by="station", weights={"saw": 1, "press": 3})
        .row("waiting")
        .share.value
    )

    assert (plain, weighted, given) == pytest.approx((0.75, 0.5, 0.25))


def test_a_stratum_without_a_weight_is_asked_for() -> None:
    with pytest.raises(SampleError, match="has no weight"):
        shares_of(ALIKE, by="station", weights={"saw": 1.0})


def test_strata_hold_every_look_once() -> None:
    for by in ("station", "hour"):
        assert sum(one.looks for one in strata(ALIKE, by)) == len(ALIKE.looks)  # type: ignore[arg-type]
        assert all(sum(one.seen.values()) == one.looks for one in strata(ALIKE, by))  # type: ignore[arg-type]


def test_nobody_looked_means_no_share() -> None:
    with pytest.raises(SampleError, match="has no shares"):
        shares_of(Tour("March", ()))


def test_the_honest_interval_holds_the_truth_where_the_plain_one_does_not() -> None:
    """Coverage over 400 samplings of 20 rounds of 10, everybody alike in half of the rounds: 95 % less 3 standard errors is 91.7 %."""
    rng = np.random.default_rng(5)
    held = {"plain": 0, "honest": 0}
    for _ in range(400):
        rounds = []
        for _ in range(20):
            together = rng.random() < 0.5
            said = np.repeat(rng.random() < 0.3, 10) if together else rng.random(10) < 0.3
            rounds.append([int(one) for one in said])
        found_ = np.array([sum(one) for one in rounds], dtype=float)
        from pullwright.watch.sample.clusters import ratio_variance, wilson, worth_of

        share = found_.sum() / 200
        worth = worth_of(share, ratio_variance(found_, np.full(20, 10.0)), 200, 20)
        for name, of in (("plain", 200.0), ("honest", worth.looks)):
            low, high = wilson(share * of, of)
            held[name] += low <= 0.3 <= high

    assert held["honest"] / 400 > 0.917
    assert held["plain"] / 400 < 0.85


def test_stations_that_do_different_things_are_told_apart_and_those_that_do_not_are_not() -> None:
    apart = tour([["waiting", "value", "value", "value"]] * 12)
    rng = np.random.default_rng(3)
    alike = tour([[("waiting" if rng.random() < 0.3 else "value") for _ in range(4)] for _ in range(12)])

    assert "differs from station to station" in differ_by(apart, "station").said
    assert "is not shown" in differ_by(alike, "station").said


def test_rounds_alike_within_do_not_make_hours_differ() -> None:
    """Whole rounds of one kind, hours at random: plain chi-square would cry out, the test that keeps rounds together need not."""
    rng = np.random.default_rng(11)
    cried = 0
    for seed in range(40):
        one = tour([["waiting" if rng.random() < 0.4 else "value"] * 12 for _ in range(16)])
        test = differ_by(one, "hour", seed=seed, shuffles=39)
        cried += test.chance is not None and test.chance <= 0.05
        assert test.plain is None or test.plain < 0.01 or test.chance is not None
    assert cried <= 7  # of 40 at 5 %: 8 or more come in fewer than 1 of 1000 cases


def test_more_rounds_are_asked_for_until_enough_were_walked() -> None:
    rng = np.random.default_rng(1)
    few = shares_of(tour([[("waiting" if rng.random() < 0.3 else "value") for _ in range(10)] for _ in range(6)]))
    many = shares_of(tour([[("waiting" if rng.random() < 0.3 else "value") for _ in range(10)] for _ in range(80)]))

    asked = enough_of(few, "waiting", 0.05)
    done = enough_of(many, "waiting", 0.05)

    assert asked.more_rounds > 0
    assert asked.more_looks == 10 * asked.more_rounds
    assert f"walk {asked.more_rounds} more rounds" in asked.said
    assert (done.more_rounds, done.said.endswith("enough.")) == (0, True)


def test_half_the_width_takes_four_times_the_looks() -> None:
    assert looks_needed(0.3, 0.02, z=2) == pytest.approx(4 * looks_needed(0.3, 0.04, z=2), abs=3)
    with pytest.raises(SampleError, match="half-width"):
        looks_needed(0.3, 0.0)


def test_the_running_share_ends_at_the_share_of_all() -> None:
    steps = running_share(ALIKE, "waiting")
    row = shares_of(ALIKE).row("waiting")

    assert [one.looks for one in steps] == [4, 8, 12, 16, 20, 24]
    assert steps[-1].share == pytest.approx(row.share.value)
    assert (steps[-1].low, steps[-1].high) == pytest.approx(row.honest)


def test_the_sentence_says_shares_with_intervals_the_largest_first() -> None:
    said = found(shares_of(ALIKE))

    assert said.startswith("24 looks on 6 rounds found value-adding 67 % (")
    assert "waiting 33 % (" in said
