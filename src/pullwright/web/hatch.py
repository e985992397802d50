"""Hatching, not hue, tells the rows of a bar apart: the key to it before each row of a table, the same as in the drawings."""

from __future__ import annotations

from markupsafe import Markup

from pullwright.draw.hatching import HATCHES, pattern
from pullwright.line.kinds import BY_KEY, KindKey

WIDTH, HEIGHT = 30, 16


def _name(kind: KindKey) -> str:
    return f"key-to-{kind}"


def hatch_tiles() -> Markup:
    """Return the tiles that the keys are filled with; they stand once on every page."""
    tiles = "".join(pattern(kind, _name(kind)) for kind, hatch in HATCHES.items() if hatch.strokes)
    # The text is all our own: names of kinds and path commands from one table.
    return Markup(  # noqa: S704
        f'<svg class="tiles" aria-hidden="true" focusable="false" width="0" height="0"><defs>{tiles}</defs></svg>'
    )


def hatch_key(kind: KindKey) -> Markup:
    """Return the small drawing that stands before a row of this kind.

    It is an aid for the eye and hidden from screen readers: the words stand beside it.

    >>> "url(#key-to-moving)" in hatch_key("moving")
    True
    """
    if kind not in BY_KEY:
        raise KeyError(f"{kind!r} is no kind of time; the kinds are {', '.join(BY_KEY)}")
    edge = ""
    if kind == "value":
        fill = "currentColor"
    elif HATCHES[kind].strokes:
        fill = f"url(#{_name(kind)})"
    else:
        fill, edge = "none", Markup(' stroke-dasharray="3 2"')
    return Markup(
        '<svg class="hatch" aria-hidden="true" focusable="false" width="{w}" height="{h}" viewBox="0 0 {w} {h}">'
        '<rect x=".5" y=".5" width="{rw}" height="{rh}" fill="{fill}" stroke="currentColor"{edge}/></svg>'
    ).format(w=WIDTH, h=HEIGHT, rw=WIDTH - 1, rh=HEIGHT - 1, fill=fill, edge=edge)
