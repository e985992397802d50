"""Every number of a log's story by name, and why each is what it is, down to the rows of the file."""

from __future__ import annotations

from pullwright.figure import Figure
from pullwright.web.desk import AtDesk
from pullwright.web.log_chapters import Teller
from pullwright.web.opened_log import (
    LOOK_AGAIN,
    AboutLog,
    LogKey,
    LogStages,
    OpenedLog,
    Telling,
    Waiting,
    open_log_sheet,
)
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Shown, WhyNode
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.figures import FigureGroup
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.way import Way, digest_of
from pullwright.web.why_tree import tree_of


class LogFiguresPage(AboutLog):
    """All figures of a log, in groups."""

    groups: tuple[FigureGroup, ...] = ()


class LogWhyPage(AboutLog):
    """Why one figure of a log is what it is."""

    figure: Shown | None = None
    why: WhyNode | None = None
    rows_href: str = ""


def log_figures(log: LogKey, desk: AtDesk) -> LogFiguresPage:
    """Which numbers does the story of this log give?"""
    opened = open_log_sheet(desk, log)
    about = opened.about("All figures", "All figures")
    try:
        telling = LogStages(desk, opened).telling()
    except Waiting:
        return LogFiguresPage(found=_waiting(opened), under_way=LOOK_AGAIN, **about)
    every = telling.figures.every
    groups: dict[str, list[Shown]] = {}
    tell = Teller(opened, telling)
    for name, figure in every.items():
        first, _, rest = name.partition(" / ")
        shown = tell.ink(figure)
        if shown is not None:
            groups.setdefault(first if rest else "the shop", []).append(shown)
    return LogFiguresPage(
        found=Found(text=f"{len(every)} figures are read out of {opened.file}; each answers why."),
        groups=tuple(FigureGroup(words=words, figures=tuple(found)) for words, found in groups.items()),
        **about,
    )


def log_why(log: LogKey, desk: AtDesk, figure: AskedName = "", digest: AskedDigest = "") -> LogWhyPage:
    """Why is this number what it is, down to the rows of the log?"""
    opened = open_log_sheet(desk, log)
    try:
        telling = LogStages(desk, opened).telling()
    except Waiting:
        return LogWhyPage(found=_waiting(opened), under_way=LOOK_AGAIN, **opened.about("Why", "Why"))
    asked = _asked(opened, telling, figure, digest)
    tree = tree_of(asked, Way(opened.base), "EUR")
    readings = asked.source.readings if asked.source else ()
    rows = ",".join(reading.where.split()[1] for reading in readings if reading.where.startswith("row "))
    formula = f", which is {asked.formula}" if asked.formula else ", read out of the log"
    return LogWhyPage(
        found=Found(text=f"{asked.name}: {asked.text()}{formula}."),
        figure=tree.figure,
        why=tree,
        rows_href=f"{opened.part('rows')}?rows={rows}" if rows else "",
        **opened.about(f"Why: {asked.name}", "Why"),
    )


def _asked(opened: OpenedLog, telling: Telling, name: str, digest: str) -> Figure:
    every = telling.figures.every
    if digest and not name:
        name = next((known for known in every if digest_of(known) == digest), "")
    if name in every:
        return every[name]
    raise Problem(
        404,
        f"the figure {name[:200]!r}" if name else "no name of a figure",
        title="This log has no figure of that name.",
        allowed="The name of a figure of this log.",
        todo="Look for it in the list of all figures; another decision may have changed what the log gives.",
        steps=(NextStep("All figures of this log", opened.part("figures")),),
    )


def _waiting(opened: OpenedLog) -> Found:
    return Found(text=f"The story of {opened.file} is being worked out.")


def register(pages: Pages) -> None:
    """Add the list of figures and their whys."""
    pages.page("/logs/{log}/figures", log_figures, "log_figures.html")
    pages.page("/logs/{log}/why", log_why, "log_why.html")
