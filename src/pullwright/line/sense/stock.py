"""Contradictions in the stores: nowhere, twice, or counted in two ways."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.faults import listed
from pullwright.line.model import LineModel, Store
from pullwright.line.route import RouteError, route_of
from pullwright.line.sense.slip import Slip
from pullwright.line.size import MOST_WAYS

PLACES = ("before", "after", "part")


def stores(line: LineModel) -> Iterator[Slip]:
    """Is every store in one place, and no place there twice?"""
    try:
        route = route_of(line)
        ends = {line.steps[route.last_for(names[0])].name for names in route.alike()[:MOST_WAYS]}
    except RouteError:
        ends = set()  # said already
    seen: dict[tuple[str, str], int] = {}
    for i, store in enumerate(line.stores):
        yield from _counted(i, store)
        places = [(key, name) for key in PLACES if (name := getattr(store, key)) is not None]
        if len(places) != 1:
            read = " and ".join(key for key, _ in places) or "nothing"
            said = "a store is before a step, after the last step, or of a part: say exactly one of them"
            yield Slip(("stores", i), read, "one of: before, after, part", said)
            continue
        key, name = place = places[0]
        if key == "after" and ends and name not in ends:
            said = f"{name} is no last step; stock between two steps is `before` the second one"
            hint = "say `before` the step that takes from it"
            yield Slip(("stores", i, "after"), name, listed(sorted(ends)), said, hint)
        if place in seen:
            said = f"there is a store {key} {name} already, entry {seen[place] + 1}"
            yield Slip(("stores", i, key), name, "one store for each place", said)
        seen.setdefault(place, i)


def _counted(i: int, store: Store) -> Iterator[Slip]:
    if store.counted is not None and store.counts:
        said = "counted and counts are both given; put the one count into the list"
        yield Slip(("stores", i, "counts"), "counted and counts", "one of the two", said)
    if store.overflow is not None and store.capacity is None:
        said = "what does not fit is carried away, but how much fits? Give `capacity`"
        yield Slip(("stores", i, "overflow"), "no capacity", "capacity", said)
