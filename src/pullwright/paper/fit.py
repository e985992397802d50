"""How everything fits on one page: the largest letters with which drawing, accounts and findings have room together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from pullwright.draw import LinePicture, line_drawing
from pullwright.draw.hatching import HATCHES
from pullwright.draw.ink import FAINT, INK, LOOK, PENCIL, SMALL
from pullwright.draw.out_of_place import described
from pullwright.paper import page
from pullwright.paper.brief import main_flow
from pullwright.paper.brief_drawing import brief_drawing
from pullwright.paper.joining import BAR_HEIGHT, BAR_WIDTH
from pullwright.paper.press import measured
from pullwright.paper.print_face import LARGER, Picture, in_print_face, units_across
from pullwright.paper.strips import strip, strip_height, swatch
from pullwright.paper.words import printable
from pullwright.survey import Survey

Form = Literal["full", "low", "brief"]
"""The drawing as on a screen, with shorter bars and lower piles, or so and in fewer words."""
TEMPLATE = "accounts_sheet.typ"
FINDINGS = (14, 9, 6, 3)
"""How many things out of place are told at most: fewer where the page would not hold them all."""
_LARGE = 8.5
"""The drawing is made low where it would otherwise press letters under this size."""
_COMFORTABLE = 7.5
"""Joining flows are drawn as long as letters stay this large; otherwise they are listed in a table."""
_SMALLER = (6.25, 6.0, 5.75, 5.5, 5.25, 5.0, 4.5, 4.0, 3.5, 3.0, 2.5, 2.0)
"""Letters of the drawing alone, for lines that are too long for one sheet."""
_LEAST_DRAWING = 100.0


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to set the sheet: points of the smallest letters, how many findings are told, which form of drawing, are joining flows listed?"""

    letters: float
    findings: int
    form: Form = "low"
    listed: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """The way chosen, and the drawing with its width on paper and the size of its smallest letters, in points."""

    layout: Layout
    drawing: Picture
    width: float
    smallest: float


def points_per_unit(letters: float) -> float:
    """Points on paper of one drawing unit, where the usual small letters are `letters` points."""
    return letters / (SMALL * LARGER)


def plan_for(survey: Survey, said: dict[str, Any]) -> Plan:
    """With which letters does everything stand on one page, with as many findings as possible?"""
    fitting = _Fitting(survey, said)
    for layouts in _layouts(len(said["findings"]), joining=bool(said["flows"])):
        plan = fitting.best(layouts)
        if plan is not None:
            return plan
    return fitting.last_resort(layouts[-1])


def _layouts(findings: int, *, joining: bool) -> Iterator[list[Layout]]:
    """What is tried, the best first, in groups from large letters to small: fewer findings only where nothing else helps."""
    counts = [min(findings, FINDINGS[0]), *(most for most in FINDINGS[1:] if most < findings)]
    for count in counts:
        yield [Layout(letters, count, "full") for letters in page.LETTERS if letters >= _LARGE]
        if joining:
            yield [Layout(letters, count) for letters in page.LETTERS if letters >= _COMFORTABLE]
        yield [Layout(letters, count, listed=joining) for letters in page.LETTERS]
        yield [Layout(letters, count, "brief", joining) for letters in page.LETTERS]


