"""A log from the page that brings it in to the line that is begun from it, and undone as a whole."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pullwright.record import Record
from tests.web.conftest import Tree, Visitor

EXAMPLE = Path(__file__).parents[2] / "examples" / "hand_pump_log.csv"


@pytest.fixture
def brought(visitor: Visitor) -> str:
    """The address of the example log, brought in."""
    answer = visitor.send("/logs/new", {"who": "A. Weber"}, chosen={"file": ("march.csv", EXAMPLE.read_bytes())})
    assert answer.status_code == 303, answer.text[:500]
    return str(answer.headers["location"])


def settled(visitor: Visitor, address: str) -> str:
    """The page, once nothing is awaited on it any more."""
    for _ in range(40):
        text = visitor.get(address).text
        if 'http-equiv="refresh"' not in text:
            return text
    raise AssertionError(f"{address} is still being worked out")


def typed(tree: Tree) -> dict[str, str]:
    """What stands in the fields of a form: the chosen options, and what is typed."""
    found, name = {}, ""
    for tag, attributes in tree.elements:
        if tag == "select":
            name = attributes["name"]
            found[name] = ""
        elif tag == "option" and "selected" in attributes:
            found[name] = attributes["value"]
    return found


def test_a_log_becomes_a_story_and_a_line_and_all_of_it_is_undone(
    visitor: Visitor, brought: str, tree: type[Tree], record: Record
) -> None:
    columns = settled(visitor, brought)
    assert "993 rows" in columns
    fields = typed(tree(columns))
    assert (fields["role-case"], fields["role-start"], fields["role-scrap"]) == ("Order", "Start", "Scrapped")

    to_odd = visitor.send(brought, fields | {"zone": "", "who": "A. Weber"})
    assert (to_odd.status_code, to_odd.headers["location"]) == (303, f"{brought}/odd")
    odd = settled(visitor, f"{brought}/odd")
    assert "3 names are written in several ways" in odd
    rows = re.search(r'href="([^"]+rows\?rows=[^"]+)"', odd)
    assert rows is not None
    assert "HP-10" in settled(visitor, rows[1].replace("&amp;", "&"))

    to_story = visitor.send(f"{brought}/odd", typed(tree(odd)) | {"who": "A. Weber"})
    assert to_story.headers["location"] == f"{brought}/story"
    story = settled(visitor, f"{brought}/story")
    assert "Half of the orders are through within" in story
    assert story.count("<svg") > 12
    why = re.search(r'href="([^"]+/why\?figure=steps[^"]+)"', story)
    assert why is not None
    reason = settled(visitor, why[1].replace("&amp;", "&"))
    assert re.search(r"row \d+ of march.csv", reason)
    aside = visitor.get(f"{brought}/aside.csv").text
    assert aside.splitlines()[0] == "row,why"
    assert "duplicates" in aside

    draft = settled(visitor, f"{brought}/draft")
    text = re.search(r"<textarea[^>]*name=\"text\"[^>]*>\n(.*?)</textarea>", draft, re.DOTALL)
    assert text is not None
    import html

    begun = visitor.send(
        f"{brought}/draft",
        {"title": "Pumps in March", "text": html.unescape(text[1]), "who": "A. Weber", "why": "drafted", "do": "save"},
    )
    assert begun.headers["location"] == "/lines/pumps-in-march"
    assert (
        "9 steps" in visitor.get("/lines/pumps-in-march/text").text
        or visitor.get("/lines/pumps-in-march").status_code == 200
    )

    undone = visitor.send(f"{brought}/history", {"who": "A. Weber", "why": "wrong month", "also": "away"})
    assert undone.headers["location"] == "/logs"
    assert [sheet.struck for sheet in record.sheets("log", struck=True)] == [True]
    assert record.lines() == ()
    assert "Undone." in settled(visitor, f"{brought}/story")
    assert visitor.send(f"{brought}/history", {"who": "A. Weber", "why": "right month after all", "also": "away"}).status_code == 303  # fmt: skip
    assert [entry.key for entry in record.lines()] == ["pumps-in-march"]


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("shop.csv", b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40, "picture"),
        ("shop.xlsx", b"PK\x03\x04" + b"\x00" * 400, "zip"),
        ("shop.csv", b"Order;Step\n", "row"),
    ],
)
def test_a_file_that_is_no_log_is_refused_with_a_reason_and_nothing_of_it_is_kept(
    visitor: Visitor, record: Record, name: str, content: bytes, said: str
) -> None:
    answer = visitor.send("/logs/new", {"who": "A. Weber"}, chosen={"file": (name, content)})

    assert answer.status_code == 422
    assert said in answer.text
    assert record.sheets("log", struck=True) == ()


def test_a_log_without_an_order_or_a_time_asks_for_them(visitor: Visitor, brought: str, tree: type[Tree]) -> None:
    fields = typed(tree(settled(visitor, brought)))
    nothing = {name: "" if name.startswith("role-") else value for name, value in fields.items()}

    answer = visitor.send(brought, nothing | {"zone": "Nowhere/Atall", "who": "A. Weber"})

    assert answer.status_code == 422
    assert "A log needs a start, an end or a moment." in answer.text


def test_names_in_a_log_are_text_on_every_page(visitor: Visitor) -> None:
    evil = '"<script>alert(1)</script>"'
    rows = "\n".join(
        f"O{n // 4},{evil if n % 2 else 'pack'},bench,2026-03-0{n // 4 + 2} 08:{n % 4}0,2026-03-0{n // 4 + 2} 08:{n % 4}5"
        for n in range(20)
    )
    sent = f"Order,Step,Station,Start,End\n{rows}\n".encode()
    address = visitor.send("/logs/new", {"who": "A. Weber"}, chosen={"file": ("<b>.csv", sent)}).headers["location"]

    for part in ("", "/odd", "/story", "/figures", "/rows?rows=2,3", "/history"):
        page = settled(visitor, address + part)
        assert "<script>alert" not in page
        assert "<b>.csv" not in page


@pytest.mark.parametrize("asked", ["x", "1,", "-2", "1;2", ",".join(["1"] * 80), "99999999999"])
def test_rows_that_are_none_are_refused_in_words(visitor: Visitor, brought: str, asked: str) -> None:
    answer = visitor.get(f"{brought}/rows", params={"rows": asked})

    assert answer.status_code in (200, 422)
    if answer.status_code == 422:
        assert "These are no rows of a log." in answer.text


def test_a_log_that_is_not_there_leads_to_those_that_are(visitor: Visitor) -> None:
    answer = visitor.get("/logs/log-99/story")

    assert answer.status_code == 404
    assert 'href="/logs"' in answer.text
