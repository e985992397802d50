"""Help: what is promised, how the drawing is read, what the words mean."""

from __future__ import annotations

from pullwright.line.kinds import KINDS, KindKey
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Page, Piece

PROMISES: tuple[tuple[str, str], ...] = (
    (
        "Every number answers why.",
        "Press it: it opens into its formula, its inputs and their sources, down to the line of the line file or the reading "
        "that somebody took. It says how sure it is, and what to watch next to be surer.",
    ),
    (
        "The books balance.",
        "Paid hours, floor, material and money are closed accounts: everything stands in one row, the rows add up to the "
        "whole, and what is not explained is a row of its own.",
    ),
    (
        "Colour means look here.",
        "A page without colour is a line with nothing out of place. Colour always comes with the mark and a word.",
    ),
    (
        "Nothing is overwritten.",
        "Every save is a revision with who, when and why. Two people who change the same line both see what the other did.",
    ),
)
DRAWING: tuple[tuple[str, str], ...] = (
    ("Above", "A bar for each station: its work on one piece, hatched by what it is for, against the line of takt."),
    ("In the middle", "The stations, and before each of them its stock: one small square is one container. Filled: the flow needs it; outlined: beyond the need."),
    ("Below", "The lead time to scale. Dark is work on the piece; everything else is waiting and carrying."),
    ("An interval in lighter ink", "The true value lies in it with a chance of nine in ten, as far as what was read tells."),
)  # fmt: skip
WORDS: tuple[tuple[str, str], ...] = (
    ("takt time", "Working time between two pieces that customers pull."),
    ("load", "Work in a day against what the machines or people have in a day; above 100 % the line cannot keep up."),
    ("lead time", "From the arrival of the part that waits longest to shipping, in working time."),
    ("touch time", "The part of the lead time in which somebody or something works on the piece."),
    ("process cycle efficiency", "Value-adding time as a share of the lead time."),
    ("first-pass yield", "The share of pieces that are good the first time; rolled: through every step of the way."),
    ("figure", "A number with its unit, its interval, its formula and its sources."),
    ("line file", "The one text that says what a line is; everything here is worked out from it."),
    ("propagation", "Making today's way of working everybody's: what the loss in it costs then."),
    ("out of place", "Not as the flow, the room, the customer or the line file itself says it should be."),
)


class Meaning(Piece):
    """A word and what it means; `kind` where it has a hatch."""

    words: str
    means: str
    kind: KindKey | None = None


class HelpPage(Page):
    """All that has to be explained."""

    promises: tuple[Meaning, ...]
    drawing: tuple[Meaning, ...]
    kinds: tuple[Meaning, ...]
    words: tuple[Meaning, ...]


def help_page() -> HelpPage:
    """What does this workbench promise, and how is it read?"""
    return HelpPage(
        name="Help",
        found=Found(text="Press any number, and it says why it is that much."),
        places=(
            Crumb(words="Lines", href="/"),
            Crumb(words="Examples", href="/examples"),
            Crumb(words="Help", href="/help", here=True),
        ),
        promises=_meanings(PROMISES),
        drawing=_meanings(DRAWING),
        kinds=tuple(Meaning(words=kind.words, means=kind.question, kind=kind.key) for kind in KINDS),
        words=_meanings(WORDS),
    )


def _meanings(table: tuple[tuple[str, str], ...]) -> tuple[Meaning, ...]:
    return tuple(Meaning(words=words, means=means) for words, means in table)


def register(pages: Pages) -> None:
    """Add the help page."""
    pages.page("/help", help_page, "help.html")