class _Fitting:
    """Tries layouts of one sheet; what was measured and drawn is kept."""

    def __init__(self, survey: Survey, said: dict[str, Any]) -> None:
        self._picture = survey.picture()
        self._data = _set(survey, said) | {"drawing": None}
        self._rooms: dict[tuple[Layout, bool], float] = {}
        self._drawings: dict[Layout, Picture] = {}

    def best(self, layouts: list[Layout]) -> Plan | None:
        """The largest letters of a group that fit, found by halving: what fits with some letters fits with smaller ones."""
        found = self._tried(layouts[-1])
        if found is None:
            return None
        too_large, fits = -1, len(layouts) - 1
        while fits - too_large > 1:
            middle = (too_large + fits) // 2
            plan = self._tried(layouts[middle])
            if plan is None:
                too_large = middle
            else:
                fits, found = middle, plan
        return found

    def last_resort(self, layout: Layout) -> Plan:
        """A drawing with smaller letters than the rest, and if that does not help either, one made smaller as a whole."""
        room = max(self._room(layout, smaller=True), _LEAST_DRAWING)
        for letters in _SMALLER:
            drawing = self._drawn(replace(layout, letters=letters))
            height = drawing.height * points_per_unit(letters)
            if height <= room:
                return _plan(layout, drawing, letters)
        return _plan(layout, drawing, letters, room / height)

    def _tried(self, layout: Layout) -> Plan | None:
        drawing = self._drawn(layout)
        height = drawing.height * points_per_unit(layout.letters)
        # What is higher than the page by itself needs no measuring.
        if height > page.DEPTH or height > self._room(layout):
            return None
        return _plan(layout, drawing, layout.letters)

    def _room(self, layout: Layout, *, smaller: bool = False) -> float:
        """How much height a layout leaves to the drawing, in points."""
        if (layout, smaller) not in self._rooms:
            height = measured(TEMPLATE, self._data | _setting(layout, page.SMALLEST if smaller else None))
            self._rooms[layout, smaller] = page.DEPTH - height
        return self._rooms[layout, smaller]

    def _drawn(self, layout: Layout) -> Picture:
        key = replace(layout, findings=0)
        if key not in self._drawings:
            shown = main_flow(self._picture) if layout.listed else self._picture
            svg = _drawing(shown, units_across(page.ROOM, layout.letters), layout.form)
            self._drawings[key] = in_print_face(svg)
        return self._drawings[key]


def _drawing(picture: LinePicture, width: float, form: Form) -> str:
    if form == "brief":
        return brief_drawing(picture, width=width, prefix="print", font=page.FACE)
    dense = form == "low"
    return line_drawing(picture, width=width, prefix="print", font=page.FACE, heading=False, dense=dense)


def _plan(layout: Layout, drawing: Picture, letters: float, share: float = 1.0) -> Plan:
    return Plan(layout, drawing, page.ROOM * share, drawing.smallest * points_per_unit(letters) * share)


def ready_for_press(survey: Survey, said: dict[str, Any], plan: Plan) -> dict[str, Any]:
    """Everything that the template takes."""
    per_unit = points_per_unit(plan.layout.letters)
    widths = page.column_widths()
    places = [column for column, accounts in enumerate(said["columns"]) for _ in accounts]
    strips = [
        strip(bar, widths[column] / per_unit, f"strip-{number}").svg
        for number, (bar, column) in enumerate(zip(survey.bars(), places, strict=True))
    ]
    smallest = round(plan.smallest, 1) if plan.smallest < page.SMALLEST - 1e-6 else None
    drawing = {"svg": plan.drawing.svg, "width": plan.width, "alt": printable(described(survey.picture()))}
    return _set(survey, said) | _setting(plan.layout, smallest) | {"strips": strips, "drawing": drawing}


def _setting(layout: Layout, smallest: float | None) -> dict[str, Any]:
    """How the sheet is set; `smallest` are the letters of the drawing where they are smaller than they should be."""
    return {
        "letters": layout.letters,
        "told": layout.findings,
        "listed": layout.listed,
        "brief": layout.form == "brief",
        "smallest": smallest,
    }


def _set(survey: Survey, said: dict[str, Any]) -> dict[str, Any]:
    return said | {
        "page": {"width": page.WIDTH, "height": page.HEIGHT, "margin": page.MARGIN, "gutter": page.GUTTER},
        "widths": page.column_widths(),
        "faces": [page.FACE, page.FACE_OF_COMMANDS],
        "inks": {"ink": INK, "pencil": PENCIL, "faint": FAINT, "look": LOOK},
        "units_per_letter": SMALL * LARGER,
        "strip_heights": [strip_height(bar) for bar in survey.bars()],
        "bar_width": BAR_WIDTH,
        "bar_height": BAR_HEIGHT,
        "swatches": {kind: swatch(kind) for kind in HATCHES}
        | {f"{kind} back": swatch(kind, back=True) for kind in HATCHES},
    }
