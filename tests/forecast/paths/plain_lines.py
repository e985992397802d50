"""Plain lines of every sort, made at random: stations, shapes of times, stores, cards, caps, schedules, stock, ways, machines, breakdowns."""

from __future__ import annotations

import re
from random import Random

from tests.forecast.small_lines import line_text

LAWS = (
    "distribution: exponential", "cv: 0.4, distribution: lognormal", "cv: 1.3, distribution: lognormal", "cv: 0.5, distribution: gamma",
    "cv: 0.7, distribution: weibull", "cv: 0.3, distribution: triangular", "cv: 0",
)  # fmt: skip


def plain_text(seed: int) -> str:
    """The text of a plain line; the same for the same seed."""
    rng = Random(seed)  # noqa: S311 - nothing secret
    many = rng.randint(1, 6)
    machines = [rng.choice((1, 1, 1, 2, 3)) for _ in range(many)]
    means = [rng.uniform(30, 60) * m for m in machines]
    spare = sum(m - 1 for m in machines)
    steps = [_work(rng, mean, m) for mean, m in zip(means, machines, strict=True)]
    for k in range(many):
        steps[k] += _release(rng, k, many, spare)
    rows, full = [], False
    for k in range(1, many):
        if rng.random() < 0.6:
            room = rng.choice((0, 0, 1, 1, 2, 3, 5))
            rows.append(
                f"{{before: t{k}, capacity: {room}, counted: {_on_cards(steps[k - 1], rng.choice((0, 0, room)))}}}"
            )
        elif rng.random() < 0.3:
            rows.append(f"{{before: t{k}, counted: {_on_cards(steps[k - 1], rng.randint(0, 6))}}}")
    if rng.random() < 0.4:
        room = rng.choice((None, 1, 4))
        full, lie = room is not None, _on_cards(steps[-1], rng.randint(0, room or 9))
        rows.append(f"{{after: t{many - 1}, counted: {lie}{'' if room is None else f', capacity: {room}'}}}")
    stations = [f"machines: {m}" for m in machines]
    for k in range(many):
        if machines[k] == 1 and rng.random() < 0.2:
            stations[k] += ", breakdowns: {between: 50 min, repair: {mean: 4 min, cv: 0.8}}"
    more = f"stores: [{', '.join(rows)}]\n" if rows else ""
    ways = [
        f"{{from: t{k}, to: {f't{k + 1}' if k + 1 < many else 'shipping'}, distance: {rng.randint(5, 60)} m, speed: 1 m/s}}"
        for k in range(many)
        if rng.random() < 0.2 and (k + 1 < many or not full)
    ]
    more += f"moves: [{', '.join(ways)}]\n" if ways else ""
    if rng.random() < 0.3:
        more += f"people: [{{name: hands, number: {2 * sum(machines)}}}]\n"
    load = rng.choice((0.5, 0.9, 1.3))
    demand = f"{{mean: {load * 28_800 / 60:.1f} /d, cv: {rng.choice((0, 0.5, 1, 1, 1.7))}}}"
    return line_text(steps, demand=demand, more=more, stations=stations)


def _on_cards(step: str, pieces: int) -> int:
    """As many of these pieces as lie on whole cards of the step that made them."""
    cards = re.search(r"cards: (\d+), per_card: (\d+)", step)
    return pieces if cards is None else min(pieces // int(cards[2]), int(cards[1])) * int(cards[2])


def _work(rng: Random, mean: float, machines: int) -> str:
    law = rng.choice(LAWS)
    time = f"{{mean: {mean:.3f} s, {law}}}"
    kind = rng.random()
    if kind < 0.6:
        return f"machine: {time}, people: 0"
    if kind < 0.7:
        return f"manual: {time}"
    if kind < 0.8:
        return f"manual: {{mean: {mean / 3:.3f} s}}, machine: {{mean: {mean / 2:.3f} s, {law}}}, watched: 30 %"
    return (
        "elements: [{what: load, kind: needed, manual: {mean: 8 s}}, {what: run, kind: value, machine: {mean: "
        f"{mean / 2:.3f} s, {law}}}}}, {{what: unload, kind: needed, manual: {{mean: 6 s}}}}]"
    )


def _release(rng: Random, k: int, many: int, spare: int) -> str:
    chance = rng.random()
    if chance < (0.4 if k == 0 else 0.8):
        return ""
    kind = rng.choice(("cards", "cap", "push", "order"))
    if kind == "cards":
        per = rng.choice((1, 1, 2, 3))
        return f", release: {{by: cards, cards: {rng.randint(1, 4) + spare}, per_card: {per}}}"
    if kind == "cap":
        return f", release: {{by: cap, limit: {rng.randint(1, 6) + spare}, until: t{rng.randint(k, many - 1)}}}"
    if kind == "push":
        return f", release: {{by: push, rate: {rng.choice((300, 450, 600))} /d}}"
    return ", release: {by: order}"
