"""What somebody is told when something cannot be done: the same words on a page and as problem JSON."""

from __future__ import annotations

import logging
import re
from datetime import UTC, datetime

import jsonschema
import pytest

from pullwright.record import Revision, StaleRevision
from pullwright.record.errors import (
    InvalidEntry,
    LineExists,
    NoFile,
    NoteDiffers,
    RecordBusy,
    SheetExists,
    UnknownLine,
    UnknownRevision,
    UnknownSheet,
)
from pullwright.web.openapi import PROBLEM_SCHEMA
from pullwright.web.pieces import Found, Page
from pullwright.web.problems import PROBLEMS, Problem, wants_json

LATEST = Revision("hone", 4, "text", "M. Adler", datetime(2025, 3, 4, tzinfo=UTC), "counted again")


def _raising(app, error, path="/raising"):
    def raising() -> Page:
        raise error

    app.state.pages.page(path, raising, "front.html")


@pytest.mark.parametrize("status", sorted(PROBLEMS))
def test_every_problem_says_what_was_read_what_is_allowed_and_what_to_do(app, visitor, tree, status):
    _raising(app, Problem(status, "seven screws"))
    page = visitor.get("/raising")
    told = visitor.get("/raising.json")
    assert page.status_code == told.status_code == status
    assert told.headers["content-type"] == "application/problem+json"
    body = told.json()
    jsonschema.validate(body, PROBLEM_SCHEMA)
    assert body["status"] == status
    assert body["instance"] == "/raising.json"
    text = re.sub(r"\s+", " ", tree(page.text).text)
    for words in (body["title"], "seven screws", body["todo"], body["allowed"]):
        assert words in text


def test_the_same_address_answers_a_program_in_json_when_it_asks_for_that(visitor):
    answer = visitor.get("/nothing", headers={"accept": "application/json"})
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.headers["vary"] == "Accept"


@pytest.mark.parametrize(
    ("path", "accept", "json"),
    [
        ("/a", "", False),
        ("/a", "*/*", False),
        ("/a", "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", False),
        ("/a", "application/problem+json", True),
        ("/a", "application/json, text/html;q=0.5", True),
        ("/a", "application/json;q=0.2, text/html;q=0.5", False),
        ("/a", "application/json;q=many", False),
        ("/a.json", "text/html", True),
    ],
)
def test_who_likes_json_better_gets_json(path, accept, json):
    assert wants_json(path, accept) is json


def test_an_unexpected_failure_shows_a_reference_and_never_the_traceback(app, visitor, caplog):
    _raising(app, RuntimeError("the hidden reason"))
    with caplog.at_level(logging.ERROR, "pullwright.web"):
        page = visitor.get("/raising")
    assert page.status_code == 500
    reference = re.search(r"[0-9A-F]{4}-[0-9A-F]{4}", page.text)
    assert reference is not None
    assert "the hidden reason" not in page.text
    assert "Traceback" not in page.text
    assert reference[0] in caplog.text
    assert "the hidden reason" in caplog.text
    assert page.headers["content-security-policy"]


def test_two_failures_have_two_references(app, visitor):
    _raising(app, RuntimeError("x"))
    assert visitor.get("/raising.json").json()["reference"] != visitor.get("/raising.json").json()["reference"]


def test_a_wrong_method_is_told_which_methods_there_are(visitor):
    answer = visitor.ask("POST", "/", data={"a": "b"})
    assert answer.status_code == 405
    assert answer.headers["allow"] == "GET, HEAD"
    assert "GET, HEAD" in answer.text


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "QUERY"])
def test_a_method_that_nobody_uses_is_refused_and_changes_nothing(visitor, method):
    assert visitor.ask(method, "/patterns").status_code == 405
    assert visitor.ask(method, "/nothing").status_code == 404


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (StaleRevision(LATEST, based_on=3), 409, "M. Adler saved revision 4"),
        (LineExists("hone"), 409, "There is a line"),
        (UnknownLine("hon", ["hone"]), 404, "Did you mean"),
        (UnknownRevision("hone", 9, 4), 404, "Revisions 1 to 4"),
        (UnknownSheet("stdy-1", ["study-1"]), 404, "One of the sheets: study-1."),
        (NoFile("study-1"), 404, "No file was handed in"),
        (SheetExists("study-1"), 409, "There is a sheet"),
        (NoteDiffers("study-1", "a7", None), 409, "Nothing was overwritten"),
        (InvalidEntry("key", "'Hone line'", "lower-case letters", "Write it small."), 422, "lower-case letters"),
        (RecordBusy("locked by /home/shop.db"), 503, "cannot be used just now"),
    ],
)
def test_an_error_of_the_record_is_told_with_its_status(app, visitor, error, status, said):
    _raising(app, error)
    answer = visitor.get("/raising")
    assert answer.status_code == status
    assert said in answer.text.replace("&#39;", "'")
    assert "/home/" not in answer.text


def test_what_was_read_is_shown_as_text_and_never_as_markup(app, visitor):
    _raising(app, Problem(404, "<script>alert(1)</script>"))
    assert "<script>alert" not in visitor.get("/raising").text
    assert "&lt;script&gt;" in visitor.get("/raising").text


def test_when_even_the_page_for_a_problem_fails_there_are_plain_words(app, visitor, monkeypatch):
    def failing(*_args, **_more):
        raise RuntimeError("no template")

    monkeypatch.setattr(app.state.pages.look, "page", failing)
    answer = visitor.get("/nothing")
    assert answer.status_code == 404
    assert answer.text.startswith("Nothing is kept at this address.")


def test_a_first_page_that_fails_in_its_template_is_a_failure_like_any_other(app, visitor):
    def bare() -> Page:
        return Page(name="Bare", found=Found(text="Nothing."))

    app.state.pages.page("/bare", bare, "patterns.html")
    assert visitor.get("/bare").status_code == 500
    assert visitor.get("/bare.json").json()["name"] == "Bare"
