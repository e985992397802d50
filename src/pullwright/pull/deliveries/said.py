"""What is said of the deliveries, in plain sentences: how it is today, what is planned and why, what is not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from pullwright.figure import Figure, number_text, percent
from pullwright.flow import Flow
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms
from pullwright.pull.deliveries.bringing import by_supplier, most_a_week, usable_trips
from pullwright.pull.deliveries.laid_out import LaidOut
from pullwright.pull.deliveries.rhythm import in_containers

SHOWN = 0.0005
"""A share below this is not worth a word."""


@dataclass(frozen=True, slots=True)
class Missing:
    """Something that the line file does not say: `what`, with the field, and what it `would` change."""

    what: str
    would: str

    def __str__(self) -> str:
        return f"{self.what}: {self.would}."


def pieces(number: float) -> str:
    """A number of pieces as it is said: whole."""
    return number_text(number, 0)


def _whole(number: float) -> str:
    return pieces(ceil(number - 1e-9))


def names(words: Sequence[str]) -> str:
    """Join names as in a sentence.

    >>> names(["tube", "bar", "spout"])
    'tube, bar and spout'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def amount(figure: Figure, currency: str) -> str:
    """An amount of money as it is said, without its sign and what it is counted for."""
    return figure.short(currency).rpartition("/")[0].lstrip("\u2212") if "/" in figure.unit else figure.short(currency)


def today_says(part: AskedPart, today: LaidOut) -> str:
    """How does a part come today, and what becomes of what does not fit?"""
    lot, there, share = today.lot.value, today.on_arrival.value, today.share.value
    if part.room is None:
        return f"{part.name}: {pieces(lot)} come at once; how many fit is not known."
    begins = f"{part.name}: {pieces(lot)} come at once and {pieces(part.room.value)} fit"
    if _fits(part, lot, there):
        beside = f", with the {pieces(there)} that still lie there" if there >= 0.5 else ""
        swings = f"; in the swings of the use {percent(share)} do not" if share >= SHOWN else ""
        return f"{begins}{beside}{swings}."
    goes = "find no room" if part.distance is None else f"are carried {part.distance.short()} away and back"
    unknown = "; nobody has said where they go" if part.distance is None else ""
    alone = max(lot - part.room.value, 0.0) / lot
    if alone < SHOWN:
        return f"{begins} alone, but {pieces(there)} still lie there: {percent(share)} {goes}{unknown}."
    more = f", and {percent(share)} with the {pieces(there)} that still lie there" if there >= 0.5 else ""
    return f"{begins}: {percent(alone)} {goes}{more}{unknown}."


def planned_says(flow: Flow, part: AskedPart, today: LaidOut, planned: LaidOut, most: float) -> str:
    """How is a part to come, and why? `most`: the smallest lot that the wishes allow."""
    lot, there = planned.lot.value, planned.on_arrival.value
    in_what = _containers(part, lot)
    stays = "it stays at " if lot == today.lot.value else ""
    said = f"{part.name}: {stays}{pieces(lot)} at once{in_what}, every {planned.every.short()}"
    if part.room is None:
        return f"{said}."
    if _fits(part, lot, there):
        beside = f" with the {pieces(there)} that still lie there" if there >= 0.5 else ""
        rest = f" (in the swings of the use {percent(planned.share.value)} still do not)" if planned.share.value >= SHOWN else ""  # fmt: skip
        return f"{said}; they fit{beside}{rest}."
    if part.away is None:
        return f"{said}; {_nearest(flow, part, there, most)}"
    carried = f"{percent(planned.share.value)} are still carried away and back"
    if _fits(part, most, part.safety.value):
        return f"{said}; {carried}, which is cheaper than more deliveries."
    return f"{said}; {carried}: {_nearest(flow, part, there, most)}"


def _fits(part: AskedPart, lot: float, there: float) -> bool:
    return part.room is None or lot + there <= part.room.value + 1e-9


def _containers(part: AskedPart, lot: float) -> str:
    if part.floor is None:
        return ""
    count = lot / part.holds.value
    if abs(count - round(count)) > 1e-9:
        return f" in containers of {pieces(part.holds.value)}"
    return f" in {'one container' if round(count) == 1 else f'{pieces(count)} containers'}"


