"""The pattern page: every piece that pages are made of, each with something in it, so that it can be looked at and tested."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache

from pullwright.draw.charts import (
    Banded,
    Bar,
    Chart,
    Dot,
    Level,
    Sloping,
    Steps,
    Within,
    bars,
    dots_in_order,
    lines_with_band,
    shares_within,
    spread,
    steps_over_time,
    weeks_by_station,
)
from pullwright.line.kinds import KINDS
from pullwright.web.charted import Charted, charted
from pullwright.web.desk import Desk
from pullwright.web.forecast_answers import AnswerRow, AnswerTable
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
    charts: tuple[Charted, ...]
    answers: AnswerTable


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


def _answers() -> AnswerTable:
    def days(value: float, low: float, high: float, sign: str = "") -> Shown:
        return Shown(
            name="wait of an order", value=value, unit="wd", low=low, high=high,
            number=f"{sign}{abs(value):.3g}", unit_words="d", interval=f"{low:.3g} to {high:.3g}", why="#why",
        )  # fmt: skip

    rows = (
        AnswerRow(
            words="wait of an order", question="from the order to the unit shipped", today=days(6.5, 4.1, 9.8), option=days(4.4, 2.3, 6.2),
            difference=days(-2.1, -2.6, -1.6, "\u2212"), verdict="better",
        ),
        AnswerRow(
            words="wait of all but a few", question="95 of 100 orders wait no longer", today=days(11.2, 7.9, 15.0), option=days(11.0, 7.5, 14.8),
            difference=days(-0.2, -0.9, 0.5, "\u2212"), verdict="cannot be told apart", look="promise not kept",
        ),
    )  # fmt: skip
    return AnswerTable(caption="How the coming days turn out", compared=True, rows=rows)


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


@lru_cache(maxsize=1)
def _charts() -> tuple[Chart, ...]:
    """One of each kind of chart; all numbers are invented."""
    readings = (
        47.2,
        45.1,
        44.8,
        46.0,
        45.5,
        61.4,
        44.9,
        45.7,
        46.2,
        45.0,
        46.8,
        45.9,
        46.6,
        47.1,
        46.4,
        47.5,
        58.3,
        46.9,
    )
    dots = [
        Dot(
            number,
            value,
            aside="dropped the part" if number == 6 else "",
            look="above 55 s" if value > 55 and number != 6 else "",
        )
        for number, value in enumerate(readings, start=1)
    ]
    level = (12, 14, 13, 17, 19, 18, 21, 20, 24, 22, 23, 27, 26, 25, 28)
    hours = [3600.0 * hour for hour in range(len(level))]
    seen = (0.36, 0.14, 0.22, 0.08, 0.06, 0.03, 0.04, 0.02, 0.05)
    looks = (10, 20, 30, 40, 50, 60, 70, 80, 90, 100)
    waiting = (0.40, 0.30, 0.27, 0.30, 0.26, 0.25, 0.24, 0.24, 0.23, 0.22)
    half = (0.25, 0.17, 0.14, 0.12, 0.11, 0.1, 0.09, 0.085, 0.08, 0.075)
    return (
        steps_over_time(
            [Steps("in the line", hours, level), Steps("waiting", hours, [pieces - 8 for pieces in level])],
            title="Pieces in the line",
            unit="pieces",
            across="seconds from the start of the shift",
            caption="The line fills up: 12 pieces in the morning, 28 in the evening.",
            levels=[Level("room for 26", 26, look="no room above 26")],
            prefix="pattern-steps",
        ),
        dots_in_order(
            dots,
            title="Honing, one reading after another",
            unit="s",
            caption="Honing takes 46.8 s, and a cycle lasts 0.09 s longer than the one before.",
            mean=Level("mean 46.8 s", 46.8),
            band=(45.5, 48.1),
            slope=Sloping((1, 45.4), (18, 46.9), "0.09 s more each cycle"),
            prefix="pattern-dots",
        ),
        bars(
            [
                Bar(kind.words, share, max(share - 0.05, 0), share + 0.06, kind=kind.key, look=look)
                for kind, share, look in zip(KINDS, seen, ("", "", "the largest loss", *("",) * 6), strict=True)
            ],
            title="What was seen on 220 looks",
            unit="share",
            caption="On 22 % of the looks somebody was waiting.",
            prefix="pattern-bars",
        ),
        bars(
            [Bar("leaks at the seat", 14), Bar("scratched", 9), Bar("thread too tight", 3), Bar("wrong label", 1)],
            title="What was wrong",
            unit="pieces",
            caption="Two causes make up 85 % of what was wrong.",
            most_first=True,
            running=True,
            prefix="pattern-pareto",
        ),
        spread(
            [4.1, 4.6, 5.0, 5.2, 5.2, 5.5, 5.8, 6.1, 6.3, 6.9, 7.4, 8.8, 9.6],
            title="Lead times",
            unit="d",
            caption="Half of the orders are through within 5.8 d.",
            percentiles=(0.5, 0.9),
            levels=[Level("promised", 7.0, look="promised 7 d")],
            prefix="pattern-spread",
        ),
        lines_with_band(
            [
                Banded(
                    "waiting",
                    looks,
                    waiting,
                    [share - end for share, end in zip(waiting, half, strict=True)],
                    [share + end for share, end in zip(waiting, half, strict=True)],
                )
            ],
            title="Share of waiting, look by look",
            unit="share",
            across="looks",
            caption="After 100 looks the share of waiting lies between 15 and 30 %.",
            prefix="pattern-band",
        ),
        shares_within(
            [
                Within("today", (0.5, 2.0, 3.5, 5.0, 6.5, 9.0), (0.05, 0.2, 0.5, 0.75, 0.9, 0.99)),
                Within("option", (0.5, 1.5, 2.5, 3.5, 5.0, 7.0), (0.05, 0.2, 0.5, 0.75, 0.9, 0.99)),
            ],
            title="How long orders wait",
            across="working days",
            unit="d",
            caption="Today nine of ten orders are shipped within 6.5 d, and 5 d were promised.",
            levels=[Level("promised 5 d", 5.0, look="promised 5 d, not kept")],
            prefix="pattern-within",
        ),
        weeks_by_station(
            ("saw", "hone", "assembly bench"),
            ("week 10", "week 11", "week 12", "week 13"),
            ((0.1, 0.06, 0.0, 0.02), (0.72, 0.81, 0.4, 0.22), (0.18, 0.13, 0.6, 0.76)),
            title="Which station held things",
            caption="Honing held things until week 11; since then it is the assembly bench.",
            prefix="pattern-weeks",
        ),
    )


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
        charts=tuple(charted(chart) for chart in _charts()),
        answers=_answers(),
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
