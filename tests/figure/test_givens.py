"""What we take as given, and how sure that is."""

import numpy as np
import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st
from scipy import stats

from pullwright.figure import (
    FigureError,
    Reading,
    Source,
    from_counts,
    from_draws,
    from_readings,
    given,
    judged,
    variation_from_readings,
)

STUDY = Source("study", "study T-014")
COUNT = Source("count", "check of week 12")
TYPED = Source("line file", "steps.hone.machine")
TIMES = [44.1, 45.3, 46.0, 43.8, 45.8]


def test_a_judgement_is_likely_at_its_middle_and_stays_within_its_ends():
    figure = judged("honing", 40.0, 45.0, 60.0, "s", TYPED)
    assert figure.value == 45.0
    assert 40.0 < figure.draws.min() < figure.draws.max() < 60.0


def test_a_judgement_without_room_is_certain():
    assert judged("honing", 45.0, 45.0, 45.0, "s", TYPED).certain


@pytest.mark.parametrize(("low", "likely", "high"), [(50, 45, 60), (40, 65, 60), (40, 45, np.inf), (np.nan, 1, 2)])
def test_a_judgement_out_of_order_is_refused(low, likely, high):
    with pytest.raises(FigureError, match="rise from low to high and are finite"):
        judged("honing", low, likely, high, "s", TYPED)


def test_readings_give_the_t_interval_of_the_textbook():
    figure = from_readings("honing", TIMES, "s", STUDY)
    half = stats.t.ppf(0.95, 4) * np.std(TIMES, ddof=1) / np.sqrt(5)
    assert figure.value == pytest.approx(45.0)
    assert figure.interval() == (pytest.approx(45.0 - half, rel=1e-4), pytest.approx(45.0 + half, rel=1e-4))


@for_all(st.lists(st.floats(0.01, 1e4), min_size=2, max_size=30))
def test_a_time_stays_above_nothing_however_few_and_far_apart_the_readings(times):
    figure = from_readings("honing", times, "s", STUDY)
    assert figure.draws.min() >= 0
    assert figure.value == pytest.approx(np.mean(times))


def test_a_share_read_off_stays_within_0_and_1():
    figure = from_readings("uptime", [0.9, 1.0, 1.0], "share", STUDY)
    assert 0 <= figure.draws.min() < figure.draws.max() <= 1


def test_differences_of_times_may_be_negative():
    assert from_readings("saved", [-1.0, 2.0, 0.5], "s", STUDY).draws.min() < 0


def test_one_reading_is_kept_with_a_warning_beside_it():
    figure = from_readings("honing", [45.0], "s", STUDY)
    assert figure.certain
    assert "one reading only" in figure.note


def test_readings_that_are_all_alike_say_so():
    figure = from_readings("honing", [45.0, 45.0, 45.0], "s", STUDY)
    assert figure.certain
    assert figure.note == "all 3 readings are alike"


def test_readings_are_kept_with_who_took_them_and_where_they_stand():
    taken = [Reading(44.0, "s", who="A", where="line 3"), Reading(46.0, "s", who="B", where="line 4")]
    assert from_readings("honing", taken, "s", STUDY).source.readings == tuple(taken)
    assert from_readings("honing", [44.0, 46.0], "s", STUDY).source.readings[1] == Reading(46.0, "s")


def test_a_reading_in_another_unit_is_refused_with_its_place():
    with pytest.raises(FigureError, match=r"a reading of 0\.7 in 'h' \(row 17\) among readings in 's'"):
        from_readings("honing", [Reading(44.0, "s"), Reading(0.7, "h", where="row 17")], "s", STUDY)


@pytest.mark.parametrize(("readings", "says"), [([], "no reading was given"), ([1.0, np.nan], "finite number")])
def test_unusable_readings_are_refused(readings, says):
    with pytest.raises(FigureError, match=says):
        from_readings("honing", readings, "s", STUDY)


def test_variation_has_the_chi_square_interval_of_the_textbook():
    figure = variation_from_readings("honing, cv", TIMES, STUDY)
    cv = np.std(TIMES, ddof=1) / 45.0
    low, high = cv * np.sqrt(4 / stats.chi2.ppf([0.95, 0.05], 4))
    assert figure.value == pytest.approx(cv)
    assert figure.interval() == (pytest.approx(low, rel=1e-3), pytest.approx(high, rel=1e-3))


@pytest.mark.parametrize("readings", [[45.0], [-1.0, 1.0]])
def test_variation_needs_two_readings_and_a_mean(readings):
    with pytest.raises(FigureError, match="two readings or more with a mean above zero"):
        variation_from_readings("honing, cv", readings, STUDY)


def test_more_readings_shrink_what_we_do_not_know_and_leave_variation_alone():
    rng = np.random.default_rng(11)
    few, many = (list(45 + 5 * rng.standard_normal(count)) for count in (10, 1000))
    widths = [np.subtract(*from_readings("honing", times, "s", STUDY).interval()[::-1]) for times in (few, many)]
    cvs = [variation_from_readings("honing, cv", times, STUDY).value for times in (few, many)]
    assert widths[1] < widths[0] / 5
    assert cvs[1] == pytest.approx(5 / 45, rel=4 / np.sqrt(2 * 1000))  # 4 standard errors of a standard deviation


@pytest.mark.parametrize(("good", "of"), [(0, 1), (96, 100), (20, 20), (0, 400)])
def test_a_count_gives_the_jeffreys_interval(good, of):
    low, high = from_counts("yield", good, of, source=COUNT).interval()
    expected = stats.beta.ppf([0.05, 0.95], good + 0.5, of - good + 0.5)
    assert (low, high) == (pytest.approx(expected[0], rel=2e-3), pytest.approx(expected[1], rel=2e-3))


@pytest.mark.parametrize(("good", "of"), [(5, 4), (-1, 4), (0, 0), (np.nan, 4)])
def test_an_impossible_count_is_refused(good, of):
    with pytest.raises(FigureError, match="allowed is 0 up to all"):
        from_counts("yield", good, of, source=COUNT)


def test_a_count_without_a_source_is_refused():
    with pytest.raises(FigureError, match="say where it was counted"):
        from_counts("yield", 3, 4)


def test_the_same_name_gives_the_same_draws_whatever_was_made_before():
    first = judged("honing", 40.0, 45.0, 60.0, "s", TYPED)
    judged("packing", 1.0, 2.0, 3.0, "s", TYPED)
    np.testing.assert_array_equal(first.draws, judged("honing", 40.0, 45.0, 60.0, "s", TYPED).draws)


def test_the_number_of_draws_can_be_chosen():
    sizes = [
        judged("a", 1, 2, 3, "s", TYPED, draws=50).draws.size,
        from_readings("b", TIMES, "s", STUDY, draws=50).draws.size,
        from_counts("c", 3, 4, source=COUNT, draws=50).draws.size,
        variation_from_readings("d", TIMES, STUDY, draws=50).draws.size,
    ]
    assert sizes == [50] * 4


def test_draws_of_another_method_are_taken_over_as_they_are():
    rows = np.linspace(1.0, 2.0, 1000)
    np.testing.assert_array_equal(from_draws("shape", 1.5, rows, "1", TYPED).draws, rows)
    assert given("shape", 1.5, "1", TYPED).draws.tolist() == [1.5]
