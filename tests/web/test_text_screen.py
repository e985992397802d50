"""The text of a line file stands on a page with the number of every line, so that a source can be pointed at."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.web.way import LINES_AT_ONCE
from tests.web.small_line import FAULTY, VALVES


def test_every_line_stands_there_letter_for_letter_under_its_number(at_bench):
    page = at_bench.get("/lines/valves/text").text
    lines = re.findall(r'<li id="L(\d+)">.*?<code>(.*?)</code>', page, re.DOTALL)
    assert [(int(number), html.unescape(text)) for number, text in lines] == list(enumerate(VALVES.splitlines(), 1))
    assert at_bench.get("/lines/valves/text.json").json()["lines"] == VALVES.splitlines()


def test_a_text_with_faults_is_shown_too(record, bench_app, visitor_of):
    record.add_line("broken", "Broken line", FAULTY, "A. Weber", "")
    answer = visitor_of(bench_app).get("/lines/broken/text")
    assert answer.status_code == 200
    assert "and 2 faults" in answer.text


@pytest.mark.parametrize("text", ["", "\n", "x", "a\r\nb\rc"])
def test_any_text_that_is_kept_can_be_read(record, bench_app, visitor_of, text):
    record.add_line("any", "Any text", text, "A. Weber", "")
    assert visitor_of(bench_app).get("/lines/any/text.json").json()["lines"] == text.splitlines()


def test_a_long_text_is_shown_in_parts_and_a_line_is_found_in_its_part(record, bench_app, visitor_of):
    record.add_line("long", "Long text", VALVES + "# note\n" * LINES_AT_ONCE, "A. Weber", "")
    visitor = visitor_of(bench_app)
    first = visitor.get("/lines/long/text.json").json()
    rest = visitor.get(f"/lines/long/text.json?first={LINES_AT_ONCE + 5}").json()
    assert (first["first"], len(first["lines"]), rest["first"]) == (1, LINES_AT_ONCE, LINES_AT_ONCE + 1)
    assert len(first["lines"]) + len(rest["lines"]) == first["count"]
    assert f'id="L{LINES_AT_ONCE + 1}"' in visitor.get(f"/lines/long/text?first={LINES_AT_ONCE + 1}").text


@pytest.mark.parametrize(
    ("first", "status"), [("0", 422), ("-5", 422), ("x", 422), ("999999", 404), ("99999999999", 422)]
)
def test_a_line_that_is_not_there_is_refused_in_words(at_bench, first, status):
    assert at_bench.get(f"/lines/valves/text?first={first}").status_code == status


@pytest.mark.parametrize("address", ["/lines/valves/text.yaml", "/lines/valves/revisions/1/text.yaml"])
def test_the_file_is_taken_away_letter_for_letter(at_bench, address):
    answer = at_bench.get(address)
    assert answer.content.decode() == VALVES
    assert answer.headers["content-type"] == "application/yaml"
    assert answer.headers["content-disposition"] == 'attachment; filename="valves.yaml"'
    assert at_bench.get("/examples/hand-pump/text.yaml").status_code == 200
