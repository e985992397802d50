"""Beginning a line from an example or from a line file of one's own; the first page, the examples, and help."""

from __future__ import annotations

import pytest

from pullwright.examples import EXAMPLES
from pullwright.line import Line
from pullwright.line.kinds import KINDS
from pullwright.survey import survey_of
from pullwright.web.screens.begin import key_of
from pullwright.web.serve import CannotServe, begin_with
from tests.web.small_line import FAULTY, VALVES

TYPED = {"title": "Valves in hall 2", "text": VALVES, "who": "A. Weber", "why": "a new hall", "do": "save"}


def test_a_line_begins_from_a_text_and_leads_to_its_page(record, at_bench):
    answer = at_bench.send("/new", TYPED)
    assert answer.headers["location"] == "/lines/valves-in-hall-2"
    first = record.revision("valves-in-hall-2")
    assert (first.text, first.who, first.why, first.number) == (VALVES, "A. Weber", "a new hall", 1)


def test_a_second_line_of_the_same_name_gets_an_address_of_its_own(record, at_bench):
    assert [at_bench.send("/new", TYPED).headers["location"] for _ in range(3)] == [
        "/lines/valves-in-hall-2", "/lines/valves-in-hall-2-2", "/lines/valves-in-hall-2-3",
    ]  # fmt: skip


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.key)
def test_a_line_begins_from_any_example_as_it_is(record, at_bench, example):
    start = at_bench.get(f"/new.json?example={example.key}").json()["start"]
    assert start == {"title": example.title, "text": example.text}
    assert at_bench.send(f"/new?example={example.key}", {**TYPED, **start}).status_code == 303


def test_a_chosen_file_is_the_text(record, at_bench):
    answer = at_bench.send("/new", {**TYPED, "text": ""}, chosen={"file": ("v.yaml", VALVES.encode())})
    assert answer.status_code == 303
    assert record.revision("valves-in-hall-2").text == VALVES


def test_faults_come_back_and_no_line_is_begun(record, at_bench):
    answer = at_bench.send("/new", {**TYPED, "text": FAULTY})
    assert answer.status_code == 422
    assert 'href="#line-text-26"' in answer.text
    assert [entry.key for entry in record.lines()] == ["valves"]


@pytest.mark.parametrize("missing", ["title", "text", "who", "why"])
def test_what_is_missing_is_told_and_no_line_is_begun(record, at_bench, missing):
    answer = at_bench.send("/new", {**TYPED, missing: ""})
    assert answer.status_code == 422
    assert f'id="error-{missing}"' in answer.text
    assert [entry.key for entry in record.lines()] == ["valves"]


def test_a_check_needs_the_text_alone(record, at_bench):
    answer = at_bench.send("/new", {"text": VALVES, "do": "check"})
    assert answer.status_code == 200
    assert "It can be read; nothing was saved yet." in answer.text


def test_an_example_that_is_not_there_is_told_with_those_that_are(at_bench):
    for address in ("/new?example=boats", "/examples/boats"):
        answer = at_bench.get(address)
        assert answer.status_code == 404
        assert "hand-pump" in answer.text


@pytest.mark.parametrize("title", ["a", "Größe 2", "泵", "'; DROP TABLE lines; --", "-" * 100, "a" * 120, "../../etc"])
def test_any_title_makes_a_key_that_the_record_takes(record, at_bench, title):
    assert at_bench.send("/new", {**TYPED, "title": title}).headers["location"].startswith("/lines/")
    assert key_of(title) in {entry.key for entry in record.lines()}


def test_the_first_page_says_what_was_found_on_every_line(at_bench):
    (line,) = at_bench.get("/index.json").json()["lines"]
    survey = survey_of(Line.from_text(VALVES))
    assert (line["sentence"], line["look"]) == (survey.sentence, bool(survey.findings))


def test_the_first_page_names_a_line_that_cannot_be_read_and_offers_the_examples(record, bench_app, visitor_of):
    record.add_line("broken", "Broken line", FAULTY, "A. Weber", "")
    page = visitor_of(bench_app).get("/").text
    assert "cannot be read as a line file: 2 faults" in page
    assert 'href="/new?example=hand-pump"' in page


def test_every_example_is_shown_with_its_sentence_and_the_way_to_begin_from_it(at_bench, tree):
    answer = at_bench.get("/examples")
    shown = at_bench.get("/examples.json").json()["examples"]
    assert [one["key"] for one in shown] == [example.key for example in EXAMPLES]
    for one, example in zip(shown, EXAMPLES, strict=True):
        survey = survey_of(Line.from_text(example.text))
        assert (one["sentence"], one["invented"]) == (survey.sentence, survey.line.invented)
        assert f'href="{one["begin"]}"' in answer.text
    page = tree(answer.text)
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("part", ["", "/accounts", "/flow", "/figures", "/text", "/why?figure=takt%20time"])
def test_an_example_is_looked_around_in_without_being_kept(record, at_bench, part):
    assert at_bench.get(f"/examples/hand-pump{part}").status_code == 200
    assert [entry.key for entry in record.lines()] == ["valves"]


def test_help_names_the_promises_the_hatches_and_the_words(at_bench):
    page = at_bench.get("/help").text
    for kind in KINDS:
        assert kind.words in page
        assert kind.question in page
    assert "Every number answers why." in page


def test_a_demo_begins_with_its_example_and_a_record_with_lines_is_left_as_it_is(record):
    begin_with(record, EXAMPLES, "hand-pump")
    begin_with(record, EXAMPLES, "hand-pump")
    assert [(one.key, one.revisions, one.who) for one in record.lines()] == [("hand-pump", 1, "Pullwright")]
    assert record.revision("hand-pump").why == "the demo: invented data to look around"


def test_a_record_stays_empty_unless_an_example_is_asked_for_and_a_wrong_one_is_named(record):
    begin_with(record, EXAMPLES, "")
    assert record.lines() == ()
    with pytest.raises(CannotServe, match="no example 'boats'"):
        begin_with(record, EXAMPLES, "boats")
