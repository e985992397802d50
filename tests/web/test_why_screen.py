"""Every number on every page answers why, down to the line file or the reading that somebody took."""

from __future__ import annotations

import html
import re
from urllib.parse import quote

import pytest

from pullwright.line import Line
from pullwright.survey import survey_of
from pullwright.web.way import LONGEST_IN_ADDRESS, Way, digest_of
from pullwright.web.why_tree import MOST_SHOWN
from tests.web.small_line import ODD_NAMES, TOO_MUCH, VALVES

SURVEY = survey_of(Line.from_text(VALVES, name="valves.yaml"))
PAGES = ("", "/accounts", "/flow", "/figures")


def _asked(page):
    return {html.unescape(address) for address in re.findall(r'href="([^"]*/why\?[^"]+)"', page)}


@pytest.mark.parametrize("text", [VALVES, ODD_NAMES, TOO_MUCH], ids=["plain", "odd names", "too much"])
def test_every_number_on_every_page_answers_why(record, bench_app, visitor_of, text):
    record.add_line("line", "A line", text, "A. Weber", "")
    visitor = visitor_of(bench_app)
    asked = set().union(*(_asked(visitor.get(f"/lines/line{page}").text) for page in PAGES))
    assert len(asked) > 250
    assert [address for address in sorted(asked) if visitor.get(address).status_code != 200] == []


@pytest.mark.parametrize("page", PAGES)
def test_no_number_stands_on_a_page_without_a_way_to_its_why(at_bench, page):
    text = at_bench.get(f"/lines/valves{page}").text
    assert text.count('<span class="figure">') == text.count('<span class="figure"><a href=') > 5


def test_the_drawing_leads_to_every_why_that_it_shows(at_bench):
    page = at_bench.get("/lines/valves").text
    for drawing in re.findall(r'<svg xmlns[^>]*class="pw-drawing".*?</svg>', page, re.DOTALL):
        assert len(_asked(drawing)) >= 10


def test_a_why_shows_the_formula_the_inputs_and_the_line_of_the_file(at_bench):
    figure = SURVEY.flow.stations[1].load
    address = f"/lines/valves/why?figure={quote(figure.name)}"
    twin = at_bench.get(address.replace("why?", "why.json?")).json()
    assert twin["why"]["formula"] == figure.formula
    assert [one["figure"]["name"] for one in twin["why"]["inputs"]] == [one.name for one in figure.inputs]
    page = at_bench.get(address).text
    line = next(number for number, row in enumerate(VALVES.split("\n"), 1) if row == "  shifts:")
    assert f'<a href="/lines/valves/text#L{line}">line {line} of valves.yaml: calendar / shifts</a>' in page
    assert "common practice: the line file does not say it: 1 is taken" in page


def test_a_study_shows_its_readings_with_who_and_when(at_bench):
    twin = at_bench.get("/lines/valves/why.json?figure=study%20T-1").json()
    readings = twin["why"]["readings"]
    assert [reading["value"] for reading in readings][:2] == ["431 s", "440 s"]
    assert {reading["who"] for reading in readings} == {"line lead"}
    line = next(number for number, row in enumerate(VALVES.split("\n"), 1) if "name: T-1," in row)
    assert {reading["href"] for reading in readings} == {f"/lines/valves/text#L{line}"}
    page = at_bench.get("/lines/valves/why?figure=study%20T-1").text
    assert "6 readings" in page
    assert "2026-03-11" in page


def test_a_why_says_where_the_spread_comes_from_and_what_to_watch(at_bench):
    figure = SURVEY.flow.stations[0].load
    twin = at_bench.get(f"/lines/valves/why.json?figure={quote(figure.name)}").json()
    shares = figure.share_of_uncertainty()
    assert [(one["name"], one["value"]) for one in twin["shares"]] == [
        (one.name, one.share) for one in shares if one.share > 0
    ]
    assert [one["sentence"] for one in twin["watch"]] == [str(one) for one in figure.watch_next(3)]
    assert not twin["certain"]


def test_a_certain_number_says_that_it_is_taken_as_certain(at_bench):
    page = at_bench.get("/lines/valves/why?figure=takt%20time").text
    assert "taken as certain" in page


def test_a_large_why_is_cut_where_it_can_be_read_and_leads_on(at_bench):
    page = at_bench.get("/examples/hand-pump/why.json?figure=lead%20time%20in%20days").json()

    def nodes(node):
        return [node, *(inner for one in node["inputs"] for inner in nodes(one))]

    shown = nodes(page["why"])
    assert 20 < len(shown) <= MOST_SHOWN
    assert any(node["hidden"] for node in shown)
    assert all(node["figure"]["why"] for node in shown if node["hidden"])


def test_a_name_that_is_too_long_for_an_address_is_asked_for_by_its_digest(record, bench_app, visitor_of):
    step, element = "\U00020000" * 80, "\U00020001" * 80
    work = "    machine: {study: T-1}\n    manual: 40 s\n    value_adding: 90 %\n"
    long = VALVES.replace("- name: hone ", f"- name: {step} ").replace("before: hone", f"before: {step}")
    long = long.replace(work, f"    elements: [{{what: {element}, manual: {{mean: 300 s, cv: 0.2}}, kind: value}}]\n")
    record.add_line("long", "Long names", long, "A. Weber", "")
    visitor = visitor_of(bench_app)
    name = next(name for name in survey_of(Line.from_text(long)).every_figure if len(quote(name)) > LONGEST_IN_ADDRESS)
    address = Way("/lines/long").why(name)
    assert address == f"/lines/long/why?digest={digest_of(name)}"
    assert visitor.get(address.replace("why?", "why.json?")).json()["figure"]["name"] == name


@pytest.mark.parametrize(
    "asked",
    [
        "figure=tact%20time",
        "figure=",
        "",
        "digest=0123",
        "figure=%27%20OR%201%3D1",
        "figure=%F0%9F%8F%AD",
        "digest=../..",
    ],
)
def test_a_figure_that_is_not_there_is_told_with_the_list_of_those_that_are(at_bench, asked):
    answer = at_bench.get(f"/lines/valves/why?{asked}")
    assert answer.status_code == 404
    assert 'href="/lines/valves/figures"' in answer.text


def test_a_slip_in_a_name_is_answered_with_the_nearest_one(at_bench):
    assert "Did you mean takt time?" in at_bench.get("/lines/valves/why?figure=tact%20time").text


def test_a_name_longer_than_any_is_refused_in_words(at_bench):
    assert at_bench.get(f"/lines/valves/why?figure={'x' * 2001}").status_code == 422
