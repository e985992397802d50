"""A time study on paper: everything that was read stands on it, and what was set aside is kept."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from pullwright.figure import Source, from_readings
from pullwright.paper.study_sheet import CAUTION, study_sheet
from pullwright.watch.study.sheet import Allowance, StudySheet, TimedElement, TimedReading

WHEN = datetime(2026, 3, 2, 9, 30)
ELEMENTS = (
    TimedElement("load #the* tube", "manual", "needed"),
    TimedElement("hone 32 mm", "machine", "value"),
    TimedElement("change the stone", "manual", "needed", every=20),
)
READINGS = tuple(
    TimedReading(f"{cycle}-{element}", cycle, element, mean + cycle, aside="the phone rang" if (cycle, element) == (4, 1) else "")
    for cycle in range(1, 24)
    for element, mean in enumerate((42.3, 610.4, 90.1))
    if element < 2 or cycle == 7
)  # fmt: skip
FOREIGN = TimedReading("x", 4, -1, 38.25, note="swept up coolant")
STUDY = StudySheet(
    "T-015", ELEMENTS, (*READINGS, FOREIGN), of="hone bore, 32 mm", station="honing machine", on="2026-03-11",
    who="line lead", rating=0.95, allowances=(Allowance("personal", 0.05, "personal needs"), Allowance("own", 0.025, "heat")),
)  # fmt: skip


def test_every_reading_stands_on_the_sheet_and_what_was_set_aside_with_its_reason(
    read_back: Callable[[bytes], Any],
) -> None:
    mean = from_readings("load", [one.seconds for one in READINGS if one.element == 0], "s", Source("study", "T-015"))

    sheet = read_back(
        study_sheet(STUDY, sentence="A piece takes 11 min.", figures=[(mean, None, mean, mean)], printed=WHEN)
    )

    assert sheet.begins_with("Time study T-015 A piece takes 11 min.")
    for reading in READINGS:
        assert sheet.says(f"({reading.seconds:.1f})" if reading.aside else f"{reading.seconds:.1f}")
    assert sheet.says("the phone rang")
    assert sheet.says("swept up coolant")
    assert sheet.says("load #the* tube")
    assert sheet.says(mean.parts()[0])
    assert sheet.says("20 cycles")
    assert sheet.says("all allowances 7.5 %")
    assert sheet.says("95 (100 is standard)")
    assert sheet.says(CAUTION)
    assert sheet.overlapping() == []


def test_a_study_without_readings_is_a_sheet_to_fill_in(read_back: Callable[[bytes], Any]) -> None:
    sheet = read_back(study_sheet(StudySheet("T-016", ELEMENTS, station="honing machine"), printed=WHEN))

    assert sheet.says("An empty sheet")
    assert sheet.says("foreign to the work")
    assert sheet.says("20")
    assert not sheet.says("standard time")
    assert sheet.says(CAUTION)


def test_many_elements_and_cycles_take_as_many_pages_as_they_need(read_back: Callable[[bytes], Any]) -> None:
    elements = tuple(TimedElement(f"element {number}") for number in range(30))
    readings = tuple(TimedReading(f"{c}-{e}", c, e, 10.0 + e) for c in range(1, 61) for e in range(30))

    sheet = read_back(study_sheet(StudySheet("T-017", elements, readings), printed=WHEN))

    assert sheet.pages > 2
    assert sheet.says("59 60")


def test_the_same_study_gives_the_same_bytes() -> None:
    assert study_sheet(STUDY, printed=WHEN) == study_sheet(STUDY, printed=WHEN)
