"""A picture said in fewer words, for lines that fill a sheet: no intervals, long names cut, how work is let in as one line."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pullwright.draw import Branch, FigureLike, LinePicture, Loop, Pile, StationColumn
from pullwright.draw.axis import branch_letter, joined_by, station_numbers
from pullwright.draw.loops import LOOP_LOOKS

_LONG_NAME = 24
_MOST_LETTERS = 4


@dataclass(frozen=True, slots=True)
class Plain:
    """A figure that is written without its interval."""

    figure: FigureLike

    @property
    def name(self) -> str:
        """The name of the figure."""
        return self.figure.name

    @property
    def value(self) -> float:
        """Its value, in its unit."""
        return self.figure.value

    @property
    def unit(self) -> str:
        """Its unit."""
        return self.figure.unit

    def parts(self, currency: str = "EUR") -> tuple[str, str, str]:
        """Number and unit; no interval."""
        value, unit, _ = self.figure.parts(currency)
        return value, unit, ""

    def text(self, currency: str = "EUR") -> str:
        """The whole figure, with its interval."""
        return self.figure.text(currency)


def main_flow(picture: LinePicture) -> LinePicture:
    """The picture of the main flow alone; a station's name says which flows join there: "6 assembly + A, B"."""
    main = picture.branches[0]
    columns = []
    for place, column in enumerate(main.columns):
        joining = [branch_letter(index) for index, _ in joined_by(picture, 0, place)]
        letters = ", ".join(joining) if len(joining) <= _MOST_LETTERS else f"{len(joining)} flows"
        columns.append(replace(column, name=f"{column.name} + {letters}") if letters else column)
    return replace(picture, branches=(replace(main, columns=tuple(columns)),))


def in_brief(picture: LinePicture) -> LinePicture:
    """The same picture without intervals, loops and room for stock, and with long names cut; lead and touch time stay whole."""
    return replace(picture, branches=tuple(_branch(one) for one in picture.branches))


def loops_in_words(picture: LinePicture) -> str:
    """How work is let in at each place, as one line; empty where nothing is said about it."""
    numbers = station_numbers(picture)
    said = [
        _loop(loop, numbers[place], picture.currency) for place, branch in enumerate(picture.branches) for loop in branch.loops
    ]  # fmt: skip
    return f"let in: {'; '.join(said)}" if said else ""


def _loop(loop: Loop, numbers: tuple[str, ...], currency: str) -> str:
    look = LOOP_LOOKS[loop.kind]
    value, unit = ("", "") if loop.amount is None else loop.amount.parts(currency)[:2]
    what = " ".join(part for part in (look.before, value, "" if unit == look.after else unit, look.after) if part)
    maker = "the supplier" if loop.maker < 0 else numbers[loop.maker]
    if loop.taker == loop.maker + 1 < len(numbers):
        return f"{what} at {maker}"
    taker = numbers[loop.taker] if loop.taker < len(numbers) else "the customer"
    return f"{what} at {maker}, back from {taker}"


def _branch(branch: Branch) -> Branch:
    return replace(branch, columns=tuple(map(_column, branch.columns)), after=_pile(branch.after), loops=())


def _column(column: StationColumn) -> StationColumn:
    return replace(
        column,
        name=_cut(column.name),
        steps=tuple(map(_cut, column.steps)),
        content=Plain(column.content),
        load=_plain(column.load),
        queue=_pile(column.queue),
    )


def _pile(pile: Pile | None) -> Pile | None:
    if pile is None:
        return None
    needed, lasts, shown = _plain(pile.needed), _plain(pile.lasts), _plain(pile.lasts_shown)
    return replace(pile, pieces=Plain(pile.pieces), needed=needed, capacity=None, lasts=lasts, lasts_shown=shown)


def _plain(figure: FigureLike | None) -> Plain | None:
    return None if figure is None else Plain(figure)


def _cut(name: str) -> str:
    return name if len(name) <= _LONG_NAME else f"{name[: _LONG_NAME - 1].rstrip()}…"
