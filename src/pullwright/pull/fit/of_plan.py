"""Does the plan fit the floor, the people and the cash that there are? If not: the smallest changes that make it fit, each priced."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pullwright.account.ground import Ground
from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.line.faults import Path
from pullwright.pull.changes import Change
from pullwright.pull.crew.line_skills import LineSkills, skills_of_line
from pullwright.pull.crew.training import taught_enough
from pullwright.pull.fit.hands import CARRYING, UNSKILLED, WORK, Hands, hands_of, time_of_one
from pullwright.pull.fit.of_means import lessons, more_cash, more_floor, more_people
from pullwright.pull.fit.of_stock import deliver_more_often, smaller_lots, take_away, use_up
from pullwright.pull.fit.possible import PossibleChange
from pullwright.pull.fit.purse import purse_of
from pullwright.pull.fit.room import room_of
from pullwright.pull.fit.side import Asks, FitRow, Side, instead_of
from pullwright.pull.fit.smallest_changes import Choice, Chosen, Option, smallest_changes

__all__ = ["Asks", "ChangeSet", "Fit", "FitRow", "PossibleChange", "Side", "fit_of", "possible_of_line"]


@dataclass(frozen=True)
class ChangeSet:
    """A set of changes, each with how many of it are made, and what they give and cost together.

    `floor` (m2), `people` (persons), `cash` (money); `yearly` (money/year) of those with a known price, `unpriced` the names of the others.
    `still_short`: sides that are short in spite of it, in their own units. `proven`: no better set exists.
    """

    made: tuple[tuple[PossibleChange, int], ...]
    floor: Figure
    people: Figure
    cash: Figure
    yearly: Figure
    unpriced: tuple[str, ...]
    still_short: dict[str, float]
    proven: bool

    @property
    def changes(self) -> tuple[Change, ...]:
        """What changes in the line file; entries are taken out from the last one on, so that the others keep their place."""
        found: dict[Path, Change] = {}
        for change in (change for possible, times in self.made for change in possible.written(times)):
            before = found.get(change.path)
            if before is not None and isinstance(before.written, list) and isinstance(change.written, list):
                # Two lessons of one crew write to one list of skills.
                both = list(dict.fromkeys([*before.written, *change.written]))
                change = replace(before, written=both)
            found[change.path] = change
        kept = [change for change in found.values() if change.written is not None]
        out = [change for change in found.values() if change.written is None]
        return (*kept, *sorted(out, key=lambda change: [str(part).zfill(6) for part in change.path], reverse=True))


@dataclass(frozen=True)
class Fit:
    """Does it fit? The three sides, and what to do where one of them is short.

    `fits`: None where nobody has said what there is of something, and what is known fits. `cheapest` and `fewest`: sets of changes with which
    all of it fits; `nearest` where there is none. `possible`: what was looked at; `left_out`: names of changes to a stock for which the plan stands.
    """

    asks: tuple[Asks, ...]
    floor: Side
    people: Side
    cash: Side
    fits: bool | None
    cheapest: ChangeSet | None
    fewest: ChangeSet | None
    nearest: ChangeSet | None
    possible: tuple[PossibleChange, ...]
    left_out: tuple[str, ...]
    sentences: tuple[str, ...] = ()

    @property
    def sides(self) -> tuple[Side, ...]:
        """Floor, people, cash."""
        return (self.floor, self.people, self.cash)

    def figures(self) -> dict[str, Figure]:
        """Give all figures of the fit by name."""
        found: list[Figure] = []
        for side in self.sides:
            found += [*((side.there,) if side.there else ()), *(row.amount for row in side.rows), side.taken]
            found += [side.left] if side.left else []
        for made in (self.cheapest, self.fewest, self.nearest):
            found += [made.floor, made.people, made.cash, made.yearly] if made else []
        for one in self.possible:
            found += [figure for figure in (one.floor, one.people, one.cash, one.yearly) if figure is not None]
        return {figure.name: figure for figure in found}


def possible_of_line(flow: Flow, ground: Ground | None = None) -> tuple[PossibleChange, ...]:
    """What can always be done so that a plan fits?

    Red-tagged things are taken away; stock beyond need is used up; parts come more often; lots are smaller (the flow is worked out anew for each); one
    more person in a crew; a lesson, where a crew is short; a loan; a deposit; terms of customers and suppliers; more floor. Every one says
    what it takes for granted; its price is None where the line file does not say what it costs.
    """
    ground = Ground(flow) if ground is None else ground
    line = _skills(flow, ground)
    return (
        *take_away(ground),
        *use_up(ground),
        *deliver_more_often(ground),
        *smaller_lots(ground),
        *more_people(ground),
        *(_once(lessons(ground, line)) if line is not None else ()),
        *more_cash(ground),
        *more_floor(ground),
    )


def fit_of(flow: Flow, asks: Sequence[Asks], possible: Sequence[PossibleChange], ground: Ground | None = None) -> Fit:
    """Does the plan fit, and what are the smallest changes if it does not?

    Parameters: the flow of the line; what each part of the plan asks for (nothing: today's way of working); what could be done (`possible_of_line`
    gives what always can); the `ground` of the accounts where that is laid already. What the asks do not stand for counts as it is today. BadPlanInput for asks that stand for what is not
    there, two asks for the same, and changes that are called the same.
    """
    from pullwright.pull.fit.said import sentences_of

    ground = Ground(flow) if ground is None else ground
    line = _skills(flow, ground)
    known = [*(stock.words for stock in ground.stocks), WORK, CARRYING]
    instead = instead_of(asks, known)
    room, purse = room_of(ground, asks, instead["floor"]), purse_of(ground, asks, instead["cash"])
    hands = hands_of(ground, line, asks, instead["people"])
    planned = instead["floor"] | instead["cash"]
    usable = tuple(one for one in possible if not planned.intersection(one.stocks))
    sides = (room, hands.side, purse)
    short = any(side.short > 0 for side in sides)
    choice = _choice(flow, ground, line, hands, sides, usable) if short else Choice(None, None, None)
    unknown = any(side.left is None for side in sides)
    fit = Fit(
        asks=tuple(asks),
        floor=room,
        people=hands.side,
        cash=purse,
        fits=False if short else None if unknown else True,
        cheapest=_change_set("cheapest", choice.cheapest, usable),
        fewest=_change_set("fewest", choice.fewest, usable),
        nearest=_change_set("nearest", choice.nearest, usable),
        possible=usable,
        left_out=tuple(one.name for one in possible if planned.intersection(one.stocks)),
    )
    return replace(fit, sentences=sentences_of(flow, fit))


def _skills(flow: Flow, ground: Ground) -> LineSkills | None:
    """The skills of the line, with what nobody can do taken as taught; None where no people are given."""
    line = skills_of_line(flow, ground)
    if line.assumed:
        return None
    return LineSkills(taught_enough(line.skills)[0], line.content, line.steps, line.away, line.assumed)


def _once(found: Iterable[PossibleChange]) -> tuple[PossibleChange, ...]:
    """Each change once, although several sets of crews may ask for it."""
    return tuple({one.name: one for one in found}.values())


SIDES = ("floor", "people", "cash")


def _choice(
    flow: Flow,
    ground: Ground,
    line: LineSkills | None,
    hands: Hands,
    sides: Sequence[Side],
    usable: Sequence[PossibleChange],
) -> Choice:
    """The needs are the three sides, as far as it is known what there is, and every set of crews with work that only it can do."""
    short = {side.name: -side.left.value if not side.short else side.short for side in sides if side.left is not None}
    if hands.bounds:
        # By skill, and all together without those who are free where they cannot help.
        taken = sum(row.amount.value for row in hands.side.rows if row.words != UNSKILLED)
        short["people"] = taken - (hands.side.there.value if hands.side.there else 0.0)
    short |= {f"crews {bound.crews}": lacking for bound, lacking in zip(hands.bounds, hands.lacking, strict=True)}
    factor = time_of_one(ground).value / flow.day.value if flow.day.value else 1.0
    options = []
    for one in usable:
        gives = {
            name: figure.value
            for name, figure in (("floor", one.floor), ("people", one.people), ("cash", one.cash))
            if figure is not None and name in short
        }
        if line is not None:
            gives |= _by_skill(one, line, hands, flow.takt.value, factor)
        options.append(Option(one.name, gives, None if one.yearly is None else one.yearly.value, one.most, one.group))
    return smallest_changes(short, options)


def _by_skill(one: PossibleChange, line: LineSkills, hands: Hands, takt: float, factor: float) -> dict[str, float]:
    """What a change gives to each set of crews, in people who are there as long as the line works."""
    skills, gives = line.skills, {}
    for bound in hands.bounds:
        names = {skills.crews[c] for c in bound.crews}
        tasks = {skills.names[t] for t in bound.tasks}
        amount = 0.0
        if one.crew:
            amount = skills.hands[skills.crews.index(one.crew)].there if one.crew in names else 0.0
        elif one.teaches is not None:
            crew, task = one.teaches
            amount = skills.tasks[skills.names.index(task)].time / takt if task in tasks and crew not in names else 0.0
        elif one.people is not None and (not one.step or one.step in tasks):
            amount = one.people.value * factor
        if amount:
            gives[f"crews {bound.crews}"] = amount
    return gives


def _change_set(words: str, chosen: Chosen | None, usable: Sequence[PossibleChange]) -> ChangeSet | None:
    if chosen is None:
        return None
    made = tuple((one, chosen.times[one.name]) for one in usable if one.name in chosen.times)

    def together(side: str, unit: str) -> Figure:
        pairs = [(getattr(one, side), times) for one, times in made if getattr(one, side) is not None]
        name = f"fit / {words} / {side}"
        if not pairs:
            return nothing(name, unit, "none of these changes gives or takes any")
        counts = [times for _, times in pairs]
        return derive(
            name, lambda *each: sum(n * one for n, one in zip(counts, each, strict=True)), *(figure for figure, _ in pairs), unit=unit,
            formula=" + ".join(f"{n} x {figure.name}" if n > 1 else figure.name for (figure, n) in pairs),
        )  # fmt: skip

    still = {need: -left for need, left in chosen.left.items() if left < -2e-3}
    lacking = {side: still[side] for side in SIDES if side in still}
    if by_skill := [amount for need, amount in still.items() if need not in SIDES]:
        lacking["people"] = max(lacking.get("people", 0.0), *by_skill)
    return ChangeSet(
        made, together("floor", "m2"), together("people", "persons"), together("cash", "money"),
        together("yearly", "money/year"), chosen.unpriced, lacking, chosen.proven,
    )  # fmt: skip
