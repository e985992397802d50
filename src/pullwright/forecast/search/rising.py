"""Does more never do worse? Where the theory says so, most settings need no runs; where it does not, why not."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.forecast.search.knob import Knob
from pullwright.forecast.search.promises import Promise
from pullwright.line import Line

HELPS = ("cards", "cap", "room before", "room after", "machines", "cash")
"""Kinds of knobs of which more never does worse on a plain line."""


def reasons_against(line: Line, knobs: Sequence[Knob], promises: Sequence[Promise]) -> tuple[str, ...]:
    """Why may a setting with larger values keep a promise less well? Empty where it cannot.

    More cards, room or machines never end a piece later where pieces of one kind keep their order, work waits for nothing but machines and room, and each
    piece is handed on by itself (Shanthikumar & Yao 1989, Monotonicity and concavity properties in cyclic queueing networks with finite buffers).
    Cash bears on nothing but the chance to run dry.
    """
    found = []
    if other := [knob.name for knob in knobs if knob.kind not in HELPS]:
        found.append(f"more may do worse: {', '.join(other)}")
    if all(knob.kind == "cash" for knob in knobs):
        return tuple(found)
    if less := [one.measure for one in promises if one.measure not in ("on time", "throughput")]:
        found.append(f"more of it may make worse: {', '.join(dict.fromkeys(less))}")
    if len(line.products) > 1:
        found.append("several products share the way, and get in each other's")
    if line.people and sum(step.people > 0 for step in line.steps) > 1:
        found.append("steps share people, who may be busy at the wrong one")
    stations = [name for step in line.steps for name in (step.station, *(one.station for one in step.also_at))]
    if len(stations) != len(set(stations)):
        found.append("steps share a station")
    handed_on = [step.transfer_lot or step.smallest_lot or 1 for step in line.steps] + [
        move.batch for move in line.moves
    ]
    if max(handed_on) > 1:
        found.append("pieces are handed on several at a time")
    if any(loop.signal > 1 for step in line.steps for loop in (step.release.loops if step.release else ())):
        found.append("cards are gathered to a signal")
    if any(step.rework is not None and step.rework.to is not None for step in line.steps):
        found.append("pieces go back to an earlier step")
    used = [use.part for product in line.products for use in product.uses]
    if len(used) != len(set(used)):
        found.append("steps share a bought part")
    if line.pressure is not None:
        found.append("people make more defects under pressure")
    return tuple(found)
