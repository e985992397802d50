"""Wishes as a person types them: one row a wish, with its words, for a form, an address or a command.

A wish is named as it stands in the line file below `plan`, such as `balance.posts`. Lists are typed one entry a line (or with `|` between
them), the names in an entry with `;` between them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pullwright.line import Line
from pullwright.line.faults import likely_slip
from pullwright.line.writing import flow
from pullwright.line.yaml_tree import read_tree
from pullwright.pull.changes import Change
from pullwright.pull.errors import BadPlanInput


@dataclass(frozen=True, slots=True)
class Wish:
    """One thing that may be wished of a plan.

    `name`: as in the line file, below `plan`. `chapter`: which part of the plan it belongs to. `says`: what is wished, for a label.
    `like`: how it may be typed. `read`: from what is typed to the value of the line file. `write`: back.
    """

    name: str
    says: str
    like: str
    read: Callable[[str], Any]
    write: Callable[[Any], str]
    several: bool = False
    choices: tuple[str, ...] = ()

    @property
    def chapter(self) -> str:
        """Which part of the plan it belongs to."""
        return self.name.partition(".")[0]

    @property
    def path(self) -> tuple[str, ...]:
        """Where it stands in the line file."""
        return ("plan", *self.name.split("."))


def _plain(typed: str) -> Any:
    word = " ".join(typed.split())
    return read_tree(word).data if word.startswith("{") else word


def _plain_again(value: Any) -> str:
    return ("no", "yes")[value] if isinstance(value, bool) else value if isinstance(value, str) else flow(value)


def _lines(typed: str) -> list[str]:
    return [" ".join(line.split()) for line in typed.replace("|", "\n").splitlines() if line.strip()]


def _names(entry: str) -> list[str]:
    return [name.strip() for name in entry.split(";") if name.strip()]


def _lists(typed: str) -> list[list[str]]:
    found = [_names(line) for line in _lines(typed)]
    for names in found:
        if len(names) < 2:
            raise BadPlanInput(f"{'; '.join(names)!r} names one only; allowed: two or more with ; between them")
    return found


def _lists_again(value: Any) -> str:
    return "\n".join("; ".join(names) for names in value)


def _pairs(first: str, between: str, second: str, how: str) -> tuple[Callable[[str], Any], Callable[[Any], str]]:
    """An entry with a name, a word between, and a value: `weld base at 3`."""

    def read(typed: str) -> list[dict[str, str]]:
        found = []
        for line in _lines(typed):
            name, word, value = line.rpartition(between)
            if not (word and name.strip() and value.strip()):
                raise BadPlanInput(f"{line!r} was read; allowed: {how}")
            found.append({first: name.strip(), second: value.strip()})
        return found

    return read, lambda value: "\n".join(f"{entry[first]}{between}{entry[second]}" for entry in value)


def _zones(typed: str) -> list[dict[str, Any]]:
    found = []
    for line in _lines(typed):
        name, colon, names = line.partition(":")
        if not (colon and name.strip() and _names(names)):
            raise BadPlanInput(
                f"{line!r} was read; allowed: the name of the zone, a colon, and its elements, such as 'wet: paint; rinse'"
            )
        found.append({"name": name.strip(), "elements": _names(names)})
    return found


def _zones_again(value: Any) -> str:
    return "\n".join(f"{zone['name']}: {'; '.join(zone['elements'])}" for zone in value)


def _trips(typed: str) -> list[dict[str, Any]]:
    found = []
    for line in _lines(typed):
        name, colon, rest = line.partition(":")
        names, equal, after = rest.partition("=")
        costs, comma, carries = after.partition(",")
        if not (colon and equal and name.strip() and _names(names) and costs.strip()):
            how = "its name, a colon, the suppliers, = and what it costs, such as 'north: foundry; box maker = 60 EUR, 800 kg'"
            raise BadPlanInput(f"{line!r} was read; allowed: {how}")
        trip: dict[str, Any] = {"name": name.strip(), "suppliers": _names(names), "per_trip": costs.strip()}
        found.append({**trip, "carries": carries.strip()} if comma and carries.strip() else trip)
    return found


def _trips_again(value: Any) -> str:
    return "\n".join(
        f"{trip['name']}: {'; '.join(trip['suppliers'])} = {trip['per_trip']}"
        + (f", {trip['carries']}" if "carries" in trip else "")
        for trip in value
    )


def _plainly(name: str, says: str, like: str, choices: tuple[str, ...] = ()) -> Wish:
    return Wish(name, says, like, _plain, _plain_again, choices=choices)


def _listed(name: str, says: str, like: str, ways: tuple[Callable[[str], Any], Callable[[Any], str]]) -> Wish:
    return Wish(name, says, like, *ways, several=True)


_YES_NO = ("no", "yes")

WISHES: tuple[Wish, ...] = (
    _plainly("balance.takt", "takt to balance for", "900 s"),
    _plainly("balance.posts", "at most so many posts", "8"),
    _plainly("balance.people_at_a_post", "people at one post at once", "2"),
    _plainly("balance.u_shaped", "bent line: one person where it begins and where it ends", "yes", _YES_NO),
    _plainly("balance.walking", "count the way between stations", "yes", _YES_NO),
    _plainly("balance.overrun", "chance of a round above the takt, at most", "5 %"),
    _plainly("balance.load", "highest load of a post, as a share of the takt", "90 %"),
    _listed("balance.together", "stay at one post", "weld base / weld; weld base / knock off spatter", (_lists, _lists_again)),
    _listed("balance.apart", "never at one post", "weld base; paint", (_lists, _lists_again)),
    _listed("balance.fixed", "stays at a post", "pack at 8", _pairs("element", " at ", "post", "an element, ' at ', and the number of the post, such as 'pack at 8'")),
    _listed("balance.left_of", "stays left of", "weld base left of paint", _pairs("element", " left of ", "of", "an element, ' left of ', and another, such as 'weld base left of paint'")),
    _listed("balance.zones", "zones: no post works in two", "wet: paint; leak test", (_zones, _zones_again)),
    _plainly("cards.safety", "safety, as a share of demand", "10 %"),
    _plainly("cards.service", "safety, as the share of demands that find what they need", "98 %"),
    _plainly("cards.heaviest", "heaviest container to lift by hand", "12 kg"),
    _listed("cards.holds", "pieces in a container", "weld base: 12", _pairs("of", ": ", "pieces", "a part or a step, a colon, and how many, such as 'weld base: 12'")),
    _plainly("cards.whole_flow", "one cap on the whole flow in place of loops", "yes", _YES_NO),
    _plainly("lots.set_ups", "share of the day that set-ups may take", "10 %"),
    _plainly("lots.interval", "every product once in, at most", "3 d"),
    _listed("deliveries.trips", "round trips that suppliers may share", "north: foundry; box maker = 60 EUR, 800 kg", (_trips, _trips_again)),
    _plainly("deliveries.a_week", "deliveries of one supplier in a week, at most", "2"),
    _listed("day.orders", "ordered for today", "P-32: 14", _pairs("product", ": ", "pieces", "a product, a colon, and how many, such as 'P-32: 14'")),
    _plainly("day.pitch", "pieces asked for at a time", "4"),
    _plainly("day.by", "what is to come evenly", "rate", ("rate", "parts")),
    _plainly("day.set_ups", "set-ups in the day, at most", "6"),
)  # fmt: skip
"""Everything that may be wished, in the order of the plan: forms, addresses, commands and the documentation are made from this table."""

BY_NAME: Mapping[str, Wish] = {wish.name: wish for wish in WISHES}


def wish_changes(typed: Mapping[str, str]) -> tuple[Change, ...]:
    """What is typed as wishes, as changes of the line file; an empty text takes a wish back.

    BadPlanInput for a name that is no wish, and for what cannot be read; what a value may be is said by the line file that they are put into.

    >>> wish_changes({"balance.posts": "8", "balance.left_of": "weld base left of paint"})[1].written
    [{'element': 'weld base', 'of': 'paint'}]
    """
    return tuple(_changes(typed))


def _changes(typed: Mapping[str, str]) -> Iterator[Change]:
    for name, text in typed.items():
        wish = BY_NAME.get(name)
        if wish is None:
            hint = likely_slip(name, list(BY_NAME))
            raise BadPlanInput(
                f"there is no wish {name!r}" + (f" ({hint})" if hint else f"; allowed: {', '.join(BY_NAME)}")
            )
        try:
            written = wish.read(text) if text.strip() else None
        except BadPlanInput as error:
            raise BadPlanInput(f"{wish.says} ({name}): {error}") from None
        yield Change(wish.path, written, f"wished: {wish.says}")


def wishes_in(line: Line) -> dict[str, str]:
    """The wishes of a line file, as somebody would type them; those that nobody has are not there."""
    data = read_tree(line.text).data
    plan = data.get("plan") if isinstance(data, dict) else None
    found: dict[str, str] = {}
    for wish in WISHES:
        value = plan
        for key in wish.name.split("."):
            value = value.get(key) if isinstance(value, dict) else None
        if value is not None:
            found[wish.name] = wish.write(value)
    return found
