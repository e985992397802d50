"""Everything that the survey says of a line stands on its sheet."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from types import SimpleNamespace
from typing import Any

import pytest

from pullwright.paper import accounts_sheet
from pullwright.survey import Survey
from pullwright.survey.caution import caution_of


@pytest.fixture(scope="module")
def demo_sheet(demo: Survey, read_back: Callable[[bytes], Any], lines: SimpleNamespace) -> Any:
    return read_back(accounts_sheet(demo, revision="7, after the trial", printed=lines.when))


def test_the_sentence_comes_first(demo_sheet: Any, demo: Survey, lines: SimpleNamespace) -> None:
    assert demo_sheet.begins_with(f"{demo.line.line} {demo.sentence}")


def test_every_row_of_every_account_is_there_with_its_amount_interval_and_share(
    demo_sheet: Any, demo: Survey, lines: SimpleNamespace
) -> None:
    for account in demo.accounts.all():
        assert demo_sheet.says(f"{account.title} {account.whole.text('EUR')}")
        for row in account.rows:
            value, _, interval = row.amount.parts("EUR")
            amount = " ".join(part for part in (value, f"({interval})" if interval else "") if part)
            assert demo_sheet.says(f"{row.words} ")
            assert demo_sheet.says(f"{amount} {row.share.short('EUR')}")


def test_rows_in_which_nothing_stands_are_named(read_back: Callable[[bytes], Any], lines: SimpleNamespace) -> None:
    survey = lines.surveyed(lines.text(3, people=False))

    sheet = read_back(accounts_sheet(survey, printed=lines.when))

    for account in survey.accounts.all():
        for row in account.rows:
            assert sheet.says(row.words)
        for note in account.notes:
            assert sheet.says(note)


def test_what_is_out_of_place_stands_there_with_its_word_and_sentence(
    demo_sheet: Any, demo: Survey, lines: SimpleNamespace
) -> None:
    assert demo.findings
    for finding in demo.findings:
        assert demo_sheet.says(f"{finding.word}: {finding.sentence}")


def test_a_line_with_nothing_out_of_place_says_so(read_back: Callable[[bytes], Any], lines: SimpleNamespace) -> None:
    survey = lines.surveyed(lines.text(2, people=False))
    assert not survey.findings

    assert read_back(accounts_sheet(survey, printed=lines.when)).says("Out of place Nothing is out of place.")


def test_what_to_watch_next_is_there(demo_sheet: Any, demo: Survey, lines: SimpleNamespace) -> None:
    assert demo.watch_next()
    for advice in demo.watch_next():
        assert demo_sheet.says(advice.sentence)


def test_what_signing_off_costs_is_there(demo_sheet: Any, demo: Survey, lines: SimpleNamespace) -> None:
    spread = demo.accounts.propagation

    assert demo_sheet.says(f"the wastes of today's way cost {spread.total.text('EUR')}")
    assert demo_sheet.says(f"before signing is worth {spread.tenth.text('EUR')}")


def test_stations_and_joining_flows_of_the_demo_are_there(demo_sheet: Any, demo: Survey) -> None:
    for station in demo.line.stations:
        assert demo_sheet.says(station.name)
    assert demo_sheet.says("A form lever")
    assert demo_sheet.says("B turn piston")
    assert demo_sheet.says("6 assembly bench")


def test_sheet_says_file_revision_date_and_that_data_is_invented(demo_sheet: Any) -> None:
    assert demo_sheet.says(
        "invented data line file hand_pump.yaml revision 7, after the trial printed 2 March 2026, 09:30"
    )
    assert demo_sheet.says("All data of this line is invented.")


def test_data_that_is_not_invented_is_not_called_so(read_back: Callable[[bytes], Any], lines: SimpleNamespace) -> None:
    survey = lines.surveyed(lines.text(3).replace("invented: yes\n", ""))

    assert not read_back(accounts_sheet(survey, printed=lines.when)).says("invented")


def test_sheet_says_what_is_assumed_and_what_brackets_mean(demo_sheet: Any) -> None:
    assert demo_sheet.says("In brackets: nine times in ten the figure lies between these two.")
    assert demo_sheet.says("Assumed, as the line file does not say it:")
    assert demo_sheet.says("walking speed 1.1 m/s")


def test_sheet_carries_the_caution_and_says_how_to_ask_why(
    demo_sheet: Any, demo: Survey, lines: SimpleNamespace
) -> None:
    assert demo_sheet.says(caution_of(demo.line))
    assert demo_sheet.says('pullwright account hand_pump.yaml --why "year / ')


def test_the_figure_that_the_sheet_asks_why_of_exists(demo: Survey, lines: SimpleNamespace) -> None:
    from pullwright.paper.contents import contents

    command = contents(demo, "", lines.when)["why"]

    assert demo.figure(command.split('"')[1]).why()


def test_pdf_says_its_title_language_and_date_and_is_tagged(
    demo: Survey, read_back: Callable[[bytes], Any], demo_sheet: Any, lines: SimpleNamespace
) -> None:
    assert demo_sheet.facts["Title"] == "Hand pump line"
    assert demo_sheet.facts["Subject"].replace("\u00a0", " ") == demo.sentence
    assert demo_sheet.facts["Tagged"] == "yes"
    assert "2026" in demo_sheet.facts["CreationDate"]
    pdf = accounts_sheet(demo, printed=lines.when)
    assert b"/Lang" in pdf
    assert b"pdfuaid:part>1<" in pdf


def test_a_sheet_without_a_date_is_printed_now(demo: Survey, read_back: Callable[[bytes], Any]) -> None:
    before = datetime.now()

    sheet = read_back(accounts_sheet(demo))

    assert sheet.says(f"printed {before.day} ")
    assert sheet.says(f" {before.year}, ")
