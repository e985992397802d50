"""What is typed on a round of counting, read into the notes that the computing understands."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from pullwright.line.stock import Move, Store
from pullwright.record import Note, Sheet
from pullwright.watch.count.sheet import CountSheet
from pullwright.watch.count.told import checked_note, counts_of
from pullwright.watch.misread import CountError

STOCK, WAY, DEFECTS, UNDO = "stock", "way", "defects", "undo"
"""The kinds of note on a round of counting; the last one takes another note back."""
MOST_WHAT = 40

Body = dict[str, Any]


def counts_on(sheet: Sheet, notes: Sequence[Note]) -> CountSheet:
    """Return a sheet as the computing takes it: everything that counts on it."""
    return counts_of(sheet.body, notes)


def counted_sentence(counts: CountSheet) -> str:
    """Return in a sentence what was counted.

    >>> counted_sentence(CountSheet("March"))
    'Nothing counted yet'
    """
    parts = []
    if counts.stocks:
        places = len({one.place for one in counts.stocks})
        parts.append(f"stock at {places} {'place' if places == 1 else 'places'}")
    if counts.ways:
        parts.append(f"{len(counts.ways)} {'way' if len(counts.ways) == 1 else 'ways'}")
    if counts.defects:
        looked, wrong = sum(one.looked_at for one in counts.defects), sum(one.wrong for one in counts.defects)
        parts.append(f"{wrong} of {looked} pieces not right")
    said = ", ".join(parts)
    return said[:1].upper() + said[1:] if said else "Nothing counted yet"


def store_of(store: Store) -> dict[str, str]:
    """Return a store as a note names it.

    >>> store_of(Store(before="hone")), store_of(Store(part="body"))
    ({'before': 'hone'}, {'part': 'body'})
    """
    if store.before is not None:
        return {"before": store.before}
    return {"after": store.after} if store.after is not None else {"part": str(store.part)}


def store_words(store: Mapping[str, str]) -> str:
    """Return a place as a person says it, and as the figures about it are named.

    >>> store_words({"before": "hone"}), store_words({"part": "body"})
    ('before hone', 'body')
    """
    ((side, name),) = store.items()
    return name if side == "part" else f"{side} {name}"


def move_words(move: Move) -> str:
    """Return a move as a person says it."""
    return f"{move.from_} to {move.to}"


def stock_body(store: Mapping[str, str], typed: str) -> Body:
    """Return the note of a count; CountError says what is allowed.

    >>> stock_body({"before": "hone"}, "1 200")["pieces"]
    1200.0
    """
    plain = re.sub(r"[\s\u00a0\u202f]", "", typed)
    return _checked(STOCK, {"store": dict(store), "pieces": float(plain) if re.fullmatch(r"\d{1,9}", plain) else typed})


def way_body(start: str, end: str, far: str, batch: str = "", trips: str = "") -> Body:
    """Return the note of a way in metres or steps; CountError says what is allowed.

    >>> way_body("saw", "hone", "16 steps")["steps"], way_body("saw", "hone", "12.5 m")["distance_m"]
    (16, 12.5)
    """
    found = re.fullmatch(r"(\d{1,6}(?:[.,]\d{1,3})?)\s*(m|metres?|steps?)", far.strip(), re.IGNORECASE)
    if not found:
        raise CountError(repr(far[:40]), "is no way", "metres or steps, such as 12 m or 16 steps")
    number, unit = found[1].replace(",", "."), found[2].lower()
    size: dict[str, Any] = {"distance_m": float(number)}
    if not unit.startswith("m"):
        size = {"steps": int(number) if number.isdigit() else found[1]}
    more = {name: value for name, value in (("batch", batch), ("trips", trips)) if value}
    return _checked(WAY, {"from": start, "to": end, **size, **more})


def wrong_of(typed: str) -> tuple[tuple[str, int], ...]:
    """Read what was wrong and on how many pieces, one a line; CountError says which line is not understood.

    >>> wrong_of("leaks: 3\\nscratched")
    (('leaks', 3), ('scratched', 1))
    """
    found: dict[str, int] = {}
    for line in (one.strip() for one in typed.splitlines()):
        if not line:
            continue
        split = re.fullmatch(r"(.*\S)\s*:\s*(\d{1,7})", line)
        what, count = (split[1], int(split[2])) if split else (line, 1)
        if not split and re.fullmatch(r".*:\s*\S*", line):
            raise CountError(
                repr(line[:60]),
                "does not say on how many pieces",
                "a number behind the colon, as in leaks at the seat: 3",
            )
        found[what[:200]] = found.get(what[:200], 0) + count
    if len(found) > MOST_WHAT:
        raise CountError(f"{len(found)} different things", "are too many at a time", f"at most {MOST_WHAT}")
    return tuple(found.items())


def defects_bodies(step: str, looked: int, wrong: Sequence[tuple[str, int]], again: int) -> list[Body]:
    """Return the notes of pieces that were looked at: one for each thing that was wrong, which together hold every piece once.

    >>> [(one["looked_at"], one["wrong"]) for one in defects_bodies("hone", 180, [("leaks", 6), ("scratched", 2)], 0)]
    [(178, 6), (2, 2)]
    """
    bad = sum(count for _, count in wrong)
    if bad > looked:
        raise CountError(
            f"{bad} of {looked} pieces", "cannot be", "at most as many not right as were looked at; each counts once"
        )
    if again > bad:
        raise CountError(f"{again} of {bad} done again", "cannot be", "at most as many as were not right")
    rest, left, bodies = looked - bad, again, []
    for what, count in wrong or [("", 0)]:
        part = min(left, count)
        body = {"step": step, "looked_at": count + rest, "wrong": count, "again": part, "what": what}
        bodies.append(_checked(DEFECTS, {name: value for name, value in body.items() if value != ""}))
        rest, left = 0, left - part
    return bodies


def _checked(kind: str, body: Body) -> Body:
    checked_note(kind, body)
    return body