def _nearest(flow: Flow, part: AskedPart, there: float, most: float) -> str:
    """Why nothing fits, and the nearest that would."""
    assert part.room is not None
    room, holds = part.room.value, part.holds.value
    left = floor(room - there + 1e-9)
    if holds + there > room + 1e-9 and part.floor is not None:
        smaller = f"a container of at most {pieces(left)}, or " if left >= 1 else ""
        return (
            f"one container holds {pieces(holds)}, and with the {pieces(there)} that still lie there when it comes that is more than "
            f"the {pieces(room)} that fit: {smaller}room for {_whole(holds + there)} would do."
        )
    if left < 1:
        return (
            f"what must lie there when a delivery comes ({pieces(there)}) fills the room of {pieces(room)} by itself: "
            f"room for {_whole(most + there)}, or a shorter lead time, would do."
        )
    day = in_containers(part.use.value, holds)
    if most > day and _fits(part, day, there):
        often = len(flow.line.work_calendar.working_weekdays) * part.use.value / (left // holds * holds)
        return (
            f"at most {most_a_week(flow)} a week are wished, which brings {pieces(most)} at once, and {pieces(left)} would fit: "
            f"{_whole(often)} a week, or room for {_whole(most + there)}, would do."
        )
    return f"even a day's use of {pieces(most)} does not fit: room for {_whole(most + there)} would do."


def missing(flow: Flow, parts: Sequence[AskedPart], terms: AskedTerms, laid: Sequence[LaidOut]) -> tuple[Missing, ...]:
    """What does the line file not say, and what would it change? Only what touches these parts."""
    line = flow.line
    groups = by_supplier(flow, parts)
    money = line.money
    unpriced = [name for name, own in groups.items() if own[0].supplier is not None and own[0].supplier not in terms.per_delivery]  # fmt: skip
    trips = () if line.plan is None else line.plan.deliveries.trips
    priced = [name for name in groups if name not in unpriced and groups[name][0].supplier is not None]
    usable = usable_trips(flow, priced, list(groups))
    open_trips = [trip.name for k, trip in enumerate(trips) if k not in usable and any(name in groups for name in trip.suppliers)]  # fmt: skip
    weightless = [
        part.name
        for k in usable
        if trips[k].carries is not None
        for name in dict.fromkeys(trips[k].suppliers)
        for part in groups.get(name, [])
        if part.mass is None
    ]
    without = {
        "room": [part.name for part in parts if part.room is None],
        "away": [
            part.name for part, one in zip(parts, laid, strict=True) if part.away is None and one.share.value >= SHOWN
        ],
        "container": [part.name for part in parts if part.floor is None],
        "lead": [part.name for part in parts if line.parts[part.part].lead_time is None],
        "lot": [part.name for part in parts if line.parts[part.part].delivery_lot is None],
        "owed": [part.name for part in parts if part.owed is None],
        "supplier": [part.name for part in parts if part.supplier is None],
    }
    table = (
        (unpriced, "what a delivery of {} costs (suppliers: per_delivery)", "room, cash and wishes alone bound the rhythm; with it the cheapest one would be known"),
        (without["supplier"], "who brings {} (parts: supplier)", "it counts as coming alone; with others of one supplier it could share deliveries"),
        (open_trips, "what a delivery of everybody on {} costs by itself (suppliers: per_delivery)", "whether the round trip pays cannot be told"),
        (weightless, "what a piece of {} weighs (parts: mass)", "what the vehicle of its round trip carries bounds nothing"),
        (without["room"], "how many of {} fit at the line (stores: capacity)", "nothing counts as carried away and back; with it the lot might have to be smaller"),
        (without["away"], "where pieces of {} go that do not fit (stores: overflow)", "only what fits is planned, or as little as can be; with it, carrying some away could turn out cheaper"),
        (without["container"], "in what pieces of {} lie (parts: container)", "they are counted one by one and take no floor"),
        (without["lead"], "how long a delivery of {} takes to come (parts: lead_time)", "it counts as coming at once, without stock for the time until then"),
        (without["lot"], "how many of {} come at once today (parts: delivery_lot)", "a day's use, it is assumed"),
        (without["owed"], "when whoever brings {} is paid (suppliers: paid_after)", "at once, it is assumed; later would tie up less cash"),
        ([] if money is not None and money.carrying_rate is not None else ["it"], "what tied-up cash costs (money: carrying_rate)", "it costs nothing here; with it smaller lots would save more"),
        ([] if money is not None and money.floor_rent is not None else ["it"], "what the floor costs (money: floor_rent)", "it costs nothing here; with it smaller lots would save more"),
        ([] if any(crew.wage is not None for crew in line.people) else ["it"], "what an hour costs (people: wage)", "carrying away and back costs nothing here"),
    )  # fmt: skip
    return tuple(
        Missing("Not given is " + what.format(names(list(dict.fromkeys(who)))), would)
        for who, what, would in table
        if who
    )
