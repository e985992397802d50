"""A text as a square code that any telephone reads: QR code (ISO/IEC 18004), with error correction M or better."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache

QUIET = 4
"""Modules that stay blank around the code (ISO/IEC 18004)."""
SMALLEST_MODULE = 0.4
"""Millimetres of one module under which a telephone at a hand's distance gets unsure (common practice)."""


@dataclass(frozen=True, slots=True)
class QrCode:
    """A code as rows of dark and light modules, without the blank margin, and as a drawing with it."""

    rows: tuple[tuple[bool, ...], ...]

    @property
    def across(self) -> int:
        """Modules from edge to edge, without the blank margin."""
        return len(self.rows)

    def side(self, module: float) -> float:
        """How wide is it with its blank margin, where one module is so wide (any length)?"""
        return module * (self.across + 2 * QUIET)

    @property
    def svg(self) -> str:
        """The code as a drawing with its blank margin: one shape, so that no hairlines show between its modules."""
        whole = self.across + 2 * QUIET
        shape = "".join(_runs(row, QUIET + place) for place, row in enumerate(self.rows))
        return f'<svg xmlns="http://www.w3.org/2000/svg" width="{whole}" height="{whole}" viewBox="0 0 {whole} {whole}"><path d="{shape}"/></svg>'


@lru_cache(maxsize=1024)
def qr_code(text: str, side: float) -> QrCode:
    """How does a text look as a QR code that is to be `side` mm wide without its blank margin?

    Error correction M (about 15 % of it may be dirty), or more where that takes no larger code; no Micro QR, which many telephones do not read.
    Errors: ValueError where the text is too long for modules that can be read.

    >>> code = qr_code("3F0A9C-07", 21.0)
    >>> code.across, code.side(1.0)
    (21, 29.0)
    """
    import segno

    try:
        made = segno.make(text, error="m", micro=False)
    except segno.DataOverflowError:
        made = None
    if made is None or side / (made.symbol_size(border=0)[0]) < SMALLEST_MODULE:
        raise ValueError(
            f"a text of {len(text)} letters was given for a QR code of {side:g} mm; its modules would be smaller than {SMALLEST_MODULE:g} mm: "
            "give a shorter text, such as a number that stands for it"
        )
    return QrCode(tuple(tuple(bool(module) for module in row) for row in made.matrix))


def _runs(row: tuple[bool, ...], down: int) -> str:
    """The dark stretches of one row as parts of a path."""
    told = io.StringIO()
    start: int | None = None
    for place, dark in enumerate((*row, False)):
        if dark and start is None:
            start = place
        elif not dark and start is not None:
            told.write(f"M{start + QUIET} {down}h{place - start}v1h-{place - start}z")
            start = None
    return told.getvalue()
