"""From a Vega-Lite chart to the SVG text of a page: names put in escaped, ids of its own, no style and no script.

The engine that draws (V8, inside vl_convert) never sees a name: every text stands in the chart as a token of ours and is put
in afterwards. A control character in a text would otherwise end the whole process, and no text can be anything but text.
"""

from __future__ import annotations

import hashlib
import json
import re
import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

from pullwright.draw.charts.chart import ChartError
from pullwright.draw.hatching import HATCHES, pattern
from pullwright.draw.ink import INK, LOOK, SYSTEM_FONT
from pullwright.draw.sheet import coordinate, safe

VEGA_LITE = "6.4"
MOST_KEPT = 96
MOST_BYTES = 12_000_000
"""Bytes of drawn charts that stay."""
LARGEST_CHART = 4_000_000
"""Characters of a chart before it is drawn; thinning keeps every chart of ours far below."""
_NAMESPACE = "{http://www.w3.org/2000/svg}"
_KEPT_ATTRIBUTES = frozenset(
    (
        "transform", "d", "x", "y", "x1", "x2", "y1", "y2", "width", "height", "r", "fill", "fill-opacity", "opacity",
        "stroke", "stroke-width", "stroke-dasharray", "stroke-opacity", "stroke-linecap", "stroke-linejoin",
        "text-anchor", "font-size", "font-weight",
    )
)  # fmt: skip
_HATCH = re.compile(r"url\(#?hatch-([a-z]+)\)")
_NUMBER = re.compile(r"-?\d+\.\d{3,}")


@dataclass(frozen=True, slots=True)
class Text:
    """What a token stands for; `mark` puts the look-here mark before it."""

    text: str
    mark: bool = False
    whole: str = ""


class _Drawn:
    """Keeps the last charts drawn, by their content; the same chart asked for twice at once is at worst drawn twice."""

    def __init__(self, most: int = MOST_KEPT, most_bytes: int = MOST_BYTES) -> None:
        self.most, self.most_bytes = most, most_bytes
        self._lock = threading.Lock()
        self._kept: OrderedDict[str, str] = OrderedDict()
        self._bytes = 0

    def of(self, spec: Mapping[str, Any]) -> str:
        asked = json.dumps(spec, separators=(",", ":"), allow_nan=False, ensure_ascii=True)
        if len(asked) > LARGEST_CHART:
            raise ChartError(
                f"a chart of {len(asked):,} characters; at most {LARGEST_CHART:,} are drawn: thin its points"
            )
        digest = hashlib.sha256(asked.encode()).hexdigest()
        with self._lock:
            if digest in self._kept:
                self._kept.move_to_end(digest)
                return self._kept[digest]
        # The engine takes 0.6 s to start and some 40 MB; a picture of a page takes 0.03 s after that.
        import vl_convert

        svg = _plain(vl_convert.vegalite_to_svg(asked, vl_version=VEGA_LITE, allowed_base_urls=[]))
        with self._lock:
            if digest not in self._kept:
                self._kept[digest] = svg
                self._bytes += len(svg)
            while len(self._kept) > self.most or (self._bytes > self.most_bytes and len(self._kept) > 1):
                self._bytes -= len(self._kept.popitem(last=False)[1])
        return svg


_DRAWN = _Drawn()


def warm() -> None:
    """Start the engine, so that the first page with a chart does not wait for it."""
    _DRAWN.of({"data": {"values": [{"a": 0}]}, "mark": "point", "encoding": {}})


def warm_in_background() -> threading.Thread:
    """Start the engine beside whatever else begins; the thread ends by itself after a second.

    A process that ends meanwhile waits for it: cut off inside the engine, it would end the process with an error.
    """
    thread = threading.Thread(target=warm, name="charts")
    thread.start()
    return thread


