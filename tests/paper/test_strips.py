"""The bars over the accounts: to scale, closed, and lettered as the rows of the table."""

from __future__ import annotations

import re
from types import SimpleNamespace

import pytest

from pullwright.draw import AccountBar, AccountRow, lettered
from pullwright.draw.hatching import HATCHES
from pullwright.figure import Source, given
from pullwright.paper.contents import contents
from pullwright.paper.strips import strip, strip_height, swatch
from pullwright.survey import Survey

RECT = re.compile(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"')


def bar(**amounts: float) -> AccountBar:
    rows = tuple(
        AccountRow(kind, given(kind, amount, "1", Source("computed", "made up")), kind)  # type: ignore[arg-type]
        for kind, amount in amounts.items()
    )
    return AccountBar("Account", given("whole", sum(amounts.values()), "1", Source("computed", "made up")), rows)


def pieces(account: AccountBar, width: float = 303.0) -> list[tuple[float, float]]:
    """Left edge and width of every piece, without the patterns."""
    svg = strip(account, width, "strip").svg
    return [(float(left), float(wide)) for left, _, wide in RECT.findall(svg.split("</defs>")[-1])]


def test_pieces_fill_the_bar_in_proportion() -> None:
    found = pieces(bar(value=50.0, waiting=30.0, unexplained=20.0))

    assert [wide for _, wide in found] == pytest.approx([150.0, 90.0, 60.0], abs=0.01)
    assert [left for left, _ in found] == pytest.approx([1.5, 151.5, 241.5], abs=0.01)


def test_what_is_below_nothing_leads_back_to_the_whole() -> None:
    account = bar(value=80.0, waiting=40.0, unexplained=-20.0)

    found = pieces(account)

    assert found[-1] == pytest.approx((1.5 + 250.0, 50.0), abs=0.01)
    assert found[-1][0] == pytest.approx(1.5 + 300.0 * 100.0 / 120.0, abs=0.01)
    assert strip_height(account) > strip_height(bar(value=80.0))


def test_an_account_in_which_nothing_stands_has_no_bar() -> None:
    assert strip_height(bar(value=0.0, unexplained=0.0)) == 0.0


def test_letters_of_bar_and_table_are_the_same(demo: Survey, lines: SimpleNamespace) -> None:
    tables = [account for column in contents(demo, "", lines.when)["columns"] for account in column]

    for table, account in zip(tables, demo.bars(), strict=True):
        in_bar = dict(lettered(account))
        for row in table["rows"]:
            assert in_bar[row["letter"]].words == row["words"]
            assert row["swatch"].split()[0] == in_bar[row["letter"]].kind
            assert row["swatch"].endswith(" back") == (in_bar[row["letter"]].amount.value < 0)


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("kind", HATCHES)
def test_every_kind_has_a_swatch_without_colour(kind: str, back: bool) -> None:
    svg = swatch(kind, back=back)  # type: ignore[arg-type]

    assert "#c22f12" not in svg
    assert svg.count("<rect") == 1
