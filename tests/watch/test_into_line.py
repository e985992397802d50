"""What was watched goes into the text of a line file; comments stay, and the file reads as before but for that."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from pullwright.line import Line
from pullwright.line.kinds import KindKey
from pullwright.watch.count.sheet import CountSheet, DefectCount, StockCount, WayWalked
from pullwright.watch.into_line import counts_into_line, elements_into_line, study_into_line, tour_into_line
from pullwright.watch.misread import IntoLineError
from pullwright.watch.sample.looks import Look, Tour
from pullwright.watch.study.sheet import StudySheet, TimedElement, TimedReading

EXAMPLES = Path(__file__).parents[2] / "examples"
STOOL = (EXAMPLES / "first_line.yaml").read_text("utf-8")
PUMP = (EXAMPLES / "hand_pump.yaml").read_text("utf-8")
AT = datetime(2026, 3, 17, 9, 0)
STUDY = StudySheet(
    "T-020",
    (TimedElement("cut legs"), TimedElement("hone 32 mm", "machine", "value")),
    (
        TimedReading("a", 1, 0, 240.0, when="2026-03-17T09:12:00", who="line lead", where="reading 1 of the stopwatch"),
        TimedReading("b", 2, 0, 250.5, when="2026-03-17T09:18:00", who="line lead", where="reading 3 of the stopwatch"),
        TimedReading("c", 3, 0, 900.0, aside="fetched glue", where="reading 5 of the stopwatch"),
        TimedReading("d", 1, 1, 640.0, where="row 9 of T-020.csv"),
    ),
    of="legs",
    on="2026-03-17",
    who="line lead",
)


def comments(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.splitlines() if "#" in line]


def test_a_study_goes_into_the_short_form_with_the_readings_that_count() -> None:
    text = study_into_line(STOOL, STUDY, step="cut legs", element=0)

    line = Line.from_text(text)
    (study,) = line.studies
    assert (study.name, study.of, str(study.on), study.who) == (
        "T-020",
        "legs: cut legs, as read",
        "2026-03-17",
        "line lead",
    )
    assert [one.value.value for one in study.readings] == [240.0, 250.5]
    assert study.readings[1].from_ == "T-020, reading 3 of the stopwatch"
    assert (study.readings[0].who, str(study.readings[0].on)) == ("line lead", "2026-03-17")
    manual = line.steps[0].manual
    assert manual is not None
    assert manual.study == "T-020"
    assert comments(text) == comments(STOOL)


def test_only_one_element_goes_into_a_step_in_its_short_form() -> None:
    with pytest.raises(IntoLineError, match="short form"):
        elements_into_line(STOOL, STUDY, step="cut legs", elements=[0, 1])
    assert elements_into_line(STOOL, STUDY, step="cut legs", elements=[0]) == study_into_line(
        STOOL, STUDY, step="cut legs", element=0
    )


def test_a_study_goes_to_the_element_of_its_name_and_a_row_names_its_file() -> None:
    line = Line.from_text(study_into_line(PUMP, STUDY, step="hone bore", element="hone 32 mm"))

    element = next(
        one for step in line.steps if step.name == "hone bore" for one in step.elements if one.what == "hone 32 mm"
    )
    assert element.machine is not None
    assert element.machine.study == "T-020"
    assert line.studies[-1].readings[0].from_ == "row 9 of T-020.csv"


def test_an_element_that_is_not_there_is_added_and_those_that_are_stay() -> None:
    before = Line.from_text(PUMP)
    line = Line.from_text(study_into_line(PUMP, STUDY, step="hone bore", element=0))

    was = next(step for step in before.steps if step.name == "hone bore").elements
    now = next(step for step in line.steps if step.name == "hone bore").elements
    assert [one.what for one in now] == [*[one.what for one in was], "cut legs"]
    assert now[-1].manual is not None


def test_a_name_that_is_taken_gets_the_next_free_one() -> None:
    once = study_into_line(STOOL, STUDY, step="cut legs", element=0)
    twice = Line.from_text(study_into_line(once, STUDY, step="glue", element=0))

    assert [one.name for one in twice.studies] == ["T-020", "T-020-2"]


def test_readings_with_ratings_go_in_at_basic_time_and_say_so() -> None:
    rated = StudySheet(
        "T-1",
        (TimedElement("cut legs"),),
        (TimedReading("a", 1, 0, 20.0, rating=1.1, where="reading 1 of the stopwatch"),),
    )

    (study,) = Line.from_text(study_into_line(STOOL, rated, step="cut legs", element=0)).studies

    assert study.readings[0].value.value == pytest.approx(22.0)
    assert study.of.endswith("at basic time (observed x rating)")
    assert study.readings[0].from_ == "T-1, reading 1 of the stopwatch, 20 s rated 110"


def test_a_cv_that_stands_beside_the_time_stays() -> None:
    line = Line.from_text(study_into_line(STOOL, STUDY, step="pack", element=0))

    manual = next(step for step in line.steps if step.name == "pack").manual
    assert manual is not None
    assert manual.study == "T-020"
    assert manual.cv is not None
    assert manual.cv.value == 0.4


@pytest.mark.parametrize(
    ("step", "element", "said"),
    [("sand", 0, "step sand is not in the line file"), ("glue", 7, "element 7 is not in study T-020")],
)
def test_what_is_not_there_is_named(step: str, element: int, said: str) -> None:
    with pytest.raises(IntoLineError, match=said):
        study_into_line(STOOL, STUDY, step=step, element=element)


def looks(day: int, seen: list[KindKey], where: str = "") -> list[Look]:
    return [
        Look(
            f"{day}-{k}",
            day,
            "saw",
            datetime(2026, 3, day, 9),
            one,
            "line lead",
            "",
            where.format(k + 2) or f"round {day}",
        )
        for k, one in enumerate(seen)
    ]


def test_a_tour_goes_in_day_by_day() -> None:
    tour = Tour("March", (), tuple(looks(17, ["value", "waiting", "unexplained"]) + looks(18, ["waiting", "waiting"])))

    text = tour_into_line(STOOL, tour)

    first, second = Line.from_text(text).samples
    assert (str(first.on), first.who, first.looks, first.value, first.waiting, first.from_) == (
        "2026-03-17",
        "line lead",
        3,
        1,
        1,
        "March, round 17",
    )
    assert (second.looks, second.value, second.waiting) == (2, 0, 2)
    assert comments(text) == comments(STOOL)


def test_looks_from_a_file_say_their_rows() -> None:
    tour = Tour("March", (), tuple(looks(17, ["value", "waiting"], "row {} of looks.csv")))

    assert Line.from_text(tour_into_line(STOOL, tour)).samples[0].from_ == "rows 2 to 3 of looks.csv"


COUNTS = CountSheet(
    "round 4",
    (StockCount("a", "before", "glue", 190, AT, "storekeeper", "", "count 1 of round 4"),),
    (WayWalked("b", "glue", "pack", 12.5, AT, 10, 4, "storekeeper", "", "count 2 of round 4"),),
    (DefectCount("c", "drill seat", 40, 3, AT, 1, "split", "line lead", "", "count 3 of round 4"),),
)


def test_counts_go_to_their_stores_ways_and_steps() -> None:
    text = counts_into_line(STOOL, COUNTS, replace=True)

    line = Line.from_text(text)
    store = next(one for one in line.stores if one.before == "glue")
    assert (store.counts[0].pieces.value, str(store.counts[0].on), store.counts[0].from_) == (
        190,
        "2026-03-17",
        "count 1 of round 4",
    )
    assert (line.moves[0].distance.value, line.moves[0].batch) == (12.5, 10)
    drill = line.steps[1]
    assert drill.scrap is not None
    assert (drill.scrap.count, drill.scrap.of, drill.scrap.origin) == (
        2,
        40,
        "count 3 of round 4, line lead 2026-03-17",
    )
    assert drill.rework is not None
    assert (drill.rework.share.count, drill.rework.share.of) == (1, 40)
    assert comments(text) == comments(STOOL)


def test_nothing_that_stands_there_goes_without_a_word() -> None:
    with pytest.raises(IntoLineError, match="the store before glue holds counted: 210 without a date"):
        counts_into_line(STOOL, COUNTS)
    glue = CountSheet("round 5", defects=(DefectCount("c", "glue", 40, 3, AT),))
    with pytest.raises(IntoLineError, match="step glue gives scrap already"):
        counts_into_line(STOOL, glue)
