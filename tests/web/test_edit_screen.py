"""Changing a line as text: nothing typed is lost, nothing invalid is saved, nothing of others is overwritten."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.web.saving import TEXT
from tests.web.small_line import FAULTY, TOO_MUCH, VALVES

CHANGED = VALVES.replace("counted: 160", "counted: 60")
WHO = {"who": "M. Adler", "why": "counted again", "do": "save"}


def _typed(page, name):
    box = page.split(f'name="{name}"')[1].split(">", 1)[1].split("</textarea>")[0]
    return html.unescape(box[1:])


def _first_line(page):
    words = re.search(r"<h1[^>]*>(.*?)</h1>", page, re.DOTALL)[1]
    return html.unescape(re.sub(r"<[^>]+>", "", words)).strip()


def test_a_change_is_saved_as_a_revision_and_leads_to_what_it_changes(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO})
    assert (answer.status_code, answer.headers["location"]) == (303, "/lines/valves/compare?before=1&after=2")
    saved = valves.revision("valves")
    assert (saved.number, saved.text, saved.who, saved.why) == (2, CHANGED, "M. Adler", "counted again")


def test_the_page_opens_with_the_text_as_it_stands_now(valves, at_bench):
    assert _typed(at_bench.get("/lines/valves/edit").text, "text") == VALVES


def test_faults_come_back_at_their_lines_and_nothing_is_saved(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": FAULTY, "based_on": "1", **WHO})
    assert answer.status_code == 422
    assert _typed(answer.text, "text") == FAULTY
    assert 'href="#line-text-26"' in answer.text
    assert 'href="#line-text-28"' in answer.text
    assert "98.5 is a share above 1" in answer.text
    assert 'data-marked="26 28"' in answer.text
    assert len(valves.revisions("valves")) == 1


def test_a_line_that_cannot_make_its_demand_may_be_saved_and_it_is_said(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": TOO_MUCH, "based_on": "1", **WHO})
    assert answer.status_code == 303
    assert "This line cannot make 400" in _first_line(at_bench.get(answer.headers["location"]).text)


@pytest.mark.parametrize("missing", ["who", "why"])
def test_a_save_needs_who_and_why_and_keeps_what_was_typed(valves, at_bench, missing):
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO, missing: " "})
    assert answer.status_code == 422
    assert _typed(answer.text, "text") == CHANGED
    assert f'id="error-{missing}"' in answer.text
    assert len(valves.revisions("valves")) == 1


def test_a_check_needs_neither_and_saves_nothing_and_says_what_it_means(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": TOO_MUCH, "based_on": "1", "do": "check"})
    assert answer.status_code == 200
    assert _first_line(answer.text).startswith("It can be read; nothing was saved yet. This line cannot make 400")
    assert _typed(answer.text, "text") == TOO_MUCH
    assert "1 line gone, 1 new" in answer.text
    assert len(valves.revisions("valves")) == 1


def test_a_program_that_checks_gets_the_finding_and_the_differences(at_bench):
    typed = {"text": CHANGED, "based_on": "1", "do": "check"}
    answer = at_bench.send("/lines/valves/edit", typed, headers={"accept": "application/json"})
    assert answer.status_code == 200
    assert (answer.json()["difference"]["gone"], answer.json()["difference"]["new"]) == (1, 1)
    assert not answer.json()["found"]["look"]


def test_somebody_who_saved_in_between_is_told_with_both_texts_and_the_save_can_go_on_top(valves, at_bench):
    theirs = VALVES.replace("manual: 150 s", "manual: 140 s")
    valves.revise("valves", theirs, "A. Weber", "packing timed", 1)
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO})
    assert answer.status_code == 409
    assert "A. Weber saved revision 2 while you were at work (packing timed)" in _first_line(answer.text)
    assert _typed(answer.text, "text") == CHANGED
    assert "<del>    manual: 140 s</del>" in answer.text
    assert "<ins>    manual: 150 s</ins>" in answer.text
    assert "Save on top of revision 2" in answer.text
    assert valves.revision("valves").text == theirs
    based_on = re.search(r'name="based_on" value="(\d+)"', answer.text)[1]
    assert at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": based_on, **WHO}).status_code == 303
    assert [one.who for one in valves.revisions("valves")] == ["A. Weber", "A. Weber", "M. Adler"]


def test_a_text_that_is_the_latest_already_is_not_saved_again(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": VALVES, "based_on": "1", **WHO})
    assert answer.status_code == 422
    assert "letter for letter" in _first_line(answer.text)


def test_a_chosen_file_takes_the_place_of_the_text(valves, at_bench):
    chosen = {"file": ("valves.yaml", b"\xef\xbb\xbf" + CHANGED.replace("\n", "\r\n").encode())}
    answer = at_bench.send("/lines/valves/edit", {"text": VALVES, "based_on": "1", **WHO}, chosen=chosen)
    assert answer.status_code == 303
    assert valves.revision("valves").text == CHANGED


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\xff", "no text in UTF-8"),
        (VALVES.encode("utf-16"), "saved as UTF-16"),
        (b"line: \x00", "zero characters"),
    ],
)
def test_a_file_that_is_no_text_is_refused_and_the_text_stays(valves, at_bench, raw, said):
    chosen = {"file": ("picture.yaml", raw)}
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO}, chosen=chosen)
    assert answer.status_code == 422
    assert said in html.unescape(answer.text)
    assert _typed(answer.text, "text") == CHANGED
    assert len(valves.revisions("valves")) == 1


def test_an_empty_choice_of_file_changes_nothing(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO}, chosen={"file": ("", b"")})
    assert answer.status_code == 303
    assert valves.revision("valves").text == CHANGED


BOMB = "line: x\na: &a [1, 2, 3, 4, 5, 6, 7, 8, 9]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join([f'*{chr(97 + i)}'] * 9)}]\n" for i in range(8)
)


@pytest.mark.parametrize(
    "text",
    [
        "not a line file", "{", "\t- x", "line: *x", "- 1\n- 2", "a: " + "[" * 5000, BOMB, "'; DROP TABLE lines; --",
        "line: \u202eevil", "🏭" * 1000, "line: !!python/object/apply:os.system ['ls']", "---\n---\n", "x" * TEXT.most,
    ],
    ids=lambda text: repr(text[:16]),
)  # fmt: skip
def test_whatever_is_typed_that_is_no_line_comes_back_in_words_and_nothing_is_saved(valves, at_bench, text):
    answer = at_bench.send("/lines/valves/edit", {"text": text, "based_on": "1", **WHO})
    assert answer.status_code == 422
    assert _typed(answer.text, "text") == text
    assert len(valves.revisions("valves")) == 1


def test_a_text_of_two_megabytes_is_refused_with_its_size(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": "# x\n" * 500_000, "based_on": "1", **WHO})
    assert answer.status_code == 422
    assert "at most 1,000,000 are allowed" in answer.text


def test_a_body_over_the_limit_is_refused_before_it_is_read(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": "# x\n" * 700_000, "based_on": "1", **WHO})
    assert answer.status_code == 413


@pytest.mark.parametrize("based_on", ["", "x", "-1", "0", "7", "1.5", "99999999999", "１"])
def test_a_revision_that_is_none_is_refused_in_words(valves, at_bench, based_on):
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": based_on, **WHO})
    assert answer.status_code in (404, 422)
    assert len(valves.revisions("valves")) == 1


def test_a_text_that_cannot_be_read_is_opened_with_its_faults_so_that_it_can_be_put_right(
    record, bench_app, visitor_of
):
    record.add_line("broken", "Broken line", FAULTY, "A. Weber", "")
    visitor = visitor_of(bench_app)
    assert "2 places to put right" in _first_line(visitor.get("/lines/broken/edit").text)
    assert visitor.send("/lines/broken/edit", {"text": VALVES, "based_on": "1", **WHO}).status_code == 303
    assert visitor.get("/lines/broken").status_code == 200


def test_a_form_that_lost_its_seal_comes_back_with_the_whole_text(valves, at_bench):
    answer = at_bench.send("/lines/valves/edit", {"text": CHANGED, "based_on": "1", **WHO}, seal="old")
    assert answer.status_code == 403
    assert _typed(answer.text, "text") == CHANGED
    assert len(valves.revisions("valves")) == 1
