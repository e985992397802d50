"""The card sheet: the cards of all loops on paper, eight to a page, to be cut out and hung on the containers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from pullwright.draw.ink import FAINT, INK, PENCIL
from pullwright.figure import number_text
from pullwright.figure.wording import digits_place
from pullwright.paper.page import FACE, FACE_OF_COMMANDS
from pullwright.paper.press import press_with_letters
from pullwright.paper.qr_code import qr_code
from pullwright.paper.words import day_words, printable
from pullwright.pull.cards.card import CardFace
from pullwright.pull.cards.containers import is_heavy
from pullwright.pull.cards.loops import KINDS

TEMPLATE = "card_sheet.typ"
ACROSS, DOWN = 2, 4
WIDTH, HEIGHT = 97.0, 69.0
"""Millimetres of a card: two by four of them leave 8 mm on A4 that no printer has to reach."""
CODE = 21.0
"""Millimetres of the QR code without its blank margin: modules of 1 mm where the number of the card has up to 20 letters and digits."""

ARMS_LENGTH = 700.0
"""Millimetres from the eye to a card that hangs on a container."""
CAPITAL = 0.658
"""Height of a capital letter of the face, as a share of its size."""
READ_AT_ARMS_LENGTH = ARMS_LENGTH / 200 / 25.4 * 72 / CAPITAL
"""Points of letters that are read at arm's length: capitals of 1/200 of the distance, here 3.5 mm (common practice)."""
LARGE = (34.0, 30.0, 27.0, 24.0, 21.0, 19.0, 17.0, READ_AT_ARMS_LENGTH)
SMALLER = (13.5, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
"""For names too long to be read at arm's length on a card of this size."""

HOW_TOLD = {"production": "plain head", "signal": "double frame", "withdrawal": "black head"}
"""How each kind of card is told from the others from across the room, on black-and-white paper too."""


def card_sheet(
    faces: Sequence[CardFace], *, line: str, invented: bool = False, printed: datetime | None = None
) -> bytes:
    """Which cards hang on the containers of this line? On paper, to be cut out.

    Parameters: `faces`, what stands on each card (`pullwright.pull.cards.card.faces`); `line`, the title of the line; `invented`, whether its data is
    (each card says so); `printed`, the date on the sheet (now, if nothing is said).
    Result: a PDF, A4 upright, eight cards of 97 by 69 mm to a page with marks to cut along; each has a QR code of its number. The same cards and date
    give the same bytes. Letters are as large as there is room, up to a size that is read at arm's length and more; what is too long even for the smallest ends in "…", and
    the foot of its page says so.
    Errors: ValueError where there is no card, or where the number of a card is too long for a code; PrintError where the press fails.

    >>> face = CardFace("3F0A9C-01", "production", "production card", "P-32", "hone", "weld", "before weld", "hone", 14, 1, 3)
    >>> card_sheet([face], line="pumps", printed=datetime(2026, 3, 2))[:5]
    b'%PDF-'
    """
    if not faces:
        raise ValueError(
            "no card was given; a card sheet has one card or more: print the cards of a plan that has loops"
        )
    when = printed or datetime.now().astimezone().replace(second=0, microsecond=0)
    said = _contents(faces, line, invented, when)
    return press_with_letters(TEMPLATE, lambda missing: said | {"missing": missing}, when)


def _contents(faces: Sequence[CardFace], line: str, invented: bool, when: datetime) -> dict[str, Any]:
    met = {face.kind for face in faces}
    kinds = [kind for kind in KINDS if kind.key in met]
    return {
        "title": printable(f"Cards: {line}"),
        "line": printable(f"{line} · {day_words(when)}"),
        "invented": invented,
        "printed": day_words(when),
        "faces": [FACE, FACE_OF_COMMANDS],
        "inks": {"ink": INK, "pencil": PENCIL, "faint": FAINT},
        "size": {"width": WIDTH, "height": HEIGHT, "across": ACROSS, "down": DOWN},
        "large": list(LARGE),
        "smaller": list(SMALLER),
        "legend": [[HOW_TOLD[kind.key], kind.words, kind.lets] for kind in kinds],
        "cards": [_card(face) for face in faces],
    }


def _card(face: CardFace) -> dict[str, Any]:
    code = qr_code(face.id, CODE)
    return {
        "kind": face.kind,
        "words": printable(face.kind_words),
        "lets": next(kind.lets for kind in KINDS if kind.key == face.kind),
        "of": f"{face.number} of {face.of}",
        "what": printable(face.what),
        "way": [[label, printable(words)] for label, words in _way(face)],
        "pieces": [number_text(face.pieces, 0), _holds(face)],
        "signal": printable(face.signal),
        "caution": _caution(face),
        "id": face.id,
        "code": code.svg,
        "code_side": code.side(CODE / code.across),
    }


def _holds(face: CardFace) -> str:
    return printable(
        ("piece" if face.pieces == 1 else "pieces") + (f", {_kilograms(face.weight)}" if face.weight else "")
    )


def _caution(face: CardFace) -> str:
    if face.weight is None or not is_heavy(face.weight):
        return ""
    return printable(f"Heavy: {_kilograms(face.weight)} when full; by hand only as local rules allow.")


def _kilograms(weight: float) -> str:
    return f"{number_text(weight, max(digits_place(weight, 2), 0))} kg"


def _way(face: CardFace) -> list[tuple[str, str]]:
    """From where to where; a place that names where it goes to says both, and what is fetched need not name itself as its origin."""
    way = [] if face.start == face.what else [("from", face.start)]
    if face.place.endswith(face.end):
        return [*way, ("to", face.place)]
    return [*way, ("to", face.end), ("lies", face.place)]
