"""The accounts on a page add up as they do in the survey, row by row, and so does what propagation costs."""

from __future__ import annotations

import pytest

from pullwright.line import Line
from pullwright.survey import survey_of
from tests.web.small_line import VALVES

ACCOUNTS = survey_of(Line.from_text(VALVES, name="valves.yaml")).accounts


@pytest.fixture
def twin(at_bench):
    return at_bench.get("/lines/valves/accounts.json").json()


def test_every_account_stands_there_with_every_row(twin):
    shown = [
        (one["title"], [(row["words"], row["kind"], row["figures"][0]["value"]) for row in one["table"]["rows"]])
        for one in twin["accounts"]
    ]
    assert shown == [
        (one.title, [(row.words, row.kind, row.amount.value) for row in one.rows]) for one in ACCOUNTS.all()
    ]


def test_the_rows_of_every_account_add_up_to_the_whole_that_is_shown(twin):
    for one in twin["accounts"]:
        rows = [row["figures"][0]["value"] for row in one["table"]["rows"]]
        whole = one["table"]["total"]["figures"][0]["value"]
        assert sum(rows) == pytest.approx(whole, abs=1e-9 * sum(map(abs, rows)))
        assert whole == one["whole"]["value"]
        shares = [row["figures"][1]["value"] for row in one["table"]["rows"]]
        assert sum(shares) == pytest.approx(1 if whole else 0)


def test_propagation_stands_beside_them(twin):
    spread = ACCOUNTS.propagation
    table = twin["propagation"]["table"]
    assert [row["figures"][1]["value"] for row in table["rows"]] == [row.everywhere.value for row in spread.rows]
    assert table["total"]["figures"][1]["value"] == spread.total.value
    assert twin["propagation"]["note"] == spread.note


def test_what_was_assumed_or_left_out_is_said(twin):
    assert [one["notes"] for one in twin["accounts"]] == [list(one.notes) for one in ACCOUNTS.all()]


def test_rows_carry_the_hatch_of_their_kind_and_the_samples_where_somebody_sampled(at_bench):
    page = at_bench.get("/examples/hand-pump/accounts").text
    assert page.count('class="hatch"') > 30
    assert ">sampled</th>" in page
    assert ">sampled</th>" not in at_bench.get("/lines/valves/accounts").text
