"""Names that mean the same and are written in several ways: proposed to be taken as one, for a person to decide."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

SPELT: tuple[str, ...] = ("activity", "station", "product", "person")
"""The columns whose names are looked at; orders are numbers that nobody misspells into another one's."""
MOST_COMPARED = 20_000
"""So many different names are compared letter by letter; of more, only blanks, case and punctuation are."""
SHORTEST = 5
"""Names shorter than that differ by one letter because they are different."""
RARE = 0.1
"""A slip of the pen is at most so often as the name that was meant."""

_DIGITS = re.compile(r"\d+")
_NOT_WORD = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class Spelling:
    """One name in several spellings: the commonest one, and the others that are taken to mean it."""

    role: str
    name: str
    others: tuple[str, ...]


def spellings(role: str, counts: Mapping[str, int]) -> tuple[Spelling, ...]:
    """Which of these names mean the same?

    Parameters: `role`, a row of `SPELT`; `counts`, how often each name comes. Names are alike that differ only in upper
    and lower case, blanks, punctuation and accents; and, for steps, stations and products, rare ones that are one letter
    away from a common one (inserted, left out, changed, or two changed places). Numbers are never taken for one another:
    "machine 4" is not "machine 7".

    >>> spellings("station", {"Lathe 1": 40, "lathe  1": 2, "Lathe 2": 30, "Lahte 2": 1})
    (Spelling(role='station', name='Lathe 1', others=('lathe  1',)), Spelling(role='station', name='Lathe 2', others=('Lahte 2',)))
    """
    plain: dict[str, list[str]] = defaultdict(list)
    for name in counts if len(counts) <= MOST_COMPARED else _suspects(counts):
        plain[_plain(name)].append(name)
    groups = {key: sorted(names, key=lambda name: (-counts[name], name)) for key, names in plain.items() if key}
    total = {key: sum(counts[name] for name in names) for key, names in groups.items()}
    meant: dict[str, str] = {}
    if role != "person" and len(counts) <= MOST_COMPARED:
        meant = _slips(total)
    joined: dict[str, list[str]] = defaultdict(list)
    for key in groups:
        top = key
        while top in meant:
            top = meant[top]
        joined[top].append(key)
    found = []
    for top, keys in joined.items():
        names = [name for key in (top, *(key for key in keys if key != top)) for name in groups[key]]
        if len(names) > 1:
            found.append(Spelling(role, names[0], tuple(names[1:])))
    return tuple(sorted(found, key=lambda one: one.name))


def merges_of(found: Iterable[Spelling]) -> dict[str, dict[str, str]]:
    """The spellings as a plain table: role to spelling to the name that it is taken for."""
    merges: dict[str, dict[str, str]] = {}
    for one in found:
        merges.setdefault(one.role, {}).update(dict.fromkeys(one.others, one.name))
    return merges


def _suspects(names: Iterable[str]) -> Sequence[str]:
    """Of very many names those that share their letters and digits with another one, noughts and accents left out."""
    import polars as pl

    table = pl.DataFrame({"name": list(names)})
    bare = pl.col("name").str.to_lowercase().str.normalize("NFKD").str.replace_all(r"[^\p{L}\p{Nd}]|0", "")
    return table.filter(bare.is_duplicated())["name"].to_list()


def _plain(name: str) -> str:
    """A name without case, accents, blanks and punctuation; numbers stay apart from their neighbours."""
    bare = name
    if not name.isascii():
        bare = "".join(letter for letter in unicodedata.normalize("NFKD", name) if not unicodedata.combining(letter))
    return _NOT_WORD.sub("", _DIGITS.sub(_apart, bare.casefold()))


def _apart(found: re.Match[str]) -> str:
    """A number between marks that are letters to the pattern: "1 12" and "11 2" stay two."""
    return f"ǀ{found[0].lstrip('0')}ǀ"


def _slips(total: Mapping[str, int]) -> dict[str, str]:
    """Rare names that are one letter away from a common one: each with the name that was meant."""
    near: dict[str, set[str]] = defaultdict(set)
    for key in total:
        if len(key) >= SHORTEST:
            for shorter in _without_one(key):
                near[shorter].add(key)
            near[key].add(key)
    meant: dict[str, str] = {}
    for key, count in sorted(total.items(), key=lambda item: item[1]):
        if len(key) < SHORTEST:
            continue
        others = {other for shorter in (key, *_without_one(key)) for other in near.get(shorter, ())} - {key}
        fitting = [
            other for other in others
            if count <= RARE * total[other] and _DIGITS.findall(other) == _DIGITS.findall(key) and _one_apart(key, other)
        ]  # fmt: skip
        if fitting:
            meant[key] = max(fitting, key=lambda other: (total[other], other))
    return meant


def _without_one(key: str) -> Sequence[str]:
    return [key[:at] + key[at + 1 :] for at in range(len(key))]


def _one_apart(one: str, other: str) -> bool:
    """Do two names differ by one letter more, less or other, or by two neighbours that changed places?"""
    if abs(len(one) - len(other)) > 1:
        return False
    head = next((at for at, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    one, other = one[head:], other[head:]
    if len(one) == len(other):
        return one[1:] == other[1:] or (one[:2] == other[1::-1] and one[2:] == other[2:])
    longer, shorter = (one, other) if len(one) > len(other) else (other, one)
    return longer[1:] == shorter
