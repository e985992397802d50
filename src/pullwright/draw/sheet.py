"""The sheet a drawing is made on: shapes and lettering in, SVG text out.

Every name is escaped, every id carries the sheet's prefix, every group has words for a screen reader, and every figure
leads to its why where the caller knows the way. Only presentation attributes are written: no style, no script.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from pullwright.draw.hatching import HATCHES, pattern
from pullwright.draw.ink import HAIR, INK, LINE, LOOK, SYSTEM_FONT
from pullwright.draw.lettering import MARK_WIDTH, Row, Run
from pullwright.draw.letters import ASCENT, DESCENT, LINE_PITCH
from pullwright.draw.scene import FigureLike, SceneError, WhyLink
from pullwright.draw.told import told
from pullwright.line.kinds import KindKey

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_POINTER_PITCH = 9.0
_MOST_POINTERS = 120
_PREFIX = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class Box:
    """Where a line of text stands."""

    left: float
    top: float
    right: float
    bottom: float


def coordinate(value: float) -> str:
    """A length as SVG writes it: three decimals at most, no trailing noughts.

    >>> coordinate(12.0), coordinate(0.12345), coordinate(-0.0001)
    ('12', '0.123', '0')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=4096)
def safe(text: str) -> str:
    """Any text as it may stand in an SVG file, in attributes too."""
    return escape(_NOT_XML.sub("\ufffd", text), quote=True)


