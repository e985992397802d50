"""Whatever log comes, its draft is a line file that reads, or the reason why there is none."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.line import Line
from pullwright.survey import survey_of
from pullwright.watch.log.draft import Draft, DraftError, draft_line
from pullwright.watch.log.draft_names import safe_names, steps_without_machines
from pullwright.watch.log.draft_visits import visits_of

from .bare import BareStory, decided, events

MONDAY = dt.datetime(2026, 1, 5, 6)


def booking(case: str, step: str, minute: float, minutes: float, **more: Any) -> dict[str, Any]:
    start = MONDAY + dt.timedelta(minutes=minute)
    return {"case": case, "activity": step, "start": start, "end": start + dt.timedelta(minutes=minutes), **more}


def drafted(rows: list[dict[str, Any]], **more: Any) -> Draft:
    log = events(rows, **more)
    return draft_line(BareStory(), decided(log))


def line(draft: Draft) -> Line:
    return Line.from_text(draft.text, name="draft")


def two_orders() -> list[dict[str, Any]]:
    return [
        booking("1", "saw", 0, 20, good=9.0, scrap=1.0, product="P-32"),
        booking("1", "turn", 30, 40, good=10.0, scrap=0.0, product="P-32"),
        booking("2", "saw", 40, 30, good=10.0, scrap=0.0, product="P-32"),
        booking("2", "turn", 80, 60, good=10.0, scrap=0.0, product="P-32"),
    ]


def test_times_are_readings_that_name_their_rows() -> None:
    read = line(drafted(two_orders()))

    study = next(one for one in read.studies if one.of == "saw")
    assert [reading.value.value for reading in study.readings] == [120.0, 180.0]
    assert [reading.from_ for reading in study.readings] == ["row 2 of shop.csv", "row 4 of shop.csv"]
    assert study.from_ == "shop.csv"


def test_scrap_is_a_count_with_its_rows() -> None:
    scrap = line(drafted(two_orders())).steps[0].scrap

    assert scrap is not None
    assert (scrap.count, scrap.of, scrap.origin) == (1, 20, "row 2 of shop.csv")


def test_nothing_is_taken_for_value() -> None:
    read = line(drafted(two_orders()))

    assert all(step.value_adding is None and not step.elements for step in read.steps)


def test_a_pause_inside_a_booking_is_no_work() -> None:
    overnight = [booking("1", "saw", 470, 16 * 60 + 20)]  # from 13:50 to 06:10 the next morning

    (visit,) = visits_of(events(overnight), BareStory().calendar.calendar)

    assert visit.run == 20 * 60


def test_set_ups_stand_apart_from_the_work() -> None:
    rows = [
        booking("1", "saw", 0, 15, kind="set-up"),
        booking("1", "saw", 15, 20, good=10.0),
        booking("1", "saw", 40, 9, kind="down"),
    ]

    (step,) = line(drafted(rows)).steps

    assert step.set_up is not None
    assert step.set_up.time.value == 900.0
    assert step.set_up.time.origin == "1 set-up, row 2 of shop.csv"


def test_products_that_take_different_times_get_their_own() -> None:
    rows = [
        booking(f"{product}-{k}", "hone", 100 * k, minutes + k % 2, good=1.0, product=product)
        for product, minutes in (("P-32", 10), ("P-50", 20)) for k in range(8)
    ]  # fmt: skip

    (step,) = line(drafted(rows)).steps

    assert sorted(element.for_ or () for element in step.elements) == [("P-32",), ("P-50",)]


def test_a_step_at_several_stations_names_them_all() -> None:
    rows = [booking(str(k), "turn", 30 * k, 20, station="lathe 1" if k % 3 else "lathe 2") for k in range(9)]

    (step,) = line(drafted(rows)).steps

    assert step.station == "lathe 1"
    assert [(other.station, other.share.count, other.share.of) for other in step.also_at] == [("lathe 2", 3, 9)]


def test_orders_that_go_back_are_rework_to_the_earlier_step() -> None:
    rows = []
    for k in range(5):
        ways = ["assemble", "test"] * (2 if k == 0 else 1)
        rows += [booking(str(k), step, 100 * k + 20 * at, 10) for at, step in enumerate(ways)]

    step = line(drafted(rows)).steps[1]

    assert step.rework is not None
    assert (step.rework.to, step.rework.share.count, step.rework.share.of) == ("assemble", 1, 6)


def test_a_product_that_skips_a_step_is_said_to() -> None:
    rows = [
        booking(p, step, 20 * k, 10, product=p)
        for p in ("A", "B")
        for k, step in enumerate(("saw", "polish", "pack"))
        if p == "A" or step != "polish"
    ]

    steps = line(drafted(rows)).steps

    assert {step.name: step.for_ for step in steps} == {"saw": None, "polish": ("A",), "pack": None}


def test_many_readings_are_picked_evenly_and_said_so() -> None:
    draft = drafted([booking(str(k), "saw", 2 * k, 1, good=1.0) for k in range(200)])

    (study,) = line(draft).studies
    assert len(study.readings) == 60
    assert study.readings[0].from_ == "row 2 of shop.csv"
    assert study.readings[-1].from_ == "row 201 of shop.csv"
    assert "60 readings are written down, picked evenly over the log" in " ".join(draft.text.replace("#", " ").split())


def test_three_hundred_stations_still_make_a_line() -> None:
    read = line(drafted([booking("1", f"step {k}", 2 * k, 1) for k in range(300)]))

    assert len(read.stations) == len(read.steps) == 300


def test_the_account_and_the_drawing_take_a_draft_as_it_is() -> None:
    survey = survey_of(line(drafted(two_orders())))

    assert survey.accounts.all()
    assert survey.drawing() is not None


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([], "shop.csv has no rows: there is nothing to draft a line from."),
        ([{"activity": "saw", "start": MONDAY, "end": MONDAY}], "no row of shop.csv says to which order or piece it belongs: say which column does (--map case=COLUMN), and draft again."),
        ([{"case": "1", "activity": "saw", "start": MONDAY}], "no row of shop.csv has an order, a step, a begin and an end together: look at how the columns were understood, and draft again."),
    ],
)  # fmt: skip
def test_a_log_without_a_line_says_what_is_missing(rows: list[dict[str, Any]], said: str) -> None:
    with pytest.raises(DraftError) as caught:
        drafted(rows)

    assert str(caught.value) == said


NAMES = st.one_of(
    st.sampled_from(["saw", "saw ", "no", "null", "007", "a: b # c", "{x}", '"q"', "“q”", "- y", "a" * 200, "", "\n", "\u202e", "Ünï", "*z", "&z", "1.50", "~", "<<", "before\x00after"]),
    st.text(max_size=12),
)  # fmt: skip
ROWS = st.lists(
    st.builds(
        booking,
        NAMES, NAMES, st.floats(0, 4000), st.floats(0, 900),
        station=NAMES, product=st.one_of(st.none(), NAMES), kind=st.sampled_from(["run", "run", "set-up", "down", "other"]),
        good=st.one_of(st.none(), st.floats(0, 1e6)), scrap=st.one_of(st.none(), st.floats(0, 50)), rework=st.booleans(),
    ),
    max_size=12,
)  # fmt: skip


@settings(max_examples=30, deadline=None)
@given(ROWS, NAMES)
def test_whatever_small_log_comes_its_draft_reads_or_says_why_not(rows: list[dict[str, Any]], file: str) -> None:
    try:
        draft = drafted(rows, file=file)
    except DraftError as error:
        assert str(error)  # noqa: PT017
        return

    read = line(draft)
    assert len(read.steps) == len(draft.steps)


@settings(max_examples=30, deadline=None)
@given(st.lists(NAMES, max_size=8))
def test_names_are_sound_and_each_of_them_is_another(names: list[str]) -> None:
    made = safe_names(names, otherwise="step")

    assert set(made) == set(names)
    assert len({name.casefold() for name in made.values()}) == len(made)


def test_steps_that_differ_by_their_machine_are_one() -> None:
    pairs = [("turn - machine 4", "M4"), ("turn - machine 5", "M5"), ("pack 1", "P"), ("pack 2", "P"), ("weld", "W")]

    assert steps_without_machines(pairs) == {"turn - machine 4": "turn", "turn - machine 5": "turn"}
