"""What somebody typed is never lost, and never trusted."""

from __future__ import annotations

import html
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.datastructures import FormData, UploadFile

from pullwright.web.excerpt import LONGEST_LINE, excerpt
from pullwright.web.forms import Field, Form
from pullwright.web.patterns import SAMPLE_TEXT
from pullwright.web.pieces import TextFault
from pullwright.web.problems import Problem

FORM = Form(
    "try",
    Field("who", "Who", most=10),
    Field("text", "Text", kind="code", most=100, required=False),
    Field("shift", "Shift", kind="choice", choices=(("early", "Early"), ("late", "Late")), required=False),
)


def _value(page: str, name: str) -> str:
    """Return what a browser would show in a text box: it drops one line break after the tag."""
    box = page.split(f'name="{name}"')[1].split(">", 1)[1].split("</textarea>")[0]
    assert box.startswith("\n")
    return html.unescape(box[1:])


def test_what_is_missing_is_told_beside_the_field_and_the_rest_comes_back(visitor, tree):
    answer = visitor.send("/patterns", {"who": " ", "reason": "too <slow> & loud", "shift": "late", "text": "a: 1"})
    assert answer.status_code == 422
    page = tree(answer.text)
    field = next(entry for entry in page.all("input") if entry.get("name") == "who")
    assert field["aria-invalid"] == "true"
    assert "error-who" in field["aria-describedby"].split()
    assert "Nothing was typed here" in page.text
    assert _value(answer.text, "reason") == "too <slow> & loud"
    assert '<option value="late" selected>' in answer.text
    assert "Not done: Patterns" in page.text


@pytest.mark.parametrize(
    "typed", ["\n\nbegins with empty lines", "ends so\n\n", " \tspaces ", "</textarea><b>", "“äß”\n🏭"]
)
def test_a_text_comes_back_letter_for_letter(visitor, typed):
    answer = visitor.send("/patterns", {"who": "", "shift": "early", "text": typed.replace("\n", "\r\n")})
    assert _value(answer.text, "text") == typed


def test_a_text_with_faults_lists_them_with_their_lines_and_shows_the_lines(visitor, tree):
    answer = visitor.send("/patterns", {"who": "A. Weber", "shift": "early", "text": SAMPLE_TEXT})
    page = tree(answer.text)
    links = [link["href"] for link in page.all("a") if link.get("href", "").startswith("#line-")]
    assert links == ["#line-text-6", "#line-text-7"]
    names = {attributes.get("id") for _, attributes in page.elements}
    assert {link.lstrip("#") for link in links} <= names
    assert "Nothing was changed yet: 2 entries need another look." in page.text


def test_a_program_gets_the_same_messages_as_problem_json(visitor):
    answer = visitor.send(
        "/patterns", {"who": "", "text": "", "shift": "night"}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 422
    assert [entry["field"] for entry in answer.json()["errors"]] == ["who", "shift", "text"]


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("who", "A. Weber the second", "at most 10"),
        ("who", "A.\nWeber", "U+000A"),
        ("text", "a\nb\x07", "U+0007 in line 2"),
        ("shift", "night", "Early, Late"),
        ("text", "a" * 101, "101 characters"),
    ],
)
def test_what_is_not_allowed_is_named_with_what_is(name, typed, said):
    filled = FORM.filled({"who": "A. Weber", name: typed}).checked()
    assert said in filled[name].error
    assert filled[name].typed == typed
    assert [entry.field.name for entry in filled.wrong] == [name]


@given(st.text(max_size=120), st.text(max_size=12))
def test_checking_never_fails_and_never_alters_what_was_typed(text, who):
    filled = FORM.filled({"who": who, "text": text}).checked()
    assert (filled["text"].typed, filled["who"].typed) == (text, who)


def test_line_ends_of_any_machine_become_one_kind():
    assert FORM.read(FormData([("text", "a\r\nb\rc\n")])).typed["text"] == "a\nb\nc\n"


def test_an_entry_that_is_sent_twice_is_refused():
    with pytest.raises(Problem, match="could not be read"):
        FORM.read(FormData([("who", "a"), ("who", "b")]))


def test_half_a_character_is_refused():
    with pytest.raises(Problem) as told:
        FORM.read(FormData([("who", "A. Weber \ud800")]))
    assert "half a character" in told.value.read


def test_an_entry_that_is_not_asked_for_is_left_out():
    assert "boss" not in FORM.read(FormData([("boss", "me"), ("who", "a")])).typed


def test_a_form_cannot_have_two_fields_of_one_name_or_take_the_name_of_the_seal():
    for names in (("a", "a"), ("seal",)):
        with pytest.raises(ValueError, match="two fields of one name"):
            Form("bad", *(Field(name, name) for name in names))


def test_a_message_for_a_field_that_is_not_there_is_a_slip_of_ours():
    with pytest.raises(KeyError):
        FORM.filled({}).back({"whom": "x"})


@given(st.lists(st.integers(0, 60), max_size=8), st.integers(1, 50))
def test_an_excerpt_shows_every_faulty_line_once_and_in_order(faulty, count):
    lines = excerpt("\n".join("x" * 300 for _ in range(count)), [TextFault(line=line) for line in faulty])
    numbers = [line.number for line in lines]
    assert numbers == sorted(set(numbers))
    assert {line.number for line in lines if line.faulty} == {line for line in faulty if 1 <= line <= count}
    assert all(len(line.text) <= LONGEST_LINE for line in lines)


DATA = Form("bring", Field("log", "The log", kind="data"), Field("who", "Who"))


def _sent(**entries: str | UploadFile) -> FormData:
    return FormData(list(entries.items()))


def test_a_data_file_is_handed_on_as_it_was_sent_with_the_last_part_of_its_name():
    sent = UploadFile(BytesIO(b"\xff\x00PK"), size=4, filename="C:\\shop\\march\x07.xlsx")

    filled = DATA.read(_sent(log=sent, who="A. Weber")).checked()

    assert not filled.sent_back
    assert (filled.files["log"].name, filled.files["log"].size) == ("march.xlsx", 4)
    assert filled.files["log"].content.read() == b"\xff\x00PK"
    assert filled.typed["log"] == "march.xlsx"


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (UploadFile(BytesIO(b""), size=0, filename=""), "No file was chosen"),
        ("typed instead", "No file was chosen"),
        (UploadFile(BytesIO(b""), size=0, filename="march.csv"), "'march.csv' was read, and it is empty"),
    ],
)
def test_a_form_without_its_data_file_comes_back_and_says_so(sent, said):
    filled = DATA.read(_sent(log=sent, who="A. Weber")).checked()

    assert filled.sent_back
    assert filled["log"].error.startswith(said)
    assert filled["who"].typed == "A. Weber"
