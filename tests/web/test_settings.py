"""What is asked of a line in an address: every slip is named, and what is not named stays as it is."""

from __future__ import annotations

from urllib.parse import parse_qsl

import pytest

from pullwright.examples import EXAMPLES
from pullwright.forecast.search.knobs_of import knobs_of
from pullwright.line import Line
from pullwright.web.forecast_controls import ROOM, controls_of
from pullwright.web.problems import Problem
from pullwright.web.settings import Settings, name_of, read_settings

LINE = Line.from_text(EXAMPLES[0].text, name="pump.yaml")
KNOBS = knobs_of(LINE)


def read(*asked):
    return read_settings(asked, KNOBS, "/lines/pump/forecast")


def test_what_is_typed_turns_the_line_and_reads_back_from_its_own_address():
    settings = read(("room before:weld base", "14"), ("demand:P-40", "120"), ("people:machining", " 2 "))
    line = settings.turn(LINE)
    assert next(one.capacity.value for one in line.stores if one.before == "weld base") == 14
    assert next(one.number for one in line.people if one.name == "machining") == 2
    assert next(one.demand.value for one in line.products if one.name == "P-40") == pytest.approx(1.2 * 9)
    assert read(*parse_qsl(settings.query)).turnings == settings.turnings


def test_an_empty_field_and_todays_own_value_turn_nothing():
    assert read(("room before:weld base", "28"), ("people:machining", ""), ("demand:P-40", "100 %")).turnings == ()


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("room before:weld bas", "14", "room before:weld base"),
        ("nonsense", "1", "nothing of that name can be turned"),
        ("people:machining", "two", "'two' was read; a whole number from 1 to 100 people is wanted"),
        ("people:machining", "0", "a whole number from 1 to"),
        ("people:machining", "2.5", "a whole number from 1 to"),
        ("people:machining", "1e9", "a whole number from 1 to"),
        ("people:machining", "nan", "a whole number from 1 to"),
        ("demand:P-40", "-5", "a number from 0 to 1500 % of today's is wanted"),
        ("demand:P-40", "inf", "a number from 0"),
        ("cash:", "9" * 60, "a number from"),
    ],
)
def test_a_slip_is_named_with_what_was_read_and_what_is_allowed(name, text, said):
    with pytest.raises(Problem) as caught:
        read((name, text))
    assert caught.value.status_code == 422
    assert said in caught.value.wrong[0].message


def test_all_slips_are_told_at_once():
    with pytest.raises(Problem) as caught:
        read(("people:machining", "two"), ("nonsense", "1"), ("demand:P-40", "x"))
    assert len(caught.value.wrong) == 3


def test_one_thing_cannot_be_turned_twice():
    with pytest.raises(Problem, match="422"):
        read(("people:machining", "2"), ("people:machining", "4"))


def test_every_knob_has_one_control_with_todays_value_and_no_form_outgrows_an_address():
    groups = controls_of(KNOBS, Settings())
    controls = [one for group in groups for one in group.controls]
    assert sorted(one.name for one in controls) == sorted(name_of(knob) for knob in KNOBS)
    assert all(one.value == one.today and not one.turned for one in controls)
    for group in groups:
        assert sum(len(one.name) + 12 for one in group.controls) < ROOM + 100


def test_a_form_takes_the_settings_of_the_other_forms_with_it():
    settings = read(("room before:weld base", "14"), ("people:machining", "2"))
    groups = {group.words: group for group in controls_of(KNOBS, settings)}
    assert groups["People"].kept == (("room before:weld base", "14"),)
    assert sorted(groups["Lots"].kept) == [("people:machining", "2"), ("room before:weld base", "14")]
    assert [one.name for one in groups["People"].controls if one.turned] == ["people:machining"]
