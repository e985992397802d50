"""The pieces of a page, as they are drawn on the pattern page."""

from __future__ import annotations

import re

import pytest

from pullwright.draw.hatching import HATCHES
from pullwright.draw.sheet import Sheet
from pullwright.line.kinds import BY_KEY, KINDS
from pullwright.web.hatch import hatch_key

ADDRESSES = ("/", "/patterns", "/nothing")


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_page_is_well_formed_with_one_first_line_and_named_parts(visitor, tree, address):
    page = tree(visitor.get(address).text)
    assert page.open == []
    assert len(page.all("h1")) == 1
    assert page.all("html")[0]["lang"] == "en-GB"
    assert page.all("main")[0]["id"] == "page"
    assert page.all("a")[0] == {"class": "skip", "href": "#page"}
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("typed", [None, {"who": "", "text": "", "shift": "?"}])
def test_every_entry_has_its_words_and_every_reference_its_target(visitor, tree, typed):
    answer = visitor.get("/patterns") if typed is None else visitor.send("/patterns", typed)
    page = tree(answer.text)
    ids = {attributes.get("id") for _, attributes in page.elements}
    labelled = {label["for"] for label in page.all("label")}
    for tag in ("input", "select", "textarea"):
        for entry in page.all(tag):
            assert entry.get("type") == "hidden" or entry["id"] in labelled
            assert set(entry.get("aria-describedby", "").split()) <= ids
    for link in page.all("a"):
        if link["href"].startswith("#"):
            assert link["href"][1:] in ids


def test_the_mark_never_stands_without_a_word(visitor):
    page = visitor.get("/patterns").text
    marks = re.findall(r'<span class="look"><svg.*?</svg>(.*?)</span>', page)
    assert len(marks) >= 5
    assert all(words.strip() for words in marks)
    assert page.count('class="mark"') == len(marks)


def test_the_mark_on_a_page_is_the_mark_in_a_drawing(visitor):
    sheet = Sheet("mark")
    sheet.mark(0, 7)
    (drawn,) = re.findall(r' d="([^"]+)"', "".join(sheet._parts))
    assert f'd="{drawn}"' in visitor.get("/patterns").text


def test_the_hatch_before_a_row_is_the_hatch_in_a_drawing(visitor, tree):
    page = tree(visitor.get("/patterns").text)
    tiles = {tile["id"] for tile in page.all("pattern") if tile["id"].startswith("key-to-")}
    assert tiles == {f"key-to-{kind}" for kind, hatch in HATCHES.items() if hatch.strokes}
    filled = [rect["fill"] for rect in page.all("rect")]
    assert {fill[5:-1] for fill in filled if fill.startswith("url(")} == tiles


def test_a_figure_shows_number_unit_and_interval_and_opens_its_why(visitor):
    page = visitor.get("/patterns").text
    figure = re.search(
        r'<span class="figure"><a href="#why" aria-label="58.7 s, 55.1 to 62.8: why takt time">.*?</a>', page
    )
    assert figure is not None
    assert '<span class="interval">(55.1 to 62.8)</span>' in page


def test_the_twin_holds_the_figures_as_numbers(visitor):
    figures = visitor.get("/patterns.json").json()["figures"]
    assert figures[0]["value"] == 58.7
    assert (figures[0]["low"], figures[0]["high"], figures[0]["unit"]) == (55.1, 62.8, "s")
    assert figures[3]["value"] is None
    assert figures[3]["number"] == "without end"


def test_an_account_has_a_row_for_every_kind_in_the_one_order_and_its_rows_add_up(visitor, tree):
    account = visitor.get("/patterns.json").json()["hours"]
    assert [row["kind"] for row in account["rows"]] == [kind.key for kind in KINDS]
    whole = account["total"]["figures"][0]["value"]
    assert sum(row["figures"][0]["value"] for row in account["rows"]) == pytest.approx(whole)
    page = tree(visitor.get("/patterns").text.partition('id="why"')[0] + "")
    assert [cell.get("scope") for cell in page.all("th")].count("row") == len(KINDS) + 1


def test_every_kind_has_a_hatch_of_its_own():
    assert set(HATCHES) == set(BY_KEY)
    assert len({str(hatch_key(kind.key)) for kind in KINDS}) == len(KINDS)
    with pytest.raises(KeyError, match="no kind of time"):
        hatch_key("colour")


def test_the_why_opens_down_to_its_sources(visitor, tree):
    page = tree(
        re.search(r'<section class="sheet" id="why">.*?</section>', visitor.get("/patterns").text, re.DOTALL)[0]
    )
    assert len(page.all("details")) == 3
    assert [("open" in details) for details in page.all("details")] == [True, True, False]
    assert "study T-014, 32 readings" in page.text


def test_every_chart_has_a_sentence_both_pictures_and_its_numbers_one_click_away(visitor):
    page = visitor.get("/patterns").text
    figures = re.findall(r'<figure class="chart">.*?</figure>', page, re.DOTALL)
    twins = visitor.get("/patterns.json").json()["charts"]
    assert len(figures) == len(twins) == 8
    for figure, twin in zip(figures, twins, strict=True):
        assert re.search(r"<figcaption>\w.*</figcaption>", figure)
        assert re.findall(r'<div class="on-a-(desk|phone)"><svg [^>]*role="img"', figure) == ["desk", "phone"]
        shown = re.findall(r'<t[hd](?: scope="row")?>(.*?)</t[hd]>', figure)
        assert shown == [cell for row in twin["rows"] for cell in row]


def test_buttons_carry_words(visitor):
    page = visitor.get("/patterns").text
    buttons = re.findall(r"<button[^>]*>(.*?)</button>", page)
    assert buttons
    assert all(re.fullmatch(r"[\w ]+", words) for words in buttons)