class Sheet:
    """Collects one drawing. `prefix` begins every id, so that several drawings can stand on one page."""

    def __init__(
        self, prefix: str, currency: str = "EUR", why_link: WhyLink | None = None, font: str = SYSTEM_FONT
    ) -> None:
        if not _PREFIX.fullmatch(prefix):
            raise SceneError(f"id prefix {prefix!r}: begin with a letter, then letters, digits, '-' and '_' only")
        self.prefix = prefix
        self.currency = currency
        self.why_link = why_link
        self.font = font
        self.boxes: list[Box] = []
        self.hatches: set[KindKey] = set()
        self._parts: list[str] = []
        self._ids = 0

    def svg(self, width: float, height: float, title: str, description: str) -> str:
        """The whole drawing as SVG text."""
        words = self._words(title, description)
        defs = "".join(pattern(kind, self.hatch_id(kind)) for kind in sorted(self.hatches))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" xml:space="preserve" class="pw-drawing" role="group" aria-labelledby="{words[0]}" '
            f'width="{coordinate(width)}" height="{coordinate(height)}" '
            f'viewBox="0 0 {coordinate(width)} {coordinate(height)}" font-family="{safe(self.font)}" '
            f'font-variant="tabular-nums" text-rendering="geometricPrecision" fill="{INK}">'
            f"{words[1]}{f'<defs>{defs}</defs>' if defs else ''}{''.join(self._parts)}</svg>"
        )

    def hatch_id(self, kind: KindKey) -> str:
        """The id of a kind's hatch on this sheet."""
        return f"{self.prefix}-hatch-{kind}"

    @contextmanager
    def group(self, title: str, description: str, role: str = "group") -> Iterator[None]:
        """Shapes that belong together, with words for whoever does not see them."""
        labelled, words = self._words(title, description)
        self._parts.append(f'<g role="{role}" aria-labelledby="{labelled}">{words}')
        yield
        self._parts.append("</g>")

    @contextmanager
    def figure(self, figure: FigureLike, title: str, more: str = "") -> Iterator[None]:
        """Shapes that show one figure: they lead to its why, and say its words, its value and what more there is to say.

        All of it stands in the title, because that is what a reader sees who rests the pointer on the shapes.
        """
        said = ", ".join(part for part in (title, told(figure, self.currency).text, more) if part)
        if self.why_link is not None:
            self._parts.append(f'<a href="{safe(self.why_link(figure.name))}" aria-label="{safe(said)}">')
        with self.group(said, "", role="img"):
            yield
        if self.why_link is not None:
            self._parts.append("</a>")

    def rect(
        self,
        left: float,
        top: float,
        width: float,
        height: float,
        fill: str,
        stroke: str = "none",
        weight: float = HAIR,
    ) -> None:
        """A rectangle."""
        outline = "" if stroke == "none" else f' stroke="{stroke}" stroke-width="{coordinate(weight)}"'
        self._parts.append(
            f'<rect x="{coordinate(left)}" y="{coordinate(top)}" width="{coordinate(width)}" '
            f'height="{coordinate(height)}" fill="{fill}"{outline}/>'
        )

    def hatched(self, left: float, top: float, width: float, height: float, kind: KindKey) -> None:
        """A rectangle with the hatch of a kind; solid ink for value-adding."""
        if kind == "value":
            self.rect(left, top, width, height, INK)
            return
        fill, dashes = f"url(#{self.hatch_id(kind)})", ""
        if HATCHES[kind].strokes:
            self.hatches.add(kind)
        else:
            fill, dashes = "none", ' stroke-dasharray="3 2" pointer-events="all"'
        self._parts.append(
            f'<rect x="{coordinate(left)}" y="{coordinate(top)}" width="{coordinate(width)}" '
            f'height="{coordinate(height)}" fill="{fill}" stroke="{INK}" stroke-width="{HAIR}"{dashes}/>'
        )

    def leading_back(self, left: float, top: float, width: float, height: float, unexplained: bool = False) -> None:
        """A blank rectangle with pointers to the left: what is taken off. Its edge is dashed where it is not explained."""
        dashes = ' stroke-dasharray="3 2"' if unexplained else ""
        self._parts.append(
            f'<rect x="{coordinate(left)}" y="{coordinate(top)}" width="{coordinate(width)}" '
            f'height="{coordinate(height)}" fill="none" stroke="{INK}" stroke-width="{HAIR}"{dashes} '
            'pointer-events="all"/>'
        )
        deep = height / 4
        count = min(int((width - deep) // _POINTER_PITCH) if width > 2 * deep else 0, _MOST_POINTERS)
        pitch = width / (count + 1)
        c = coordinate
        pointers = "".join(
            f"M{c(left + place * pitch + deep / 2)} {c(top + deep)}l{c(-deep)} {c(deep)}l{c(deep)} {c(deep)}"
            for place in range(1, count + 1)
        )
        if pointers:
            self.path(pointers, INK, HAIR)

    def path(
        self,
        commands: str,
        stroke: str = INK,
        weight: float = HAIR,
        fill: str = "none",
        dashes: str = "",
        cap: str = "",
    ) -> None:
        """A path of SVG commands."""
        extra = (f' stroke-dasharray="{dashes}"' if dashes else "") + (f' stroke-linecap="{cap}"' if cap else "")
        outline = f' stroke="{stroke}" stroke-width="{coordinate(weight)}"' if stroke != "none" else ""
        self._parts.append(f'<path d="{commands}" fill="{fill}"{outline}{extra}/>')

    def line(
        self, x1: float, y1: float, x2: float, y2: float, stroke: str = INK, weight: float = HAIR, dashes: str = ""
    ) -> None:
        """A straight line."""
        self.path(
            f"M{coordinate(x1)} {coordinate(y1)}L{coordinate(x2)} {coordinate(y2)}", stroke, weight, dashes=dashes
        )

    def dot(
        self, x: float, y: float, radius: float, fill: str = INK, stroke: str = "none", weight: float = LINE
    ) -> None:
        """A round dot, or a ring when it is filled with none and has a stroke."""
        outline = "" if stroke == "none" else f' stroke="{stroke}" stroke-width="{coordinate(weight)}"'
        self._parts.append(
            f'<circle cx="{coordinate(x)}" cy="{coordinate(y)}" r="{coordinate(radius)}" fill="{fill}"{outline}/>'
        )

    def mark(self, left: float, middle: float) -> None:
        """The look-here mark: an open ring with a tail."""
        x, y = left + 8.2, middle
        ring = f"M{coordinate(x + 3.4)} {coordinate(y)}a3.4 3.4 0 1 1-6.8 0a3.4 3.4 0 1 1 6.8 0"
        tail = f"M{coordinate(x - 3.4)} {coordinate(y)}h-4"
        self._parts.append(
            f'<path d="{ring}{tail}" fill="none" stroke="{LOOK}" stroke-width="1.9" stroke-linecap="round"/>'
        )

    def write(self, x: float, top: float, row: Row, anchor: str = "start") -> float:
        """One line of text with its top here; returns where the next line may begin."""
        left = x - {"start": 0.0, "middle": row.width / 2, "end": row.width}[anchor]
        baseline = top + ASCENT * row.size
        if row.mark:
            self.mark(left, baseline - 0.36 * row.size)
        indent = MARK_WIDTH if row.indent else 0.0
        at = x + {"start": indent, "middle": indent / 2, "end": 0.0}[anchor]
        self._parts.append(
            f'<text x="{coordinate(at)}" y="{coordinate(baseline)}" font-size="{coordinate(row.size)}"'
            + ("" if anchor == "start" else f' text-anchor="{anchor}"')
            + ">"
            + (f"<title>{safe(row.title)}</title>" if row.title else "")
            + "".join(self._run(run) for run in row.runs)
            + "</text>"
        )
        self.boxes.append(Box(left, baseline - ASCENT * row.size, left + row.width, baseline + DESCENT * row.size))
        return top + LINE_PITCH * row.size

    def block(self, x: float, top: float, rows: tuple[Row, ...]) -> float:
        """Several lines, one under the other; returns where the next line may begin."""
        for row in rows:
            top = self.write(x, top, row)
        return top

    def upright(
        self, x: float, top: float, bottom: float, stroke: str = INK, weight: float = HAIR, dashes: str = ""
    ) -> None:
        """A vertical line that makes way for the text already written."""
        gaps = sorted((box.top - 1, box.bottom + 1) for box in self.boxes if box.left - 2 < x < box.right + 2)
        for gap_top, gap_bottom in gaps:
            if gap_bottom <= top or gap_top >= bottom:
                continue
            if gap_top > top:
                self.line(x, top, x, gap_top, stroke, weight, dashes)
            top = max(top, gap_bottom)
        if bottom > top:
            self.line(x, top, x, bottom, stroke, weight, dashes)

    def _run(self, run: Run) -> str:
        # Some programs that print drop a blank at the edge of a stretch of text; a fixed one stays.
        edges = len(run.text) - len(run.text.lstrip(" ")), len(run.text.rstrip(" "))
        text = safe("\u00a0" * edges[0] + run.text.strip(" ") + "\u00a0" * (len(run.text) - edges[1]))
        weight = ' font-weight="600"' if run.bold else ""
        tone = "" if run.tone == INK else f' fill="{run.tone}"'
        written = f"<tspan{tone}{weight}>{text}</tspan>" if tone or weight else text
        if run.figure is None or self.why_link is None:
            return written
        return f'<a href="{safe(self.why_link(run.figure.name))}">{written}</a>'

    def _words(self, title: str, description: str) -> tuple[str, str]:
        self._ids += 1
        first = f"{self.prefix}-t{self._ids}"
        words = f'<title id="{first}">{safe(title)}</title>'
        if not description:
            return first, words
        second = f"{self.prefix}-d{self._ids}"
        return f"{first} {second}", f'{words}<desc id="{second}">{safe(description)}</desc>'
