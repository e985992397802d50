"""Why a number is what it is: its formula, its inputs and their sources, where its spread comes from, what to watch next."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query

from pullwright.figure import Figure
from pullwright.survey.survey import UnknownFigureError
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Shown, Watch, WhyNode
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.about_line import AboutLine, about, watch
from pullwright.web.way import digest_of
from pullwright.web.why_tree import share_shown, tree_of

LONGEST_ASKED = 2_000
MOST_ADVICE = 3
MOST_SHARES = 6

AskedName = Annotated[str, Query(max_length=LONGEST_ASKED, description="The name of a figure.", examples=["takt time"])]
AskedDigest = Annotated[str, Query(max_length=64, description="The digest of a name that is too long for an address.")]


class WhyPage(AboutLine):
    """Why one figure is what it is."""

    figure: Shown
    why: WhyNode
    certain: bool
    shares: tuple[Shown, ...]
    by_ranks: bool
    watch: tuple[Watch, ...]


def why(opened: Opened, figure: AskedName = "", digest: AskedDigest = "") -> WhyPage:
    """Why is this number what it is, down to what somebody read at the line, and how sure is it?"""
    survey, once, base = opened.survey, opened.worked_out.once, opened.way.base
    asked = asked_figure(opened, figure, digest)
    currency = survey.line.currency
    tree = once(f"why {base} {asked.name}", lambda: tree_of(asked, opened.way, currency))
    advice = once(f"advice {asked.name}", lambda: asked.watch_next(MOST_ADVICE, currency=currency))
    shares = once(f"shares {asked.name}", asked.share_of_uncertainty)
    return WhyPage(
        name=f"Why: {asked.name}",
        found=Found(text=_found(asked, currency)),
        trail=opened.trail(),
        places=opened.places(""),
        figure=tree.figure,
        why=tree,
        certain=asked.certain,
        shares=tuple(
            share_shown(one.name, one.share, opened.way.why(one.figure.name) if one.figure else "")
            for one in shares[:MOST_SHARES]
            if one.share > 0
        ),
        by_ranks=any(one.by_ranks for one in shares),
        watch=watch(opened, advice),
        **about(opened),
    )


def asked_figure(opened: Opened, name: str, digest: str) -> Figure:
    """Return the figure of this name or digest; Problem (404) names the nearest one."""
    survey = opened.survey
    hint = ""
    if digest and not name:
        names = opened.worked_out.once("digests", lambda: {digest_of(known): known for known in survey.every_figure})
        name = names.get(digest, "")
    try:
        return survey.figure(name)
    except UnknownFigureError as error:
        hint = error.hint
    read = f"the figure {name[:200]!r}" if name else "no name of a figure"
    raise Problem(
        404,
        read,
        title="This line has no figure of that name.",
        allowed="The name of a figure of this line." + (f" {hint[0].upper()}{hint[1:]}" if hint else ""),
        todo="Look for it in the list of all figures; a change of the line file may have changed its name.",
        steps=(NextStep("All figures of this line", opened.way.part("figures")),),
    )


def _found(figure: Figure, currency: str) -> str:
    text = f"{figure.name}: {figure.text(currency)}"
    if figure.formula:
        return f"{text}, which is {figure.formula}."
    return f"{text}, as given."


def register(pages: Pages) -> None:
    """Add the page that answers why."""
    everywhere(pages, "/why", why, "why.html")
