"""The pages of a time study: begun of a step or from a file, read, put right, explained, put into the line, struck and taken back."""

from __future__ import annotations

import json
import re

import pytest

from pullwright.line import Line
from pullwright.record import Record
from pullwright.web import create_app
from pullwright.web.pace import Pace
from tests.web.small_line import VALVES

TABLE = "cycle,load,hone,gauge\n" + "".join(
    f"{cycle},{20 + cycle % 3},{430 + 3 * (cycle % 4)},{9 if cycle != 4 else '31*'}\n" for cycle in range(1, 11)
)
NEW = {
    "name": "T-7", "of": "honing", "step": "hone", "product": "valve", "elements": "load; by hand; needed\nhone; machine; value",
    "who": "line lead", "csv": "",
}  # fmt: skip
ELEMENTS = VALVES.replace(
    "    machine: {study: T-1}\n    manual: 40 s\n    value_adding: 90 %\n",
    "    elements:\n      - {what: load, manual: 40 s, kind: needed}\n      - {what: hone, machine: {study: T-1}, kind: value}\n",
)
"""The same line, with the step that hones told element by element."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory, visitor_of):
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("valves", "Valve line", VALVES, "A. Weber", "")
        record.add_line("parts", "Valve line, in parts", ELEMENTS, "A. Weber", "")
        yield record, visitor_of(create_app(record, secret=b"k" * 32, pace=Pace(burst=1_000_000)))


@pytest.fixture(scope="module")
def visitor(shop):
    return shop[1]


@pytest.fixture(scope="module")
def record(shop):
    return shop[0]


@pytest.fixture
def timed(visitor):
    """The address of a study of the line in parts that was begun from a file, with ten cycles of three elements."""
    chosen = {"file": ("march.csv", TABLE.encode())}
    answer = visitor.send("/lines/parts/studies/new", {**NEW, "elements": ""}, chosen=chosen)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def test_a_study_of_a_step_begins_with_its_elements_and_leads_to_the_stopwatch(visitor, record):
    start = visitor.get("/lines/parts/studies/new.json?step=hone").json()["start"]
    assert start["elements"] == "load; by hand; needed\nhone; machine; value"
    assert start["name"] == "T-001"
    sent = visitor.send("/lines/parts/studies/new", NEW)
    assert sent.headers["location"].endswith("/stopwatch")
    sheet = record.sheet(sent.headers["location"].split("/")[-2])
    assert sheet.title == "T-7"
    assert (sheet.body["step"], sheet.body["station"], sheet.who) == ("hone", "hone 1", "line lead")
    assert "T-7, honing at hone 1" in visitor.get(sent.headers["location"]).text
    page = visitor.get(sent.headers["location"].removesuffix("/stopwatch") + ".json").json()
    assert page["found"]["text"] == "T-7 has no reading that counts yet."


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"elements": "", "step": ""}, "say at least one element"),
        ({"elements": "load; by foot"}, "no way of working"),
        ({"elements": "load\nload"}, "load"),
        ({"elements": "foreign"}, "kept for what does not belong"),
        ({"elements": "", "csv": "cycle,load\n1,soon\n"}, "soon"),
        ({"who": ""}, "Nothing was typed here"),
    ],
)
def test_what_cannot_be_begun_comes_back_as_it_was_typed(visitor, record, typed, said):
    before = len(record.sheets())
    answer = visitor.send("/lines/parts/studies/new", {**NEW, **typed})
    assert answer.status_code == 422
    assert said in answer.text
    assert len(record.sheets()) == before


def test_a_file_of_readings_is_read_with_what_it_sets_aside_and_each_number_ends_at_its_row(visitor, timed):
    page = visitor.get(f"{timed}.json").json()
    assert page["found"]["text"].startswith("A cycle takes")
    assert len(page["readings"]) == 30
    assert [one["aside"] for one in page["readings"] if one["aside"]] == ["marked * in the file"]
    load = next(row for row in page["elements"]["rows"] if row["words"] == "load")["figures"][1]
    assert load["value"] == pytest.approx(21.0, abs=0.2)
    why = visitor.get(load["why"])
    assert why.status_code == 200
    assert "row 2 of march.csv" in why.text
    assert "row 2 of march.csv" in visitor.get(f"{timed}/readings.csv").text


def test_readings_are_set_aside_rated_and_counted_again_with_who_said_so(visitor, timed):
    def corrected(**typed):
        entries = {"number": "1, 2", "act": "aside", "why": "", "rating": "", "who": "M. Adler", **typed}
        return visitor.send(f"{timed}/readings", entries)

    assert "say why it does not count" in corrected().text
    assert "allowed are 1 to 30" in corrected(number="31", why="x").text
    assert corrected(why="a faulty body").status_code == 303
    rows = visitor.get(f"{timed}.json").json()["readings"]
    assert [row["aside"] for row in rows[:2]] == ["a faulty body"] * 2
    assert corrected(number="1", act="count").status_code == 303
    assert corrected(number="2", act="foreign").status_code == 303
    assert corrected(number="3", act="rate", rating="110").status_code == 303
    assert "is no rating" in corrected(number="3", act="rate", rating="900").text
    rows = visitor.get(f"{timed}.json").json()["readings"]
    assert rows[0]["aside"] == ""
    assert rows[1]["element"] == "foreign element"
    assert rows[2]["rating"] == "110"
    assert "set aside: a faulty body" in visitor.get(f"{timed}/notes").text
    assert "M. Adler" in visitor.get(timed).text


def test_a_reading_is_typed_in_and_the_list_of_elements_is_put_right(visitor, timed):
    start = visitor.get(f"{timed}/typed.json").json()["start"]
    assert (start["cycle"], start["element"]) == ("11", "0")
    typed = {"cycle": "11", "element": "1", "seconds": "7,5 min", "note": "a hard body", "who": "M. Adler"}
    assert visitor.send(f"{timed}/typed", typed).status_code == 303
    row = visitor.get(f"{timed}.json").json()["readings"][-1]
    assert (row["cycle"], row["element"], row["seconds"], row["note"], row["aside"]) == (
        11,
        "hone",
        "450 s",
        "a hard body",
        "",
    )
    assert (row["who"], row["where"]) == ("M. Adler", "typed in at a desk")
    for wrong, field in (
        ({"seconds": "soon"}, "seconds"),
        ({"seconds": "0"}, "seconds"),
        ({"cycle": "x"}, "cycle"),
        ({"cycle": "0"}, "seconds"),
    ):
        answer = visitor.send(f"{timed}/typed", {**typed, **wrong})
        assert answer.status_code == 422
        assert f'id="error-{field}"' in answer.text

    elements = visitor.get(f"{timed}/elements.json").json()["start"]["elements"]
    assert (
        visitor.send(
            f"{timed}/elements", {"elements": elements + "\ndress; by hand; needed; 20", "who": "M. Adler"}
        ).status_code
        == 303
    )
    assert "dress" in visitor.get(f"{timed}.json").json()["sentences"][-1] + visitor.get(timed).text
    shorter = visitor.send(f"{timed}/elements", {"elements": "load", "who": "M. Adler"})
    assert shorter.status_code == 422
    assert "which has readings" in shorter.text


def test_rating_and_allowances_make_the_standard_time(visitor, timed):
    before = visitor.get(f"{timed}.json").json()["elements"]["rows"][0]["figures"]
    typed = {"rating": "90", "allowances": "personal\nbasic fatigue\nwet floor; 3 %", "who": "M. Adler"}
    assert visitor.send(f"{timed}/terms", typed).status_code == 303
    after = visitor.get(f"{timed}.json").json()["elements"]["rows"][0]["figures"]
    assert after[3]["value"] == pytest.approx(0.9 * before[3]["value"])
    assert after[5]["value"] == pytest.approx(1.12 * after[3]["value"])
    for wrong, said in (({"rating": "slow"}, "is no rating"), ({"allowances": "personal\npersonal"}, "stands there twice"),
                        ({"allowances": "wet floor; much"}, "has no share")):  # fmt: skip
        answer = visitor.send(f"{timed}/terms", {**typed, **wrong})
        assert answer.status_code == 422
        assert said in answer.text
    assert visitor.get(f"{timed}/terms.json").json()["start"]["rating"] == "90"


def test_a_study_goes_into_the_line_as_its_next_revision_with_each_reading(visitor, record, timed):
    page = visitor.get(f"{timed}/into-line.json").json()
    typed = {**page["start"], "step": "hone", "element": "", "who": "M. Adler", "why": "timed in March"}
    shown = visitor.send(f"{timed}/into-line", {**typed, "do": "look"})
    assert shown.status_code == 200
    assert "20 s" in shown.text
    assert record.revision("parts").number == 1
    saved = visitor.send(f"{timed}/into-line", {**typed, "do": "save"})
    assert re.fullmatch(r"/lines/parts/compare\?before=1&after=2", saved.headers["location"])
    line = Line.from_text(record.revision("parts").text)
    step = next(step for step in line.steps if step.name == "hone")
    assert [element.what for element in step.elements] == ["load", "hone", "gauge"]
    assert all((element.manual or element.machine).study.startswith("T-7") for element in step.elements)
    study = next(one for one in line.studies if one.name == step.elements[0].manual.study)
    assert len(study.readings) == 10
    assert "row 2 of march.csv" in record.revision("parts").text
    assert visitor.get(saved.headers["location"]).status_code == 200


def test_a_step_in_short_form_takes_one_element_and_never_loses_another(visitor, record):
    chosen = {"file": ("march.csv", TABLE.encode())}
    timed = visitor.send("/lines/valves/studies/new", {**NEW, "elements": ""}, chosen=chosen).headers["location"]
    start = visitor.get(f"{timed}/into-line.json").json()["start"]
    typed = {**start, "step": "hone", "element": "", "who": "M. Adler", "why": "timed", "do": "save"}
    refused = visitor.send(f"{timed}/into-line", typed)
    assert refused.status_code == 422
    assert "in its short form" in refused.text
    assert record.revision("valves").number == 1
    assert visitor.send(f"{timed}/into-line", {**typed, "element": "load"}).status_code == 303
    line = Line.from_text(record.revision("valves").text)
    assert next(step for step in line.steps if step.name == "hone").manual.study == "T-7"


def test_a_struck_study_counts_nowhere_until_it_is_taken_back(visitor, timed):
    assert visitor.send(f"{timed}/strike", {"who": "A. Weber", "why": "wrong bore"}).status_code == 303
    assert "Struck." in visitor.get(timed).text
    start = visitor.get(f"{timed}/into-line.json").json()["start"]
    typed = {**start, "step": "hone", "element": "load", "who": "M. Adler", "why": "timed", "do": "save"}
    assert "was struck" in visitor.send(f"{timed}/into-line", typed).text
    assert visitor.send(f"{timed}/strike", {"who": "A. Weber", "why": "it was the right one"}).status_code == 303
    assert "Struck." not in visitor.get(timed).text


def test_every_figure_of_a_study_answers_why(visitor, timed):
    page = visitor.get(f"{timed}.json").json()
    addresses = set(re.findall(r'"why": "([^"]+)"', json.dumps(page)))
    assert len(addresses) > 15
    for address in addresses:
        assert visitor.get(address).status_code == 200, address
    inner = re.findall(rf'href="({timed}/why[^"]+)"', visitor.get(page["elements"]["total"]["figures"][5]["why"]).text)
    assert inner
    for address in inner:
        assert visitor.get(address.replace("&amp;", "&")).status_code == 200, address
    assert visitor.get(f"{timed}/why?figure=nothing").status_code == 404


def test_the_sheet_is_printed_filled_in_or_empty(visitor, timed):
    printed = visitor.get(f"{timed}/sheet.pdf")
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.content.startswith(b"%PDF-")