def printed(spec: Mapping[str, Any], texts: Mapping[str, Text], *, prefix: str, title: str, description: str) -> str:
    """Return the SVG text of a chart with its words put in, named for a screen reader.

    Parameters: `spec` is Vega-Lite with fixed width and height, every text in it a key of `texts`; `prefix` begins every id.
    ChartError when the chart is too large to be drawn.
    """
    drawn = _DRAWN.of(spec)
    hatches = sorted({kind for kind in HATCHES if f"url(#hatch-{kind})" in drawn})
    drawn = _HATCH.sub(lambda found: f"url(#{prefix}-hatch-{found[1]})", drawn)
    drawn = re.sub(
        r'<text([^>]*) transform="translate\(([-\d.]+)[, ]([-\d.]+)\)"([^>]*)>(t\d+)</text>',
        lambda found: _written(found, texts),
        drawn,
    )
    defs = "".join(pattern(kind, f"{prefix}-hatch-{kind}") for kind in hatches)
    start, _, inside = drawn.partition(">")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xml:space="preserve" class="pw-drawing" role="img" '
        f'aria-labelledby="{prefix}-title {prefix}-desc" {start.removeprefix("<svg ")} font-family="{safe(SYSTEM_FONT)}" '
        f'font-variant="tabular-nums" text-rendering="geometricPrecision" fill="{INK}">'
        f'<title id="{prefix}-title">{safe(title)}</title><desc id="{prefix}-desc">{safe(description)}</desc>'
        f"{f'<defs>{defs}</defs>' if defs else ''}{inside}"
    )


def _written(found: re.Match[str], texts: Mapping[str, Text]) -> str:
    before, x, y, after, token = found.groups()
    text = texts[token]
    whole = f"<title>{safe(text.whole)}</title>" if text.whole else ""
    written = f'<text{before} x="{x}" y="{y}"{after}>{whole}{safe(text.text)}</text>'
    if not text.mark:
        return written
    middle, ring = float(y) - 4, float(x) - 7.8
    path = (
        f"M{coordinate(ring + 3.4)} {coordinate(middle)}a3.4 3.4 0 1 1-6.8 0a3.4 3.4 0 1 1 6.8 0"
        f"M{coordinate(ring - 3.4)} {coordinate(middle)}h-4"
    )
    return f'<path d="{path}" fill="none" stroke="{LOOK}" stroke-width="1.9" stroke-linecap="round"/>{written}'


def _plain(svg: str) -> str:
    """Return what the engine drew with nothing in it but shapes, tokens and how they look."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - drawn here, and no text of anybody's in it
    width, height = root.get("width", "0"), root.get("height", "0")
    return f'<svg width="{width}" height="{height}" viewBox="0 0 {width} {height}">{_inside(root)}</svg>'


def _inside(element: ElementTree.Element) -> str:
    return "".join(_shape(child) for child in element)


def _shape(element: ElementTree.Element) -> str:
    tag = element.tag.removeprefix(_NAMESPACE)
    if tag not in ("g", "path", "line", "text", "rect", "circle") or element.get("display") == "none":
        return ""
    attributes = {name: value for name, value in element.attrib.items() if name in _KEPT_ATTRIBUTES}
    if tag == "g":
        inside = _inside(element)
        if not inside:
            return ""
        if attributes.get("transform") == "translate(0,0)":
            del attributes["transform"]
        return f"<g{_said(attributes)}>{inside}</g>" if attributes else inside
    if element.get("class") == "background" or (
        tag == "rect" and attributes.get("fill") in ("white", "transparent", "none")
    ):
        return ""
    if tag == "text":
        return f"<text{_said(attributes)}>{element.text or ''}</text>" if element.text else ""
    if tag == "path" and not attributes.get("d"):
        return ""
    return f"<{tag}{_said(attributes)}/>"


def _said(attributes: Mapping[str, str]) -> str:
    told = {
        name: value.removesuffix("px")
        if name == "font-size"
        else _NUMBER.sub(lambda one: coordinate(round(float(one[0]), 2)), value)
        for name, value in attributes.items()
    }
    # The place of a text comes first and alone, where its words are put in.
    return "".join(f' {name}="{safe(value)}"' for name, value in told.items())
