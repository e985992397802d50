"""Why a number of a sheet is what it is: down to the look or the count that somebody took."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field as Kept

from pullwright.figure import Figure
from pullwright.line.faults import likely_slip
from pullwright.record import Note, Sheet
from pullwright.watch.count.results import defects_said, stock_said, ways_said
from pullwright.watch.sample.shares import shares_of
from pullwright.watch.study.result import study_result
from pullwright.web.counting import counts_on
from pullwright.web.desk import AtDesk
from pullwright.web.inked import inked
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, trail_to
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Shown, WhyNode
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.screens.why import AskedName
from pullwright.web.studies import study_on
from pullwright.web.tours import tour_on
from pullwright.web.way import Way
from pullwright.web.why_tree import tree_of


class SheetWhyPage(AboutLine):
    """Why one figure of a sheet is what it is."""

    sheet: SheetHead
    figure: Shown
    why: WhyNode
    back: str = Kept(exclude=True)


def why_of_tour(key: Key, sheet: SheetKey, desk: AtDesk, figure: AskedName = "") -> SheetWhyPage:
    """Why is this share what it is, down to each look that somebody took?"""
    kept = open_sheet(desk, key, sheet, "sample")
    tour = tour_on(kept, desk.record.notes(kept.key))
    rows = shares_of(tour).rows if tour.looks else ()
    return _page(key, kept, desk, figure, [row.share for row in rows])


def why_of_count(key: Key, sheet: SheetKey, desk: AtDesk, figure: AskedName = "") -> SheetWhyPage:
    """Why is this number what it is, down to each count that somebody took?"""
    kept = open_sheet(desk, key, sheet, "count")
    return _page(key, kept, desk, figure, counted_figures(kept, desk.record.notes(kept.key)))


def why_of_study(key: Key, sheet: SheetKey, desk: AtDesk, figure: AskedName = "") -> SheetWhyPage:
    """Why is this time what it is, down to each reading that somebody took?"""
    kept = open_sheet(desk, key, sheet, "study")
    result = study_result(study_on(kept, desk.record.notes(kept.key)))
    return _page(key, kept, desk, figure, list(result.figures.values()))


def counted_figures(sheet: Sheet, notes: Sequence[Note]) -> list[Figure]:
    """Return the figures that a round of counting gives: mean stock, ways, shares that were not right."""
    counts = counts_on(sheet, notes)
    found = [one.mean for one in stock_said(counts)]
    for one in ways_said(counts):
        found += [figure for figure in (one.distance, one.walked) if figure is not None]
    return found + [one.share for one in defects_said(counts)]


def _page(key: str, kept: Sheet, desk: AtDesk, name: str, figures: list[Figure]) -> SheetWhyPage:
    opened = open_line(desk, key)
    known: dict[str, Figure] = {}
    for top in figures:
        known |= {one.name: one for one in (*top.inputs, top)}
    asked = known.get(name)
    if asked is None:
        hint = likely_slip(name, list(known))
        raise Problem(
            404,
            f"the figure {name[:200]!r}" if name else "no name of a figure",
            title="This sheet has no figure of that name.",
            allowed="The name of a figure of this sheet." + (f" {hint[0].upper()}{hint[1:]}" if hint else ""),
            steps=(NextStep("The sheet", address_of(kept)),),
        )
    currency = opened.survey.line.currency if opened.worked_out.survey else "EUR"
    text = f"{asked.name}: {asked.text(currency)}"
    return SheetWhyPage(
        name=f"Why: {asked.name}",
        found=Found(text=f"{text}, which is {asked.formula}." if asked.formula else f"{text}, as it was seen."),
        trail=trail_to(kept, opened.trail()),
        places=opened.places(""),
        sheet=head_of(kept),
        figure=inked(asked, currency=currency),
        why=tree_of(asked, Way(address_of(kept)), currency),
        back=address_of(kept),
        **about(opened),
    )


def register(pages: Pages) -> None:
    """Add the pages that answer why under a tour and under a round of counting."""
    pages.page("/lines/{key}/studies/{sheet}/why", why_of_study, "sheet_why.html")
    pages.page("/lines/{key}/tours/{sheet}/why", why_of_tour, "sheet_why.html")
    pages.page("/lines/{key}/counts/{sheet}/why", why_of_count, "sheet_why.html")
