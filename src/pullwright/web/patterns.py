"""The pattern page: every piece that pages are made of, each with something in it, so that it can be looked at and tested."""

from __future__ import annotations

from datetime import UTC, datetime

from pullwright.line.kinds import KINDS
from pullwright.web.desk import Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import (
    Crumb,
    Found,
    Notice,
    RevisionLine,
    Row,
    Shown,
    Table,
    TextFault,
    WhyNode,
)

TRY = Form(
    "try",
    Field("who", "Who writes this", hint="The name that people on the floor know you by.", most=80),
    Field("reason", "Why", kind="text", required=False, most=2000),
    Field("shift", "Shift", kind="choice", choices=(("early", "Early"), ("late", "Late"))),
    Field("text", "Line file", hint="One step below the other.", kind="code", most=20_000),
)

SAMPLE_TEXT = """title: Valve bodies
steps:
  - name: saw
    machine: 38 s
  - name: hone
    machine: {low: 50 s, likely: 62 s, high: 58 s}
    first-pass yield: 98.5
"""


class PatternPage(FormPage):
    """One of each piece."""

    figures: tuple[Shown, ...]
    hours: Table
    notices: tuple[Notice, ...]
    revisions: tuple[RevisionLine, ...]
    why: WhyNode
    faults: tuple[TextFault, ...]


def _clock(name: str, hours: float) -> Shown:
    seconds = hours * 3600
    return Shown(name=name, value=seconds, unit="s", low=seconds, high=seconds, number=f"{hours:.3g}", unit_words="h")


def _seconds(name: str, value: float, low: float, high: float, why: str = "", look: str = "") -> Shown:
    interval = f"{low:.3g} to {high:.3g}" if low != high else ""
    return Shown(
        name=name, value=value, unit="s", low=low, high=high, number=f"{value:.3g}", unit_words="s",
        interval=interval, why=why, look=look,
    )  # fmt: skip


def _hours(name: str, seconds: float) -> Shown:
    return Shown(
        name=name, value=seconds, unit="person-s", low=seconds * 0.9, high=seconds * 1.1,
        number=f"{seconds / 3600:.3g}", unit_words="h",
        interval=f"{seconds * 0.9 / 3600:.3g} to {seconds * 1.1 / 3600:.3g}", why="#why",
    )  # fmt: skip


def _share(name: str, value: float) -> Shown:
    return Shown(
        name=name, value=value, unit="share", low=value, high=value, number=f"{value * 100:.3g}", unit_words="%"
    )


def _table() -> Table:
    spent = dict(zip((kind.key for kind in KINDS), (11.2, 4.1, 9.6, 3.2, 2.4, 1.1, 2.9, 0.8, 4.7), strict=True))
    whole = sum(spent.values())
    rows = tuple(
        Row(
            kind=kind.key,
            words=kind.words,
            question=kind.question,
            figures=(_hours(kind.words, spent[kind.key] * 3600), _share(kind.words, spent[kind.key] / whole)),
            look="The largest loss" if kind.key == "waiting" else "",
        )
        for kind in KINDS
    )
    total = Row(words="paid hours", figures=(_hours("paid hours", whole * 3600), _share("paid hours", 1.0)))
    return Table(
        caption="A day's paid hours, and where they go", columns=("hours a day", "share"), rows=rows, total=total
    )


def _why() -> WhyNode:
    net = WhyNode(
        figure=_clock("net time", 7.5), formula="shift - breaks - planned stops",
        inputs=(
            WhyNode(figure=_clock("shift", 8.5), source="valve.yaml, line 6"),
            WhyNode(figure=_clock("breaks", 1), source="valve.yaml, line 7"),
        ),
    )  # fmt: skip
    demand = Shown(
        name="demand", value=460 / 86400, unit="pieces/s", low=430 / 86400, high=490 / 86400,
        number="460", unit_words="pieces/d", interval="430 to 490",
    )  # fmt: skip
    takt = WhyNode(
        figure=_seconds("takt time", 58.7, 55.1, 62.8), formula="net time / demand",
        inputs=(net, WhyNode(figure=demand, source="the last 40 days of orders, order-book.csv")),
    )  # fmt: skip
    work = WhyNode(
        figure=_seconds("work content, honing", 62, 60.2, 63.9), formula="mean of the readings",
        source="study T-014, 32 readings", note="Limited to the early shift.",
    )  # fmt: skip
    load = Shown(
        name="load, honing", value=1.06, unit="share", low=0.97, high=1.14,
        number="106", unit_words="%", interval="97 to 114", look="Above takt",
    )  # fmt: skip
    again = WhyNode(figure=_clock("net time", 7.5), met=True)
    return WhyNode(figure=load, formula="work content / takt time", inputs=(work, takt, again))


FAULTS = (
    TextFault(
        line=6, column=38, field="steps.hone.machine", read="high: 58 s", allowed="a time of 62 s or longer",
        hint="did you swap likely and high?",
    ),
    TextFault(
        line=7, column=23, field="steps.hone.first-pass yield", read="98.5", allowed="a share from 0 to 1",
        hint="did you mean 98.5 %?",
    ),
)  # fmt: skip


def patterns() -> PatternPage:
    """What do the pieces of a page look like, each with something in it?"""
    revisions = tuple(
        RevisionLine(
            number=number,
            who=who,
            when=datetime(2025, 3, day, 14, 5, tzinfo=UTC),
            why=why,
            href="/patterns",
            latest=number == 3,
        )
        for number, who, day, why in (
            (3, "A. Weber", 18, "Honing timed again after the new fixture"),
            (2, "M. Adler", 11, "Late shift added"),
            (1, "A. Weber", 4, ""),
        )
    )
    return PatternPage(
        name="Patterns",
        found=Found(text="Honing takes 62 s for a takt of 58.7 s, so orders pile up in front of it.", look=True),
        trail=(Crumb(words="Lines", href="/"),),
        places=(
            Crumb(words="Drawing", href="/patterns"),
            Crumb(words="Accounts", href="/patterns", here=True),
            Crumb(words="Revisions", href="/patterns"),
            Crumb(words="Compare", href="/patterns"),
            Crumb(words="Edit", href="/patterns"),
        ),
        figures=(
            _seconds("takt time", 58.7, 55.1, 62.8, why="#why"),
            _seconds("machine time, sawing", 38, 38, 38, why="#why"),
            _seconds("work content, honing", 62, 60.2, 63.9, why="#why", look="Above takt"),
            Shown(name="lead time", value=None, unit="s", low=None, high=None, number="without end"),
        ),
        hours=_table(),
        notices=(
            Notice(words="Note.", text="The demand is a mean of forty days; the busiest day asked for 540 pieces."),
            Notice(words="Out of place:", text="the count of finished stock is 19 days old.", look=True),
        ),
        revisions=revisions,
        why=_why(),
        faults=FAULTS,
        start={"who": "", "reason": "", "shift": "early", "text": SAMPLE_TEXT},
    )


def try_form(page: PatternPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Take what was typed on the pattern page: nothing is kept; a text like the sample comes back with its faults."""
    if filled.typed["text"].strip() == SAMPLE_TEXT.strip():
        return filled.back(faults=FAULTS)
    return Done("/patterns")


def register(pages: Pages) -> None:
    """Add the pattern page."""
    pages.form("/patterns", patterns, "patterns.html", form=TRY, act=try_form)
