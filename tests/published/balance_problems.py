"""Published problems of balance: the smaller precedence graphs as they are printed, the others read where the collection is at hand.

Scholl 1993, "Data of assembly line balancing problems", Schriften zur Quantitativen Betriebswirtschaftslehre 16/93, TH Darmstadt, which says
for each graph who published it first: Mertens 1967, Bowman 1960, Jaeschke 1964, Jackson 1956, Mansoor 1964, Mitchell 1957, Sawyer 1970.
"""

from __future__ import annotations

import csv
import os
from functools import cache
from pathlib import Path

from pullwright.pull.balance.work import Element, Work

COLLECTION = (
    Path(os.environ.get("PULLWRIGHT_SHARED_DATA", str(Path(__file__).parents[3] / "shared" / "data"))) / "salbp"
)
WHY_SKIPPED = "the collection of Scholl 1993 is not beside the checkout"

PRINTED: dict[str, tuple[list[int], list[tuple[int, int]]]] = {
    "MERTENS": (
        [1, 5, 4, 3, 5, 6, 5],
        [(1, 2), (1, 4), (2, 3), (2, 5), (4, 7), (5, 6)],
    ),
    "BOWMAN8": (
        [11, 17, 9, 5, 8, 12, 10, 3],
        [(1, 2), (2, 3), (2, 4), (3, 5), (3, 6), (4, 6), (5, 7), (6, 8)],
    ),
    "JAESCHKE": (
        [5, 3, 4, 5, 4, 5, 1, 4, 6],
        [(1, 2), (1, 3), (2, 4), (3, 4), (4, 5), (4, 6), (4, 7), (5, 8), (6, 9), (7, 9), (8, 9)],
    ),
    "JACKSON": (
        [6, 2, 5, 7, 1, 2, 3, 6, 5, 5, 4],
        [(1, 2), (1, 3), (1, 4), (1, 5), (2, 6), (3, 7), (4, 7), (5, 7), (6, 8), (7, 9), (8, 10), (9, 11), (10, 11)],
    ),
    "MANSOOR": (
        [4, 38, 45, 12, 10, 8, 12, 10, 2, 10, 34],
        [(1, 4), (2, 4), (2, 5), (3, 11), (4, 6), (5, 7), (6, 8), (7, 9), (8, 10), (9, 10), (10, 11)],
    ),
    "MITCHELL": (
        [4, 3, 9, 5, 9, 4, 8, 7, 5, 1, 3, 1, 5, 3, 5, 3, 13, 5, 2, 3, 7],
        [
            (1, 2),
            (1, 3),
            (2, 21),
            (3, 4),
            (4, 5),
            (4, 21),
            (5, 6),
            (5, 7),
            (6, 8),
            (7, 8),
            (7, 14),
            (8, 9),
            (9, 10),
            (9, 11),
            (9, 12),
            (9, 13),
            (10, 15),
            (11, 15),
            (12, 15),
            (13, 17),
            (13, 18),
            (14, 19),
            (15, 16),
            (15, 18),
            (16, 17),
            (17, 20),
            (18, 19),
        ],
    ),
    "SAWYER30": (
        [8, 7, 19, 10, 2, 6, 14, 10, 1, 4, 14, 15, 5, 12, 9, 10, 2, 10, 18, 16, 21, 14, 16, 7, 17, 9, 25, 7, 14, 2],
        [
            (1, 4),
            (1, 5),
            (2, 11),
            (2, 12),
            (3, 16),
            (3, 17),
            (4, 7),
            (5, 6),
            (6, 7),
            (7, 8),
            (8, 9),
            (9, 26),
            (10, 24),
            (12, 13),
            (13, 14),
            (14, 15),
            (14, 20),
            (15, 22),
            (16, 20),
            (17, 18),
            (18, 19),
            (20, 21),
            (20, 24),
            (21, 22),
            (22, 23),
            (23, 27),
            (24, 25),
            (25, 26),
            (26, 27),
            (27, 28),
            (27, 29),
            (29, 30),
        ],
    ),
}
"""For each graph its times, and its arcs: which element comes right before which (counted from 1)."""


TABLE_2 = [
    ("MERTENS", {6: 6, 7: 5, 8: 5, 10: 3, 15: 2, 18: 2}),
    ("BOWMAN8", {20: 5}),
    ("JAESCHKE", {6: 8, 7: 7, 8: 6, 10: 4, 18: 3}),
    ("JACKSON", {7: 8, 9: 6, 10: 5, 13: 4, 14: 4, 21: 3}),
    ("MANSOOR", {48: 4, 62: 3, 94: 2}),
    ("MITCHELL", {14: 8, 15: 8, 21: 5, 26: 5, 35: 3, 39: 3}),
    ("SAWYER30", {25: 14, 27: 13, 30: 12, 33: 11, 36: 10, 41: 8, 47: 7, 54: 7, 75: 5}),
]
"""Scholl 1993, table 2 (after Talbot, Patterson & Gehrlein 1986): for each takt the fewest posts."""


@cache
def work_of(graph: str) -> Work:
    """A graph as work: elements are named by their numbers, times are seconds."""
    if graph in PRINTED:
        return _work(*PRINTED[graph])
    return _work(*read(graph))


def read(graph: str) -> tuple[list[int], list[tuple[int, int]]]:
    """Times and arcs of a graph of the collection; its end mark is -1,-1, and what follows it are words."""
    words = (COLLECTION / "scholl" / f"{graph}.IN2").read_text("latin-1").split()
    n = int(words[0])
    arcs = []
    for word in words[n + 1 :]:
        if word == "-1,-1":
            break
        before, after = word.split(",")
        arcs.append((int(before), int(after)))
    return [int(word) for word in words[1 : n + 1]], arcs


def _work(times: list[int], arcs: list[tuple[int, int]]) -> Work:
    after: dict[int, list[str]] = {}
    for a, b in arcs:
        after.setdefault(b, []).append(str(a))
    return Work.of(
        Element(str(i), float(time), tuple(dict.fromkeys(after.get(i, [])))) for i, time in enumerate(times, 1)
    )


def problems(file: str) -> list[dict[str, str]]:
    """The rows of a table of problems with what is known of them: `salbp1_scholl` (takt given), `salbp2_scholl` (posts given)."""
    if not COLLECTION.exists():
        return []
    with (COLLECTION / f"{file}.csv").open(encoding="utf-8") as rows:
        return list(csv.DictReader(rows))
