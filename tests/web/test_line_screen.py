"""The page of a line says what was found first, then shows it, then gives the numbers; the twin holds the same figures."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.line import Line
from pullwright.survey import survey_of
from pullwright.survey.caution import FIRST
from tests.web.small_line import FAULTY, ODD_NAMES, TOO_MUCH, VALVES

SURVEY = survey_of(Line.from_text(VALVES, name="valves.yaml"))


def test_the_first_line_is_the_sentence_of_the_survey(at_bench, tree):
    page = at_bench.get("/lines/valves").text
    first = re.search(r"<h1[^>]*>(.*?)</h1>", page, re.DOTALL)[1]
    words = html.unescape(re.sub(r"<[^>]+>", "", first)).replace("\u00a0", " ")
    assert words.removeprefix("Look here").strip() == SURVEY.sentence
    assert tree(page).open == []


def test_what_is_out_of_place_is_listed_with_its_word_and_leads_to_its_why(at_bench):
    listed = at_bench.get("/lines/valves.json").json()["findings"]
    assert [(one["word"], one["sentence"], one["figure"]["value"]) for one in listed] == [
        (one.word, one.sentence, one.figure.value) for one in SURVEY.findings
    ]
    page = at_bench.get("/lines/valves").text
    for one in listed:
        assert f'<a href="{html.escape(one["figure"]["why"])}">' in page


def test_the_twin_holds_the_figures_of_the_survey(at_bench):
    twin = at_bench.get("/lines/valves.json").json()
    flow = SURVEY.flow
    wanted = [
        flow.rates.demand, flow.shipped, flow.takt, flow.ladder.lead_days, flow.ladder.touch, flow.ladder.efficiency,
        flow.rolled_throughput_yield,
    ]  # fmt: skip
    assert [one["value"] for one in twin["headline"]] == [figure.value for figure in wanted]
    assert [(one["low"], one["high"]) for one in twin["headline"]] == [figure.interval() for figure in wanted]
    rows = {row["words"]: row["figures"][1]["value"] for row in twin["numbers"][0]["rows"] if row["figures"][1]}
    assert rows == {station.name: station.load.value for station in flow.stations}


def test_the_drawing_stands_on_the_page_for_a_desk_and_for_a_phone_with_ids_of_their_own(at_bench, tree):
    page = tree(at_bench.get("/lines/valves").text)
    drawings = [svg for svg in page.all("svg") if "pw-drawing" in svg.get("class", "")]
    assert [svg["width"] for svg in drawings] == ["1120", "358", "1120", "358"]
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_what_to_watch_next_is_said_with_what_it_narrows(at_bench):
    twin = at_bench.get("/lines/valves.json").json()
    assert [one["sentence"] for one in twin["watch"]] == [str(advice) for advice in SURVEY.watch_next()]
    assert twin["watch"]


def test_an_invented_line_says_so_and_the_caution_stands_below(at_bench):
    page = at_bench.get("/lines/valves").text
    assert "<strong>Invented.</strong>" in page
    assert FIRST in page


def test_a_line_that_cannot_make_its_demand_is_shown_and_says_so_first(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "A. Weber", "a large order", 1)
    answer = at_bench.get("/lines/valves")
    assert answer.status_code == 200
    assert "This line cannot make 400" in answer.text


def test_an_earlier_revision_is_shown_with_its_own_numbers_and_leads_to_the_latest(valves, at_bench):
    valves.revise("valves", VALVES.replace("mean: 40 /d", "mean: 20 /d"), "A. Weber", "half of it", 1)
    early, late = (at_bench.get(f"/lines/valves{part}.json").json() for part in ("/revisions/1", ""))
    assert (early["headline"][0]["value"], late["headline"][0]["value"]) == (40, 20)
    page = at_bench.get("/lines/valves/revisions/1").text
    assert "The latest is revision 2." in page
    assert 'href="/lines/valves"' in page
    assert early["headline"][0]["why"].startswith("/lines/valves/revisions/1/why?")


@pytest.mark.parametrize("part", ["", "/accounts", "/flow", "/figures", "/why?figure=takt%20time"])
def test_a_text_that_is_no_line_file_is_told_with_its_faults_and_where_to_put_it_right(
    record, bench_app, visitor_of, part
):
    record.add_line("broken", "Broken line", FAULTY, "A. Weber", "")
    answer = visitor_of(bench_app).get(f"/lines/broken{part}")
    assert answer.status_code == 422
    assert "98.5 is a share above 1" in answer.text
    assert 'href="/lines/broken/edit"' in answer.text


def test_names_of_any_letters_are_written_and_never_run(record, bench_app, visitor_of, tree):
    record.add_line("odd", "<i>Odd</i>", ODD_NAMES, "A. Weber", "")
    visitor = visitor_of(bench_app)
    for part in ("", "/accounts", "/flow", "/figures", "/text", "/form", "/form?at=steps.1", "/edit", "/revisions"):
        page = visitor.get(f"/lines/odd{part}")
        assert page.status_code == 200
        assert "<script>alert" not in page.text
        assert "<i>Odd" not in page.text
        assert tree(page.text).open == []


@pytest.mark.parametrize(
    "address", ["/lines/valve", "/lines/VALVES", "/lines/valves'--", "/lines/%F0%9F%8F%AD", "/lines/new"]
)
def test_a_line_that_is_not_there_is_told_with_those_that_are(at_bench, address):
    answer = at_bench.get(address)
    assert answer.status_code == 404
    assert "One of the lines: valves." in answer.text


@pytest.mark.parametrize("number", ["0", "-1", "two", "1.5", "99999999999999999999"])
def test_a_revision_of_an_impossible_number_is_refused_in_words(at_bench, number):
    answer = at_bench.get(f"/lines/valves/revisions/{number}")
    assert answer.status_code == 422
    assert "Something in this address is not allowed." in answer.text


def test_a_revision_that_is_not_there_is_told_with_those_that_are(at_bench):
    answer = at_bench.get("/lines/valves/revisions/7")
    assert answer.status_code == 404
    assert "Revisions 1 to 1." in answer.text
