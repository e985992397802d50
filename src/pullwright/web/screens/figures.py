"""All figures of a line by name, so that anything that is worked out can be found and asked why."""

from __future__ import annotations

from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Piece, Shown
from pullwright.web.screens.about_line import AboutLine, about


class FigureGroup(Piece):
    """Figures whose names begin alike."""

    words: str
    figures: tuple[Shown, ...]


class FiguresPage(AboutLine):
    """All figures that people ask for, in the order in which they are read."""

    groups: tuple[FigureGroup, ...]


def figures(opened: Opened) -> FiguresPage:
    """Which figures are worked out of this line?"""
    survey = opened.survey
    return FiguresPage(
        name="All figures",
        found=Found(text=f"{len(survey.figures)} figures are worked out of this line; each answers why."),
        trail=opened.trail(),
        places=opened.places("All figures"),
        groups=opened.worked_out.once(f"figures {opened.way.base}", lambda: _groups(opened)),
        **about(opened),
    )


def _groups(opened: Opened) -> tuple[FigureGroup, ...]:
    groups: dict[str, list[Shown]] = {}
    for name, figure in opened.survey.figures.items():
        first, _, rest = name.partition(" / ")
        groups.setdefault(first if rest else "the line", []).append(opened.show(figure))
    return tuple(FigureGroup(words=words, figures=tuple(found)) for words, found in groups.items())


def register(pages: Pages) -> None:
    """Add the list of all figures."""
    everywhere(pages, "/figures", figures, "figures.html")
