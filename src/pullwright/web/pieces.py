"""What the pieces of a page take: one frozen model each, the same for the page and for its `.json` twin."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field

from pullwright.line.kinds import KindKey


class Piece(BaseModel):
    """A frozen model that takes no field it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Found(Piece):
    """The first line of a page: what was found, in a sentence a foreman would say; `look` when something is out of place."""

    text: str
    look: bool = False


class Crumb(Piece):
    """One step of the way to a page, or one place beside it; `here` marks the page itself."""

    words: str
    href: str
    here: bool = False


class Page(Piece):
    """What every page has: its name, its first line, the way to it and the places beside it."""

    name: str
    found: Found
    trail: tuple[Crumb, ...] = Field(default=(), exclude=True)
    places: tuple[Crumb, ...] = Field(default=(), exclude=True)


class Shown(Piece):
    """A figure as it stands on a page: what a program takes (SI value and interval) and what a person reads.

    `value` is None when it is without end; `number`, `unit_words` and `interval` are texts; `why` is the address that
    opens its derivation; `look` is the word beside the mark when it is out of place.
    """

    name: str
    value: float | None
    unit: str
    low: float | None
    high: float | None
    number: str
    unit_words: str = ""
    interval: str = ""
    why: str = ""
    look: str = ""


class Row(Piece):
    """One row of an account: its kind (and with it its hatch), its words, the question it answers, its figures.

    A figure that is None was not given and cannot be worked out; its cell stays empty.
    """

    kind: KindKey | None = None
    words: str
    question: str = ""
    href: str = ""
    figures: tuple[Shown | None, ...]
    look: str = ""


class Table(Piece):
    """Rows under a caption; `columns` names the figures of a row; `total` closes the account."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    total: Row | None = None


class Notice(Piece):
    """A few words that concern the whole page; `look` when something is out of place; `link` are the words of `href`."""

    words: str
    text: str
    look: bool = False
    href: str = ""
    link: str = ""


class Finding(Piece):
    """Something out of place: one to three words, a sentence, and the figure that shows it."""

    word: str
    sentence: str
    kind: str
    place: str
    figure: Shown


class Watch(Piece):
    """What to watch next to be surer: a sentence, what to watch, and which answer that narrows.

    `gain` is the part of the answer's interval that goes (0 to 1); `begin` leads to where it is begun.
    """

    sentence: str
    figure: Shown
    about: Shown
    gain: float = 0.0
    begin: Crumb | None = None


class RevisionLine(Piece):
    """One revision: number, who wrote it when and why, and where to read it."""

    number: int
    who: str
    when: datetime
    why: str
    href: str
    latest: bool = False


class TextFault(Piece):
    """One fault in a typed text; `line` and `column` count from 1, and 0 means the text as a whole."""

    line: int = Field(default=0, ge=0)
    column: int = Field(default=0, ge=0)
    field: str = ""
    read: str = ""
    allowed: str = ""
    hint: str = ""
    message: str = ""


class ReadingLine(Piece):
    """One reading that somebody took: the value with its unit, who, when, where it stands, and what it was copied from."""

    value: str
    who: str = ""
    when: str = ""
    where: str = ""
    origin: str = ""
    href: str = ""


class WhyNode(Piece):
    """One figure in a derivation: its formula in words, its inputs, its source.

    `met` when it is opened out elsewhere in the same derivation; `hidden` counts inputs that its own why shows.
    """

    figure: Shown
    formula: str = ""
    source: str = ""
    source_href: str = ""
    note: str = ""
    readings: tuple[ReadingLine, ...] = ()
    met: bool = False
    hidden: int = 0
    inputs: tuple[WhyNode, ...] = ()


class ProblemPage(Page):
    """Something could not be done: what was read, what is allowed, what to do next."""

    read: str
    allowed: str
    todo: str
    wrong: tuple[tuple[str, str], ...] = ()
    steps: tuple[Crumb, ...] = ()
    reference: str = ""
