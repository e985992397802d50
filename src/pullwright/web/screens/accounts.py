"""The closed accounts of a line: bars, every account as a table, and what propagation costs."""

from __future__ import annotations

from pydantic import Field

from pullwright.account import Account
from pullwright.account.findings import Finding
from pullwright.line.kinds import BY_KEY
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Piece, Row, Shown, Table
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.screens.line import NARROW, WIDE


class AccountTable(Piece):
    """One closed account: its title, its whole, its rows as a table, and what was assumed or left out."""

    key: str
    title: str
    whole: Shown
    table: Table
    notes: tuple[str, ...]


class PropagationTable(Piece):
    """What today's way of working costs once it is everybody's; `tenth` is what taking a tenth out first is worth."""

    multiple: Shown
    years: Shown
    table: Table
    tenth: Shown
    note: str


class AccountsPage(AboutLine):
    """All accounts of a line."""

    accounts: tuple[AccountTable, ...]
    propagation: PropagationTable
    wide: str = Field(exclude=True)
    narrow: str = Field(exclude=True)


def accounts(opened: Opened) -> AccountsPage:
    """Where do the paid hours, the floor, the material and the money go, and what will it cost once it is everybody's?"""
    survey, once, base = opened.survey, opened.worked_out.once, opened.way.base
    return AccountsPage(
        name="Accounts",
        found=_found(opened),
        trail=opened.trail(),
        places=opened.places("Accounts"),
        accounts=once(f"accounts {base}", lambda: tuple(_account(opened, one) for one in survey.accounts.all())),
        propagation=once(f"propagation {base}", lambda: _propagation(opened)),
        wide=once(f"wide bars {base}", lambda: _bars(opened, WIDE, "wide")),
        narrow=once(f"narrow bars {base}", lambda: _bars(opened, NARROW, "narrow")),
        **about(opened),
    )


def _bars(opened: Opened, width: float, prefix: str) -> str:
    return opened.survey.account_drawing(width, prefix=prefix, why_link=opened.way.why)


def _found(opened: Opened) -> Found:
    survey, currency = opened.survey, opened.survey.line.currency
    value = survey.accounts.hours.row("value")
    text = f"Of {survey.accounts.hours.whole.short(currency)} of paid hours, {value.share.short()} are what the customer pays for."
    dearest = next((row for row in survey.accounts.top_wastes() if row.amount.value > 0), None)
    if dearest is not None:
        text += f" The dearest waste is {dearest.words}: {dearest.amount.short(currency)}."
    return Found(text=text, look=any(finding.kind == "account" for finding in survey.findings))


def _account(opened: Opened, account: Account) -> AccountTable:
    sampled = any(row.seen for row in account.rows)
    looks = {id(finding.figure): finding for finding in opened.survey.findings}
    rows = tuple(_row(opened, account, number, looks, sampled=sampled) for number in range(len(account.rows)))
    return AccountTable(
        key=account.key.replace(" ", "-"),
        title=account.title,
        whole=opened.show(account.whole),
        table=Table(
            caption="Every row, and its share of the whole",
            columns=("amount", "share", "sampled") if sampled else ("amount", "share"),
            rows=rows,
            total=Row(words="the whole", figures=(opened.show(account.whole), None, *((None,) if sampled else ()))),
        ),
        notes=account.notes,
    )


def _row(opened: Opened, account: Account, number: int, looks: dict[int, Finding], *, sampled: bool) -> Row:
    row = account.rows[number]
    figures: list[Shown | None] = [opened.show(row.amount), opened.show(row.share)]
    if sampled:
        figures.append(None if row.seen is None else opened.show(row.seen))
    found = looks.get(id(row.amount))
    same = row.words == BY_KEY[row.kind].words
    return Row(
        kind=row.kind,
        words=row.words,
        question=BY_KEY[row.kind].question if same else "",
        figures=tuple(figures),
        look=found.word if found else "",
    )


def _propagation(opened: Opened) -> PropagationTable:
    spread = opened.survey.accounts.propagation
    rows = tuple(
        Row(kind=row.kind, words=row.words, figures=(opened.show(row.here), opened.show(row.everywhere)))
        for row in spread.rows
    )
    return PropagationTable(
        multiple=opened.show(spread.multiple),
        years=opened.show(spread.years),
        table=Table(
            caption="If today's way of working is signed off for everybody: everywhere, over all its years, worth today",
            columns=("here, a year", "everywhere"),
            rows=rows,
            total=Row(words="all wastes", figures=(None, opened.show(spread.total))),
        ),
        tenth=opened.show(spread.tenth),
        note=spread.note,
    )


def register(pages: Pages) -> None:
    """Add the page of the accounts."""
    everywhere(pages, "/accounts", accounts, "accounts.html")
