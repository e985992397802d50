"""Lines of text before they are placed: figures with lighter units, remarks with their mark, names that wrap."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pullwright.draw.ink import BODY, INK, LOOK, PENCIL, SMALL
from pullwright.draw.letters import LINE_PITCH, plain, shorten, text_words, width_of, wrap
from pullwright.draw.scene import FigureLike, Remark
from pullwright.draw.told import told

MARK_WIDTH = 16.0
"""Room that the look-here mark takes before its word."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one tone; with a figure it leads to that figure's why."""

    text: str
    tone: str = INK
    bold: bool = False
    figure: FigureLike | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One line of text. `indent` leaves room for a mark, `mark` draws it, `title` is the whole text of what was cut."""

    runs: tuple[Run, ...]
    size: float = BODY
    indent: bool = False
    mark: bool = False
    title: str = ""

    @property
    def text(self) -> str:
        """What is written."""
        return "".join(run.text for run in self.runs)

    @property
    def width(self) -> float:
        """Width in drawing units, at most."""
        written = sum([width_of(run.text, self.size, run.bold) for run in self.runs])
        return written + (MARK_WIDTH if self.indent else 0.0)


def height_of(rows: tuple[Row, ...]) -> float:
    """How much room the lines take from top to bottom."""
    return math.fsum(LINE_PITCH * row.size for row in rows)


def words(
    text: str, width: float, size: float = BODY, most_lines: int = 3, tone: str = INK, bold: bool = False
) -> tuple[Row, ...]:
    """A text wrapped into a column; what does not fit is cut with "…" and kept whole in the title."""
    lines = wrap(text, width, size, most_lines, bold)
    whole = plain(text)
    title = text if "".join(lines).replace(" ", "") != whole.replace(" ", "") else ""
    return tuple(Row((Run(line, tone, bold),), size, title=title) for line in lines)


def remark_rows(remark: Remark | None, width: float, size: float = BODY) -> tuple[Row, ...]:
    """A remark: the mark, its word, the detail as title. Nothing when there is nothing out of place."""
    if remark is None:
        return ()
    rows = words(remark.word, width - MARK_WIDTH, size, 3, LOOK, bold=True)
    title = f"{remark.word}: {remark.detail}" if remark.detail else remark.word
    return tuple(replace(row, indent=True, mark=place == 0, title=title) for place, row in enumerate(rows))


def figure_runs(figure: FigureLike, currency: str, interval: bool = True) -> tuple[Run, ...]:
    """A figure on one line: value in ink, unit and interval in pencil."""
    value, unit, spread = _parts(figure, currency)
    runs = [Run(value, INK, figure=figure)]
    if unit:
        runs.append(Run(f" {unit}", PENCIL, figure=figure))
    if spread and interval:
        runs.append(Run(f" {spread}", PENCIL, figure=figure))
    return tuple(runs)


def figure_rows(
    figure: FigureLike,
    currency: str,
    width: float,
    size: float = BODY,
    before: str = "",
    after: str = "",
    interval: bool = True,
) -> tuple[Row, ...]:
    """A figure in a column, on as few lines as it takes. A number is never cut: where it must, it is written smaller.

    before, after: words in pencil around the number ("needs", "of takt"); interval: False where it stands in the title only.
    """
    value, unit, spread = _parts(figure, currency)
    rows = number_rows(figure, (value, unit), width, size, before, after)
    if not spread:
        return rows
    if not interval:
        return titled(rows, f"{before} {told(figure, currency).text} {after}".strip())
    one = Run(spread, PENCIL, figure=figure)
    together = replace(rows[-1], runs=(*rows[-1].runs, replace(one, text=f" {spread}"))) if rows else Row((one,), size)
    if together.width <= width:
        return (*rows[:-1], together)
    apart = Row((one,), min(size, SMALL))
    if apart.width <= width:
        return (*rows, apart)
    return (*rows, *_fill([(replace(one, text=word),) for word in text_words(spread)], width, min(size, SMALL)))


def number_rows(
    figure: FigureLike, written: tuple[str, str], width: float, size: float = BODY, before: str = "", after: str = ""
) -> tuple[Row, ...]:
    """A figure's number and unit as they are to be written here, leading to its why; words in pencil around them."""
    value, unit = written
    atoms: list[tuple[Run, ...]] = [(Run(word, PENCIL),) for word in text_words(before)]
    atoms += [(Run(word, INK, figure=figure),) for word in text_words(value)]
    units = [(Run(word, PENCIL, figure=figure),) for word in text_words(unit)]
    if units and value:
        # A unit alone on a line is not understood: it stays with its number where both fit together.
        together = (*atoms[-1], *_spaced(units[0]))
        if Row(together, size).width <= width:
            atoms[-1], units = together, units[1:]
    atoms += units + [(Run(word, PENCIL),) for word in text_words(after)]
    return _fill(atoms, width, size)


def titled(rows: tuple[Row, ...], whole: str) -> tuple[Row, ...]:
    """The lines with the whole text as their title."""
    return tuple(replace(row, title=whole) for row in rows)


def fitted(row: Row, width: float) -> Row:
    """The line, in smaller letters if it would be wider than the column."""
    return row if row.width <= width or not row.runs else replace(row, size=row.size * width / row.width)


def one_line(text: str, width: float, size: float = BODY, tone: str = INK, bold: bool = False) -> Row:
    """A text on one line, cut with "…" if need be and then whole in the title."""
    cut = shorten(text, width, size, bold)
    return Row((Run(cut, tone, bold),), size, title="" if cut == text else text)


def flowing(rows: tuple[Row, ...], width: float) -> tuple[Row, ...]:
    """Short lines set one behind the other, with a dot between, as far as they fit; marked ones stay alone."""
    lines: list[Row] = []
    for row in rows:
        before = lines[-1] if lines else None
        if before is not None and not (before.indent or row.indent) and before.size == row.size:
            title = f"{before.title or before.text} · {row.title or row.text}" if before.title or row.title else ""
            joined = Row((*before.runs, Run(" · ", PENCIL), *row.runs), before.size, title=title)
            if joined.width <= width:
                lines[-1] = joined
                continue
        lines.append(row)
    return tuple(lines)


def _parts(figure: FigureLike, currency: str) -> tuple[str, str, str]:
    """Value, unit and interval; the interval in brackets, so that it is not read as a second number."""
    said = told(figure, currency)
    return said.value, said.unit, f"({said.interval})" if said.interval else ""


def _spaced(atom: tuple[Run, ...]) -> tuple[Run, ...]:
    return (replace(atom[0], text=f" {atom[0].text}"), *atom[1:])


def _fill(atoms: list[tuple[Run, ...]], width: float, size: float) -> tuple[Row, ...]:
    """Words one behind the other, on a new line where they do not fit; an atom is not torn apart."""
    rows: list[Row] = []
    current: tuple[Run, ...] = ()
    for atom in atoms:
        longer = (*current, *_spaced(atom)) if current else atom
        if current and Row(longer, size).width > width:
            rows.append(Row(current, size))
            current = atom
        else:
            current = longer
    if current:
        rows.append(Row(current, size))
    return tuple(fitted(row, width) for row in rows)
