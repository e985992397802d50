"""The plan and its cards on paper, of a line that is kept and of an earlier revision."""

from __future__ import annotations

from typing import Any

import pytest

from pullwright.record import Record
from pullwright.web.screens.plan_prints import PDF

SEALS = """line: seals
invented: yes
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: seal, demand: 30 /d, promise: 3 d, on_time: 90 %}]
stations: [{name: press}]
steps:
  - {name: form, station: press, manual: {mean: 4 min, cv: 0.3}}
stores: [{after: form, counted: 8}]
people: [{name: all, number: 2}]
"""
HAVE = ("/lines/seals", "/lines/seals/revisions/1")


@pytest.fixture
def seals(record: Record) -> Record:
    record.add_line("seals", "Seals", SEALS, "A. Weber", "")
    record.revise("seals", SEALS.replace("counted: 8", "counted: 9"), "A. Weber", "", 1)
    return record


@pytest.mark.parametrize("base", HAVE)
@pytest.mark.parametrize(("file", "name"), [("plan.pdf", "seals-plan.pdf"), ("plan/cards.pdf", "seals-cards.pdf")])
def test_the_prints_of_a_plan_are_files(base: str, file: str, name: str, seals: Record, visitor: Any) -> None:
    printed = visitor.get(f"{base}/{file}")

    assert printed.status_code == 200, printed.text
    assert printed.headers["content-type"] == PDF
    assert printed.headers["content-disposition"] == f'inline; filename="{name}"'
    assert printed.content.startswith(b"%PDF-")


def test_the_size_of_the_paper_is_no_wish(seals: Record, visitor: Any) -> None:
    printed = visitor.get("/lines/seals/plan.pdf?paper=a4&cards.service=99+%25")

    assert printed.status_code == 200, printed.text
    assert b"[0 0 841" in printed.content
    assert visitor.get("/lines/seals/plan.pdf?paper=a5").status_code == 422


def test_a_wish_that_cannot_be_read_is_a_problem_and_no_print(seals: Record, visitor: Any) -> None:
    assert visitor.get("/lines/seals/plan/cards.pdf?cards.service=lots").status_code == 422


def test_a_plan_without_cards_says_where_it_is_told_why(record: Record, visitor: Any) -> None:
    record.add_line("still", "Still", SEALS.replace("30 /d", "900 /d"), "A. Weber", "")

    answer = visitor.get("/lines/still/plan/cards.pdf")

    assert answer.status_code == 404
    assert "This plan has no cards to print." in answer.text
    assert 'href="/lines/still/plan"' in answer.text
