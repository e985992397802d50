"""A panel: one field with two scales, its lines, bars, dots and words, as a Vega-Lite chart of fixed size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from pullwright.draw.charts.press import Text, printed
from pullwright.draw.ink import HAIR, INK, LOOK, PENCIL, SMALL
from pullwright.draw.letters import plain, shorten

WIDE, NARROW = 1120.0, 358.0
"""Widths of a chart in its own units: the room that a page has on a desk and on a phone, as for the drawings."""
GRID = "#d8d2c4"
"""Hairlines behind the ink; never text."""

Align = Literal["left", "center", "right"]


class Panel:
    """Collects one chart. Places are in the units of its two scales; `dx` and `dy` move words by units of the picture."""

    def __init__(
        self,
        width: float,
        height: float,
        *,
        across: tuple[float, float],
        up: tuple[float, float],
        left: float,
        right: float,
        top: float,
        bottom: float,
    ) -> None:
        self.width, self.height = width, height
        self.left, self.right, self.top, self.bottom = left, right, top, bottom
        self.across, self.up = across, up
        self._layers: list[dict[str, Any]] = []
        self._words: dict[tuple[Any, ...], list[dict[str, Any]]] = {}
        self._texts: dict[str, Text] = {}

    @property
    def field(self) -> tuple[float, float]:
        """Width and height of the field between the margins."""
        return self.width - self.left - self.right, self.height - self.top - self.bottom

    def up_per_unit(self) -> float:
        """How much of the upright scale one unit of the picture is."""
        return (self.up[1] - self.up[0]) / self.field[1]

    def across_per_unit(self) -> float:
        """How much of the level scale one unit of the picture is."""
        return (self.across[1] - self.across[0]) / self.field[0]

    def layer(self, mark: dict[str, Any], rows: Sequence[dict[str, Any]], **more: Any) -> None:
        """Add a layer: rows with x, y and perhaps x2, y2, drawn with this mark; `more` are further channels."""
        if not rows:
            return
        channels: dict[str, Any] = {}
        for name, domain in (("x", self.across), ("y", self.up)):
            if name in rows[0]:
                channels[name] = {
                    "field": name, "type": "quantitative", "axis": None, "stack": None,
                    "scale": {"domain": list(domain), "nice": False, "zero": False},
                }  # fmt: skip
                if mark["type"] in ("text", "point", "rule", "rect", "line"):
                    del channels[name]["stack"]
            second = f"{name}2"
            if second in rows[0]:
                channels[second] = {"field": second}
        channels |= more
        self._layers.append({"data": {"values": list(rows)}, "mark": mark, "encoding": channels})

    def rules(
        self,
        rows: Sequence[tuple[float, float, float, float]],
        tone: str = PENCIL,
        weight: float = HAIR,
        dashes: Sequence[float] = (),
    ) -> None:
        """Add straight lines, each from (x, y) to (x2, y2)."""
        mark: dict[str, Any] = {"type": "rule", "stroke": tone, "strokeWidth": weight}
        if dashes:
            mark["strokeDash"] = list(dashes)
        self.layer(mark, [{"x": x, "y": y, "x2": x2, "y2": y2} for x, y, x2, y2 in rows])

    def write(
        self,
        x: float,
        y: float,
        words: str,
        *,
        dx: float = 0,
        dy: float = 0,
        align: Align = "left",
        tone: str = INK,
        size: float = SMALL,
        bold: bool = False,
        mark: bool = False,
        room: float = 0,
    ) -> None:
        """Write words; `room` cuts them with "…" (the whole then stands in their title); `mark` puts the mark before them."""
        text = shorten(words, room, size, bold) if room else plain(words)
        if not text:
            return
        whole = plain(words) if text != plain(words) else ""
        token = f"t{len(self._texts)}"
        self._texts[token] = Text(text, mark, whole)
        style = (align, dx + (16 if mark else 0), dy, LOOK if mark else tone, size, bold)
        self._words.setdefault(style, []).append({"x": x, "y": y, "t": token})

    def spec(self) -> dict[str, Any]:
        """Return the panel as a Vega-Lite chart."""
        written = []
        layers = list(self._layers)
        for (align, dx, dy, tone, size, bold), rows in self._words.items():
            mark = {
                "type": "text", "align": align, "dx": dx, "dy": dy, "fill": tone, "fontSize": size,
                "baseline": "alphabetic", "fontWeight": 600 if bold else 400, "limit": 0,
            }  # fmt: skip
            self.layer(mark, rows, text={"field": "t", "type": "nominal"})
            written.append(self._layers.pop())
        field = self.field
        return {
            "background": "transparent",
            "width": field[0],
            "height": field[1],
            "padding": {"left": self.left, "right": self.right, "top": self.top, "bottom": self.bottom},
            "autosize": {"type": "none"},
            "config": {"view": {"stroke": None, "fill": None}, "font": "sans-serif"},
            "layer": [*layers, *written],
        }

    def svg(self, prefix: str, title: str, description: str) -> str:
        """Return the panel as SVG text."""
        return printed(self.spec(), self._texts, prefix=prefix, title=title, description=description)
