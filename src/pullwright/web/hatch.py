"""Hatching, not hue, tells the rows of a bar apart: the key to it, as a small drawing for each kind of time."""

from __future__ import annotations

from markupsafe import Markup

from pullwright.line.kinds import BY_KEY, KindKey

WIDTH, HEIGHT = 30, 16

SOLID: frozenset[KindKey] = frozenset({"value"})
STROKES: dict[KindKey, str] = {
    "value": "",
    "needed": "M5 0V16M10 0V16M15 0V16M20 0V16M25 0V16",
    "waiting": "",
    "moving": "M-4 16L12 0M4 16L20 0M12 16L28 0M20 16L36 0",
    "motion": "M-4 0L12 16M4 0L20 16M12 0L28 16M20 0L36 16",
    "extra": "M0 4H30M0 8H30M0 12H30M5 0V16M10 0V16M15 0V16M20 0V16M25 0V16",
    "again": "M0 7L5 2L10 7L15 2L20 7L25 2L30 7M0 14L5 9L10 14L15 9L20 14L25 9L30 14",
    "ahead": "M3 3h4v4h-4zM11 3h4v4h-4zM19 3h4v4h-4zM3 10h4v4h-4zM11 10h4v4h-4zM19 10h4v4h-4z",
    "unexplained": "M4 5h2M12 5h2M20 5h2M8 11h2M16 11h2M24 11h2",
}
"""Strokes of each kind in a box of WIDTH by HEIGHT; only value-adding time is solid ink, waiting is bare paper."""


def hatch_key(kind: KindKey) -> Markup:
    """Return the small drawing that stands before a row of this kind.

    It is an aid for the eye and hidden from screen readers: the words stand beside it.

    >>> "<svg" in hatch_key("waiting")
    True
    """
    if kind not in BY_KEY:
        raise KeyError(f"{kind!r} is no kind of time; the kinds are {', '.join(BY_KEY)}")
    fill = "currentColor" if kind in SOLID else "none"
    return Markup(
        '<svg class="hatch" aria-hidden="true" focusable="false" '
        'width="{w}" height="{h}" viewBox="0 0 {w} {h}" fill="none" stroke="currentColor">'
        '<path d="{d}"/><rect x=".5" y=".5" width="{rw}" height="{rh}" fill="{fill}"/></svg>'
    ).format(w=WIDTH, h=HEIGHT, rw=WIDTH - 1, rh=HEIGHT - 1, d=STROKES[kind], fill=fill)
