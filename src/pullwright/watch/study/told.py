"""From what the stopwatch wrote to a study sheet: the body it began with, and the notes that came after, one by one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime
from typing import Any

from pullwright.line.faults import shown
from pullwright.watch.notes import NoteLike
from pullwright.watch.study.allowances import allowance_from, one_of_a_group
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.performance import rating_of
from pullwright.watch.study.sheet import Allowance, StudySheet, TimedElement, TimedReading
from pullwright.watch.study.sound import MOST_CYCLES, distinct, element_from, one_text, seconds_from, whole_from

TEXTS = ("name", "of", "line", "station", "step", "product", "on", "who")
"""What the body says in words."""


def sheet_of(body: Mapping[str, Any], notes: Sequence[NoteLike] = ()) -> StudySheet:
    """Which study is this, after everything that was noted?

    Parameters: `body`, {name, of, line, station, step, product, on, who, elements: [{what, work, kind, every, because}], rating,
    allowances}; `notes` in the order of arrival. They are read in the order in which they were noted. "reading" {cycle, element,
    seconds, rating, note} is one reading (with `where` and `when` where it was copied from a file); "mark" {of, aside, rating, element,
    note} corrects an earlier one (`aside` "" takes it back; element -1 makes it foreign; what is not in the mark stays); "rating"
    {rating}; "allowances" {rows}; "elements" {elements}; "undo" {of} takes any of these back, an undo too. Other kinds belong to
    others. A note sent twice counts once; a mark that came before its reading waits for it.
    Result: the sheet; its readings in the order of cycles.
    Errors: `StudyError` naming the first thing that cannot be understood; `checked_note` says so before it is written.

    >>> from datetime import UTC
    >>> @dataclass
    ... class Note:
    ...     uid: str
    ...     kind: str
    ...     body: dict
    ...     who: str = "line lead"
    ...     taken: datetime = datetime(2026, 3, 11, 9, 12, tzinfo=UTC)
    >>> sheet = sheet_of(
    ...     {"name": "T-014", "elements": [{"what": "load"}, {"what": "hone", "work": "machine", "kind": "value"}]},
    ...     [
    ...         Note("a", "reading", {"cycle": 1, "element": 0, "seconds": 44.1}),
    ...         Note("b", "reading", {"cycle": 1, "element": 1, "seconds": 628.0}),
    ...         Note("c", "mark", {"of": "a", "aside": "dropped the barrel"}),
    ...     ],
    ... )
    >>> [(one.seconds, one.aside, one.where) for one in sheet.readings]
    [(44.1, 'dropped the barrel', 'reading 1 of the stopwatch'), (628.0, '', 'reading 2 of the stopwatch')]
    """
    told = _Told(_begun(body))
    in_order = _ordered(notes)
    undone = _undone(in_order)
    for note in in_order:
        if note.uid not in undone:
            told.take(note)
    return told.sheet()


def body_of(sheet: StudySheet) -> dict[str, Any]:
    """The body with which a study of these elements begins; `sheet_of` gives the sheet back without its readings.

    >>> body_of(StudySheet("T-1", (TimedElement("load"),), rating=0.9))["rating"]
    0.9
    """
    return {
        **{name: getattr(sheet, name) for name in TEXTS},
        "elements": [asdict(element) for element in sheet.elements],
        "rating": sheet.rating,
        "allowances": [asdict(one) for one in sheet.allowances],
    }


def checked_note(kind: str, body: Mapping[str, Any], sheet: StudySheet) -> None:
    """May this note be written on this study? Nothing happens if it may.

    Errors: `StudyError` for a body that `sheet_of` could not understand afterwards. What is written stays, so ask before.

    >>> checked_note("reading", {"cycle": 1, "element": 3, "seconds": 4.0}, StudySheet("T-1", (TimedElement("load"),)))
    Traceback (most recent call last):
        ...
    pullwright.watch.study.faults.StudyError: element 3 is none (allowed: a whole number from -1 to 0)
    """
    read = KINDS.get(kind)
    if read is not None:
        read(_Told(sheet, {one.uid: one for one in sheet.readings}), _Plain("", kind, body))


def _begun(body: Mapping[str, Any]) -> StudySheet:
    if not isinstance(body, Mapping):
        raise StudyError(shown(body), "is no study", "a name and elements", "")
    texts: dict[str, Any] = {name: one_text(body.get(name), name) for name in TEXTS}
    if not texts["name"]:
        raise StudyError("a study", "has no name", "a name such as T-014", "give it a name")
    rating = body.get("rating")
    return StudySheet(
        elements=_elements(body.get("elements")),
        rating=1.0 if rating is None else rating_of(rating),
        allowances=_rows(body.get("allowances") or ()),
        **texts,
    )


def _elements(read: object) -> tuple[TimedElement, ...]:
    if not isinstance(read, list | tuple):
        raise StudyError(f"elements {shown(read)}", "are no list", "a list of elements", "")
    return distinct([element_from(one) for one in read])


def _rows(read: object) -> tuple[Allowance, ...]:
    if not isinstance(read, list | tuple):
        raise StudyError(f"allowances {shown(read)}", "are no list", "a list of rows with key, share and words", "")
    return one_of_a_group(tuple(allowance_from(one) for one in read))


def _ordered(notes: Sequence[NoteLike]) -> list[NoteLike]:
    """Each note once, in the order in which they were noted; at one moment in the order of arrival."""
    once: dict[str, NoteLike] = {}
    for note in notes:
        once.setdefault(note.uid, note)
    return sorted(once.values(), key=lambda note: note.taken)


def _undone(notes: Iterable[NoteLike]) -> set[str]:
    """The uids of all notes that were taken back; an undo that was itself taken back later takes nothing back."""
    undone: set[str] = set()
    for note in reversed([note for note in notes if note.kind == "undo"]):
        if note.uid not in undone:
            undone.add(_uid(note.body))
    return undone


def _uid(body: Mapping[str, Any]) -> str:
    of = body.get("of")
    if not isinstance(of, str) or not of:
        raise StudyError(f"of {shown(of)}", "names no note", "the uid of an earlier note", "")
    return of


@dataclass(frozen=True, slots=True)
class _Plain:
    uid: str
    kind: str
    body: Mapping[str, Any]
    who: str = ""
    taken: datetime = datetime.min


@dataclass
class _Told:
    """The sheet as it grows, note by note."""

    begun: StudySheet
    readings: dict[str, TimedReading] = field(default_factory=dict)
    marks: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def take(self, note: NoteLike) -> None:
        read = KINDS.get(note.kind)
        if read is not None:
            read(self, note)

    def reading(self, note: NoteLike) -> None:
        body = note.body
        seconds = seconds_from(body.get("seconds"))
        cycle = whole_from(body.get("cycle"), "cycle", 1, MOST_CYCLES)
        rating = body.get("rating")
        self.readings[note.uid] = TimedReading(
            uid=note.uid,
            cycle=cycle,
            element=self._element(body.get("element")),
            seconds=seconds,
            rating=None if rating is None else rating_of(rating),
            aside=one_text(body.get("aside"), "aside"),
            note=one_text(body.get("note"), "note"),
            # A reading that was copied from a file without a date has none; when it was copied says nothing of that.
            when=one_text(body["when"], "when") if "when" in body else note.taken.isoformat(timespec="seconds"),
            who=note.who,
            where=one_text(body.get("where"), "where") or f"reading {len(self.readings) + 1} of the stopwatch",
        )

    def mark(self, note: NoteLike) -> None:
        body = note.body
        new: dict[str, Any] = {}
        if "aside" in body:
            new["aside"] = one_text(body["aside"], "aside")
        if "note" in body:
            new["note"] = one_text(body["note"], "note")
        if "rating" in body:
            new["rating"] = None if body["rating"] is None else rating_of(body["rating"])
        if body.get("element") is not None:
            new["element"] = self._element(body["element"])
        self.marks.append((_uid(body), new))

    def rating(self, note: NoteLike) -> None:
        self.begun = replace(self.begun, rating=rating_of(note.body.get("rating")))

    def allowances(self, note: NoteLike) -> None:
        self.begun = replace(self.begun, allowances=_rows(note.body.get("rows")))

    def elements(self, note: NoteLike) -> None:
        elements = _elements(note.body.get("elements"))
        used = [one.element for one in self.readings.values()] + [new.get("element", -1) for _, new in self.marks]
        last = max(used, default=-1)
        if last >= len(elements):
            raise StudyError(
                f"a list of {len(elements)} elements",
                f"leaves out {shown(self.begun.elements[last].what)}, which has readings",
                f"{last + 1} elements or more, in the same order",
                "mark its readings first",
            )
        self.begun = replace(self.begun, elements=elements)

    def undo(self, note: NoteLike) -> None:
        _uid(note.body)

    def sheet(self) -> StudySheet:
        """With every mark on its reading, the latest last."""
        found = dict(self.readings)
        for of, new in self.marks:
            if of in found:
                found[of] = replace(found[of], **new)
        in_order = sorted(found.values(), key=lambda one: one.cycle)
        return replace(self.begun, readings=tuple(in_order))

    def _element(self, read: object) -> int:
        return whole_from(read, "element", -1, len(self.begun.elements) - 1)


KINDS = {
    "reading": _Told.reading,
    "mark": _Told.mark,
    "rating": _Told.rating,
    "allowances": _Told.allowances,
    "elements": _Told.elements,
    "undo": _Told.undo,
}
"""Every kind of note that a study understands; other kinds are left alone."""
