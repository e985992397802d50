"""What a note on a study says, in the words of a page: a reading, a mark on one, a rating, allowances, something taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pullwright.figure import number_text
from pullwright.record import Note
from pullwright.watch.study.sheet import TimedElement
from pullwright.web.why_tree import decimals_of

FOREIGN = "foreign element"


def seconds_words(seconds: float) -> str:
    """Return a reading as a list shows it; the why of a figure shows all its digits.

    >>> seconds_words(12.3456), seconds_words(628.0)
    ('12.35 s', '628 s')
    """
    return f"{number_text(seconds, min(2, decimals_of(seconds)))} s"


def element_words(element: object, elements: Sequence[TimedElement]) -> str:
    """Return what an element is called by its number; -1 is a foreign one.

    >>> element_words(-1, ())
    'foreign element'
    """
    if not isinstance(element, int) or not -1 <= element < len(elements):
        return "an element"
    return FOREIGN if element < 0 else elements[element].what


def percent(share: object) -> str:
    """Return a rating or an allowance as people write it.

    >>> percent(0.95), percent(95), percent(0.045)
    ('95', '95', '4.5')
    """
    if not isinstance(share, int | float):
        return "?"
    return f"{share * 100 if share <= 3 else share:.3g}"


def note_words(note: Note, elements: Sequence[TimedElement], by_uid: Mapping[str, Note]) -> str:
    """Return what a note says in a sentence without an end; `by_uid` are all notes of the sheet."""
    body = note.body
    if note.kind == "reading":
        said = f"{_reading(note, elements)}: {seconds_words(float(body['seconds']))}"
        rated = f", rated {percent(body['rating'])}" if body.get("rating") is not None else ""
        aside = f", set aside: {body['aside']}" if body.get("aside") else ""
        more = f" ({body['note']})" if body.get("note") else ""
        return said + rated + aside + more
    if note.kind == "mark":
        return _mark(note, elements, by_uid)
    if note.kind == "rating":
        return f"the study is rated {percent(body.get('rating'))}"
    if note.kind == "allowances":
        rows = [row for row in body.get("rows", ()) if isinstance(row, dict)]
        said = ", ".join(f"{row.get('words') or row.get('key')} {percent(row.get('share'))} %" for row in rows)
        return f"allowances: {said or 'none'}"
    if note.kind == "elements":
        listed = [str(one.get("what") if isinstance(one, dict) else one) for one in body.get("elements", ())]
        return f"elements: {', '.join(listed)}"
    if note.kind == "undo":
        of = by_uid.get(str(body.get("of")))
        why = f" ({body['note']})" if body.get("note") else ""
        if of is not None and of.kind == "undo":
            return f"takes back what was taken back{why}"
        return f"taken back: {note_words(of, elements, by_uid) if of else 'a note that has not come yet'}{why}"
    return f"{note.kind}: {body['why']}" if body.get("why") else note.kind


def _reading(note: Note, elements: Sequence[TimedElement]) -> str:
    return f"{element_words(note.body.get('element'), elements)}, cycle {note.body.get('cycle')}"


def _mark(note: Note, elements: Sequence[TimedElement], by_uid: Mapping[str, Note]) -> str:
    body, of = note.body, by_uid.get(str(note.body.get("of")))
    said = []
    if "aside" in body:
        said.append(f"set aside: {body['aside']}" if body["aside"] else "counts again")
    if body.get("element") is not None:
        said.append("foreign" if body["element"] == -1 else f"it is {element_words(body['element'], elements)}")
    if "rating" in body:
        said.append("rated as the study" if body["rating"] is None else f"rated {percent(body['rating'])}")
    if body.get("note"):
        said.append(str(body["note"]))
    about = _reading(of, elements) if of else "a reading that has not come yet"
    return f"{about}: {', '.join(said) or 'marked'}"
