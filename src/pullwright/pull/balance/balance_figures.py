"""A balance as figures: rounds and loads made from the times of the elements, so that each of them answers why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pullwright.figure import Figure, Source, derive, given
from pullwright.pull.balance.rounds_at_posts import WishedBalance


@dataclass(frozen=True)
class BalanceFigures:
    """The numbers of a balance: `takt` and `work` of a piece (s), how many posts and people, efficiency and loss, and each post's round (s) and load.

    `loss`: the share of the people's time at the posts that is no work: idle, walking between elements, kept free for bad luck.
    """

    takt: Figure
    work: Figure
    number: Figure
    people: Figure
    efficiency: Figure
    loss: Figure
    rounds: tuple[Figure, ...]
    loads: tuple[Figure, ...]
    times: Mapping[str, Figure]

    def all(self) -> dict[str, Figure]:
        """All figures by name, in the order in which they are read."""
        named = [self.takt, self.work, self.number, self.people, self.efficiency, self.loss]
        named += [figure for pair in zip(self.loads, self.rounds, strict=True) for figure in pair]
        return {figure.name: figure for figure in [*named, *self.times.values()]}


def balance_figures(balance: WishedBalance, takt: Figure, times: Mapping[str, Figure]) -> BalanceFigures:
    """What does a balance come to, and what are its numbers made from? `times`: the time of each element (s) by name."""
    proven = "no balance has fewer posts" if balance.proven else "not proven to be the fewest"
    searched = Source("computed", f"found by {balance.by}; {proven}")
    number = given("posts of the balance", float(len(balance.posts)), "1", searched, note=" ".join(balance.reasons))
    people = given("people at the posts", float(balance.people), "persons", searched)
    work = derive("work of a good unit", lambda *t: sum(t), *times.values(), unit="s", formula="sum of all elements")
    efficiency = derive(
        "efficiency of the balance", lambda w, n, t: w / (n * t), work, people, takt, unit="share",
        formula="work of a good unit / (people at the posts x takt)",
    )  # fmt: skip
    loss = derive("balance loss", lambda e: 1 - e, efficiency, unit="share", formula="1 - efficiency of the balance")
    rounds = tuple(round_figure(balance, k, times) for k in range(len(balance.rounds)))
    loads = tuple(
        derive(f"load of the round / post {k + 1}", lambda r, t: r / t, one, takt, unit="share", formula="round / takt")
        for k, one in enumerate(rounds)
    )
    return BalanceFigures(takt, work, number, people, efficiency, loss, rounds, loads, times)


def round_figure(balance: WishedBalance, k: int, times: Mapping[str, Figure], of: str = "") -> Figure:
    """How long is the round of one post (counted from 0), made from its elements? `of`: words behind its name, where several balances stand side by side."""
    one, tail = balance.rounds[k], f"post {k + 1}{of}"
    name = f"round / {tail}"
    if not one.elements:
        return given(name, 0.0, "s", Source("computed", "nothing is done at this post"))
    if balance.conditions.people_at_a_post > 1:
        said = "the shortest schedule of its people on one piece that was found"
        return given(name, one.length, "s", Source("computed", said))
    own = [times[element] for element in one.elements]
    figures = list(dict.fromkeys(own))
    count = [sum(figure is time for time in own) for figure in figures]
    extra = [
        given(f"{what} / {tail}", seconds, "s", Source("computed", words))
        for what, seconds, words in (
            (
                "walking in the round",
                one.walking,
                "the shortest walk through the places of the round, back to its start",
            ),
            ("kept free in the round", one.kept_free, "so that the round keeps the takt often enough"),
        )
        if abs(seconds) > 0
    ]
    words = "sum of its elements" + "".join(f" + {figure.name.split(' in the')[0]}" for figure in extra)
    weights = [*count, *(1 for _ in extra)]
    return derive(name, lambda *t: sum(n * s for n, s in zip(weights, t, strict=True)), *figures, *extra, unit="s", formula=words)  # fmt: skip
