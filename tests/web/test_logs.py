"""The log says who asked for what; it never says what was typed, and holds no secret."""

from __future__ import annotations

import logging

import pytest

from pullwright.web.logs import NoSecrets, clean
from pullwright.web.pieces import Page


@pytest.fixture
def log(caplog):
    caplog.set_level(logging.DEBUG)
    caplog.handler.addFilter(NoSecrets())
    return caplog


def test_an_answer_is_one_line_without_query_body_cookie_or_seal(app, visitor, log):
    seal = visitor.seal("/patterns")
    visitor.send("/patterns?note=private", {"who": "A. Weber", "shift": "early", "text": "takt: 55 s"}, seal=seal)
    lines = [record.getMessage() for record in log.records if record.name == "pullwright.web.access"]
    assert lines[-1].startswith("127.0.0.1 POST /patterns 303")
    for secret in ("private", "Weber", "takt", seal, visitor.cookies["pullwright_seat"], (b"k" * 32).decode()):
        assert secret not in log.text


def test_nobody_writes_lines_of_their_own_into_the_log(visitor, log):
    visitor.get("/a%0aERROR%20forged")
    lines = [record.getMessage() for record in log.records if record.name == "pullwright.web.access"]
    assert len(lines) == 1
    assert "\n" not in lines[0]
    assert "%0a" in lines[0].lower()


def test_a_traceback_is_logged_without_the_secret_in_its_message(app, visitor, log):
    def failing() -> Page:
        raise RuntimeError("password=hunter2 at /lines?who=Weber")

    app.state.pages.page("/failing", failing, "front.html")
    visitor.get("/failing")
    assert "RuntimeError" in log.text
    assert "hunter2" not in log.text
    assert "Weber" not in log.text


@pytest.mark.parametrize(
    ("text", "hidden"),
    [
        ("Cookie: pullwright_seat=abc", "abc"),
        ("{'seal': 'abc'}", "abc"),
        ("Authorization: Bearer abc", "abc"),
        ('GET "/lines?who=abc HTTP/1.1"', "abc"),
        ("seal=abc&who=x", "abc"),
        ("line one\x1b[31mred", "\x1b"),
    ],
)
def test_a_secret_is_hidden_wherever_it_turns_up(text, hidden):
    assert hidden not in clean(text)


def test_plain_words_are_left_as_they_are():
    assert clean("reference 1A2B-3C4D: GET /lines/hone failed\n  in line 3") == (
        "reference 1A2B-3C4D: GET /lines/hone failed\n  in line 3"
    )
