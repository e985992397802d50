"""Why a day's plan is what it is, sentence by sentence."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.pull.sequence.again import Again
from pullwright.pull.sequence.day import Day, Uneven
from pullwright.pull.sequence.day_box import shown


@dataclass(frozen=True, slots=True)
class Background:
    """What the sentences need beside the day: what is asked for and what is even, in words; why this pitch; the most set-ups wished; what would be
    fullest if all were made, and how full (1: full); what was planned anew, where the day has begun."""

    asked: str
    instead: str
    pitch: str
    wish: int | None
    fullest: tuple[str, float]
    anew: Again | None


def sentences(day: Day, background: Background) -> tuple[str, ...]:
    """What is asked for, what fits, the box, the set-ups, the evenness, what changed."""
    said = [background.asked, *_left_over(day, background), background.instead]
    if day.slots:
        said += [
            _box(day, background.pitch, begun=background.anew is not None),
            *_set_ups(day, background),
            *_evenness(day),
        ]
    elif not day.left_over:
        said.append("Nothing is asked for: the box is empty.")
    if background.anew is not None:
        said += _anew(background.anew)
    return tuple(sentence for sentence in said if sentence)


def _left_over(day: Day, background: Background) -> list[str]:
    if not day.left_over:
        return []
    made = ", ".join(f"{n} {name}" for name, figure in day.made.items() if (n := round(figure.value)))
    name, load = background.fullest
    if background.anew is not None:
        why = "there is not time enough left"
    elif load > 1:
        why = f"{name} would be loaded to {100 * load:.0f} %" if load < float("inf") else f"{name} does not work then"
    else:
        why = f"{day.pacer} has too little time for the set-ups"
    over = ", ".join(f"{n} {name}" for name, n in day.left_over.items())
    does = f"what does fit is {made}" if made else "none of it can be made"
    wait = "waits" if sum(day.left_over.values()) == 1 else "wait"
    return [f"Not all of it fits the day, because {why}: {over} {wait} for another day; {does}."]


def _box(day: Day, pitch_why: str, *, begun: bool) -> str:
    assert day.takt is not None
    assert day.pitch is not None
    pieces, last = round(day.pitch_pieces.value), day.slots[-1]
    partly = (
        "" if last.full else f"; the last one, until {shown(last.end)}, holds {len(last.pieces)} of {last.room} pieces"
    )
    asked = f"{_pieces(pieces)} ({pitch_why}) {'is' if pieces == 1 else 'are'} asked for every {day.pitch.short()}"
    slots = "1 slot" if len(day.slots) == 1 else f"{len(day.slots)} slots"
    if begun:
        return f"From now on a piece comes every {day.takt.short()}: {asked}, until {shown(last.end)}."
    return f"With a takt of {day.takt.short()}, {asked}: {slots} from {shown(day.slots[0].start)} on{partly}."


def _set_ups(day: Day, background: Background) -> list[str]:
    if sum(1 for figure in day.made.values() if round(figure.value)) == 1:
        return ["Only one product is made, so there is nothing to mix and nothing to set up for."]
    number, lots = round(day.set_ups.value), round(day.set_ups_in_lots.value)
    if day.pacer is None:
        said = ["No step that makes several products has a set-up, so changing from product to product costs no time."]
    else:
        over = "over the whole day " if background.anew else ""
        said = [
            f"The sequence is given to {day.pacer}, the last step with set-ups: {over}it changes {_times(number)}, {day.set_up_time.short()} "
            f"in all; in lots as today {_times(lots)}, {day.set_up_time_in_lots.short()}."
        ]
    if day.trade_off and background.anew is None and (free := day.trade_off[-1]).set_ups > number:
        wish = background.wish
        why = (
            f"{day.pacer} has no time for more" if wish is None or number < wish else f"at most {_set_up(wish)} wished"
        )
        gain = f"{free.squares:.3g} in place of {day.squares:.3g} squared pieces"
        said.append(f"The most even sequence changes {_times(free.set_ups)} ({gain}), but {why}.")
    return said


def _evenness(day: Day) -> list[str]:
    kind = "part" if day.by == "parts" else "product"
    rows = [row for row in day.uneven if row.kind == kind]
    if len(rows) < 2 and kind == "product":
        return []
    worst: Uneven = max(rows, key=lambda row: row.largest.value)
    now, lots, best = worst.largest.value, worst.largest_in_lots.value, worst.largest_at_best.value
    proof = "no sequence with as many set-ups is more even over all places"
    if day.done or day.frozen:
        proof = "no order of the rest with as many set-ups is more even"
    if not day.proven:
        gap = 100 * (1 - day.at_least / day.squares)
        proof = f"another sequence might be more even, by at most {gap:.0f} % of the squares"
    other = f"in lots {lots:.2g}, in the most even sequence {best:.2g}"
    off = "1 piece" if f"{now:.2g}" == "1" else f"{now:.2g} pieces"
    return [f"{worst.name} is off its even course by {off} at most ({other}); {proof}."]


def _anew(anew: Again) -> list[str]:
    done, kept = len(anew.done), len(anew.frozen)
    stays = [f"{_pieces(done)} done" if done else "", f"the next {_pieces(kept)}" if kept else ""]
    both = " and ".join(words for words in stays if words)
    first = f"{both[0].upper()}{both[1:]} stay as they are." if both else "Nothing is done yet."
    return [first, *(sentence for sentence in anew.told if "no longer fit" not in sentence)]


def _pieces(n: int) -> str:
    return "1 piece" if n == 1 else f"{n} pieces"


def _set_up(n: int) -> str:
    return "1 set-up is" if n == 1 else f"{n} set-ups are"


def _times(n: int) -> str:
    return {0: "never", 1: "once"}.get(n, f"{n} times")
