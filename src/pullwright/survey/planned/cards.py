"""The chapter of the cards: how many go round in each loop, by the rule and by the swings, and what explains the difference."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.pull.cards.card import Card, Cards
from pullwright.pull.cards.compared import compared
from pullwright.pull.cards.explained import REASONS
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable


def told_cards(plan: PullPlan) -> Chapter:
    """How many cards and containers go round, and why so many?"""
    cards = plan.cards
    loops = [card for card in cards.loops if card.cards]
    crowded = [card for card in loops if card.fits is False]
    return Chapter(
        key="cards",
        title="Cards and containers",
        sentence=_sentence(cards, loops, crowded),
        look=bool(crowded or cards.refused),
        tables=tuple(_tables(cards)),
        reasons=(*cards.refused, *cards.says, *_with_the_lots(plan)),
        changes=cards.changes,
    )


def _with_the_lots(plan: PullPlan) -> tuple[str, ...]:
    """How many cards there would be if the lots of the plan were taken too."""
    now, then = (sum(card.cards for card in cards.loops) for cards in (plan.cards, plan.cards_for_planned_lots))
    if now == then:
        return ()
    return (
        f"These cards are for the lots as they are. With the lots of this plan they would be {then} instead of {now}; whoever takes both gets those.",
    )


def _sentence(cards: Cards, loops: list[Card], crowded: list[Card]) -> str:
    if not loops:
        return "No cards are needed: nothing is pulled." if not cards.refused else cards.refused[0]
    number = sum(card.cards for card in loops)
    said = f"{number} cards in {len(loops)} loops keep what is pulled on the shelf."
    if cards.whole_flow and cards.capped is not None:
        said = f"One cap of {cards.capped.cap} pieces holds the whole flow; beside it stand the loops that it replaces."
    if cards.refused:
        said += f" {cards.refused[0]}"
    if crowded:
        places = list(dict.fromkeys(card.place for card in crowded))
        said += f" They do not fit {', '.join(places[:3])}{' and elsewhere' if len(places) > 3 else ''}."
    return said


def _tables(cards: Cards) -> list[PlanTable]:
    found = [
        PlanTable(
            "Loops of cards",
            ("pieces each", "cards", "by the rule", "met from the shelf", "lead time", "pieces on the cards", "room"),
            tuple(_rows(cards)),
            ("Cards: the fewest with which the wished share of what is asked for is met from the shelf, as demand and lead time swing.",),
        )
    ]  # fmt: skip
    apart = [card for card in cards.loops if card.cards and card.cards != card.by_rule]
    if apart:
        found.append(
            PlanTable(
                "Why the swings ask for other cards than the rule",
                tuple(reason.words for reason in REASONS),
                tuple(PlanRow(card.name, tuple(card.reasons)) for card in apart),
                tuple(compared(card.by_rule, card.cards, None, place=card.name) for card in apart[:3]),
                behind=True,
            )
        )
    signals = [card for card in cards.loops if card.signal is not None]
    if signals:
        found.append(
            PlanTable(
                "Signals of those who make lots", ("what hangs on the pile",),
                tuple(PlanRow(card.name, (card.signal.says,)) for card in signals if card.signal is not None),
            )
        )  # fmt: skip
    if cards.capped is not None:
        capped = cards.capped
        found.append(
            PlanTable(
                "One cap in place of the loops of the main flow", ("pieces",),
                (
                    PlanRow("cap by mean value analysis, with lots and ways", (capped.by_mean_values,)),
                    PlanRow("by the practical worst case", (capped.by_practical_worst,)),
                    PlanRow("if nothing varied", (capped.critical,)),
                ),
                capped.says,
            )
        )  # fmt: skip
    found.append(
        PlanTable(
            "Why so many, loop by loop",
            ("why",),
            tuple(PlanRow(card.name, (" ".join(card.says),)) for card in cards.loops),
            behind=True,
        )
    )
    return found


def _rows(cards: Cards) -> Iterator[PlanRow]:
    """One row a loop; what does not fit is marked once for each place, with what lies there of all its loops."""
    marked: set[str] = set()
    for card in cards.loops:
        look, below = "", card.kind_words
        if card.fits is False and card.room is not None:
            there = f"{card.crowd} pieces {card.place}, room for {card.room.short()}"
            look, below = (
                ("", f"{below}; see above {card.place}") if card.place in marked else (f"does not fit: {there}", below)
            )
            marked.add(card.place)
        met = card.met if card.cards else None
        cells = (card.loop.holds, card.stochastic, card.rule, met, card.loop.lead.mean, card.pieces, card.room)
        yield PlanRow(card.name, cells, look, below)
