"""Names out of a log as a line file can hold them: printable, not too long, each one once."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from pullwright.line.words import LONGEST_NAME, sound_name


def safe_names(names: Iterable[str], *, otherwise: str) -> dict[str, str]:
    """A sound name for each name of a log; `otherwise` is what a name is called of which nothing can be read.

    >>> safe_names(["saw", "saw ", "", "a" * 200], otherwise="step")["saw "]
    'saw (2)'
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for name in names:
        if name in found:
            continue
        base = _readable(name) or otherwise
        made, k = base, 1
        while made.casefold() in taken or sound_name(made) is None:
            k += 1
            tail = f" ({k})"
            made = (base[: LONGEST_NAME - len(tail)].rstrip() + tail) if sound_name(base) else f"{otherwise}{tail}"
        taken.add(made.casefold())
        found[name] = made
    return found


def _readable(name: str) -> str:
    shown = "".join(
        letter if unicodedata.category(letter)[0] != "C" else " " for letter in unicodedata.normalize("NFC", name)
    )
    shown = re.sub(r"\s+", " ", shown.encode("utf-8", "ignore").decode("utf-8")).strip()
    if len(shown) > LONGEST_NAME:
        shown = shown[: LONGEST_NAME - 1].rstrip() + "…"
    return shown.strip("“”„‟«»‘’‚‛") if sound_name(shown) is None else shown


def safe_text(text: str, most: int = 1_500) -> str:
    """A text as a line file or a comment can hold it: on one line, printable, not too long."""
    shown = "".join(letter if unicodedata.category(letter)[0] != "C" else " " for letter in text)
    shown = re.sub(r"\s+", " ", shown.encode("utf-8", "ignore").decode("utf-8")).strip()
    return shown if len(shown) <= most else shown[: most - 1] + "…"


_MACHINE = re.compile(r"^(?P<step>.*\S)\s*[-–—:/,#(\[]?\s*\b(?:machine|station|line|cell|no\.?|nr\.?|maschine|platz|mc|m/c)\s*[-#.]?\s*\d+[a-z]?\s*[)\]]?$", re.IGNORECASE)  # fmt: skip
_NUMBER = re.compile(r"^(?P<step>.*[^\W\d].*?)\s*[-–—:/,#]\s*\d+[a-z]?$", re.IGNORECASE)


def steps_without_machines(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Which steps of a log are one step at several machines, because their names end with the machine?

    `pairs` are the (activity, station) pairs of the log. A name is cut where it ends with the number of a machine and
    each of the activities with the same beginning is done at a station of its own, or its beginning is a step already.
    Gives the names that are cut, with what they are then called; empty where the names are steps as they are.

    >>> steps_without_machines([("turn - machine 4", "M4"), ("turn - machine 5", "M5"), ("pack", "P")])
    {'turn - machine 4': 'turn', 'turn - machine 5': 'turn'}
    """
    stations: dict[str, set[str]] = {}
    for activity, station in pairs:
        stations.setdefault(activity, set()).add(station)
    groups: dict[str, list[str]] = {}
    for activity in stations:
        found = _MACHINE.match(activity) or _NUMBER.match(activity)
        if found:
            groups.setdefault(found["step"].rstrip(" -–—:/,#([").strip(), []).append(activity)
    merged: dict[str, str] = {}
    for step, activities in groups.items():
        where = [stations[activity] for activity in activities]
        apart = len(set().union(*where)) == sum(map(len, where)) and all(len(some) == 1 for some in where)
        if step and apart and len(activities) + (step in stations) > 1:
            merged.update(dict.fromkeys(activities, step))
    return merged
