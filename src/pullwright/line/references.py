"""Do all names that a line file refers to exist, and does each name exist once? Works on the plain values, so that a broken line is checked too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pullwright.line.faults import Fault, Path, likely_slip, listed, nearest, shown
from pullwright.line.marks import Tree
from pullwright.line.words import sound_name

NAMED = ("products", "parts", "suppliers", "stations", "steps", "people", "studies", "calendar.shifts")
"""The lists whose entries have a name that must be the only one of its kind."""

OUTSIDE = ("receiving", "shipping")
"""Words for the two ends of the line in a move."""

REFERENCES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("calendar.extra_days.*.shifts.*", ("calendar.shifts",)),
    ("products.*.uses.*.part", ("parts",)),
    ("products.*.uses.*.at", ("steps",)),
    ("parts.*.supplier", ("suppliers",)),
    ("stations.*.shifts.*", ("calendar.shifts",)),
    ("steps.*.station", ("stations",)),
    ("steps.*.also_at.*.station", ("stations",)),
    ("steps.*.after.*", ("steps",)),
    ("steps.*.after.*.step", ("steps",)),
    ("steps.*.for.*", ("products",)),
    ("steps.*.elements.*.for.*", ("products",)),
    ("steps.*.set_up.pairs.*.from", ("products",)),
    ("steps.*.set_up.pairs.*.to", ("products",)),
    ("steps.*.rework.to", ("steps",)),
    ("steps.*.release.until", ("steps",)),
    ("steps.*.release.loops.*.product", ("products",)),
    ("steps.*.lots.*.product", ("products",)),
    ("stores.*.before", ("steps",)),
    ("stores.*.after", ("steps",)),
    ("stores.*.part", ("parts",)),
    ("moves.*.from", ("steps", "parts", "outside")),
    ("moves.*.to", ("steps", "outside")),
    ("people.*.skills.*", ("steps", "stations")),
    ("people.*.shifts.*", ("calendar.shifts",)),
    ("plan.balance.together.*.*", ("steps", "elements")),
    ("plan.balance.apart.*.*", ("steps", "elements")),
    ("plan.balance.fixed.*.element", ("steps", "elements")),
    ("plan.balance.left_of.*.element", ("steps", "elements")),
    ("plan.balance.left_of.*.of", ("steps", "elements")),
    ("plan.balance.zones.*.elements.*", ("steps", "elements")),
    ("plan.cards.holds.*.of", ("parts", "steps")),
    ("plan.deliveries.trips.*.suppliers.*", ("suppliers",)),
    ("plan.day.orders.*.product", ("products",)),
)

_MOST_HINTS = 30
"""Looking for the likely slip in long lists takes time; after so many unknown names it helps nobody."""

_MOST_LINES = 6


def matching(data: Any, pattern: str) -> Iterator[tuple[Path, Any]]:
    """Give every value whose path fits a pattern such as `steps.*.station`.

    >>> list(matching({"steps": [{"station": "saw"}, 3]}, "steps.*.station"))
    [(('steps', 0, 'station'), 'saw')]
    """
    found: list[tuple[Path, Any]] = [((), data)]
    for word in pattern.split("."):
        inner: list[tuple[Path, Any]] = []
        for path, value in found:
            if word == "*" and isinstance(value, list):
                inner += [((*path, i), item) for i, item in enumerate(value)]
            elif isinstance(value, dict) and word in value:
                inner.append(((*path, word), value[word]))
        found = inner
    yield from found


@dataclass(slots=True)
class Names:
    """The names of one list. `unread`: so many of its entries have a name that cannot be read, so that as many may be meant by it."""

    known: dict[str, Path] = field(default_factory=dict)
    unread: float = 0


def names_of(data: Any, kind: str) -> Names:
    """Collect the names of a list, those of broken entries too."""
    if kind == "outside":
        return Names(dict.fromkeys(OUTSIDE, ()))
    if kind == "elements":
        return _elements(data)
    names = Names()
    around, _, last = kind.rpartition(".")
    holder = next((value for _, value in matching(data, around)), None) if around else data
    entries = holder.get(last) if isinstance(holder, dict) else None
    if not isinstance(entries, list):
        # A list that is broken, or stands under a misspelt word, has a fault of its own.
        misspelt = isinstance(holder, dict) and nearest(last, [key for key in holder if key not in _TOP]) != ""
        names.unread = (
            float("inf") if misspelt or last in _NEEDED or (isinstance(holder, dict) and last in holder) else 0
        )
        return names
    for index, entry in enumerate(entries):
        name = sound_name(entry.get("name")) if isinstance(entry, dict) else None
        if name:
            names.known.setdefault(name, (*kind.split("."), index, "name"))
        else:
            names.unread += 1
    if not entries and last in _NEEDED:
        names.unread = float("inf")
    return names


def element_name(step: str, what: str) -> str:
    """How an element is named where one of a whole line is meant.

    >>> element_name("weld base", "knock off spatter")
    'weld base / knock off spatter'
    """
    return f"{step} / {what}"


def _elements(data: Any) -> Names:
    """The elements of all steps, each named after its step; a step that cannot be read may have had any."""
    names = Names()
    steps = data.get("steps") if isinstance(data, dict) else None
    if not isinstance(steps, list):
        names.unread = float("inf")
        return names
    for i, step in enumerate(steps):
        name = sound_name(step.get("name")) if isinstance(step, dict) else None
        elements = step.get("elements", []) if isinstance(step, dict) else None
        if not name or not isinstance(elements, list):
            names.unread = float("inf")
            continue
        for e, element in enumerate(elements):
            what = sound_name(element.get("what")) if isinstance(element, dict) else None
            if what:
                names.known.setdefault(element_name(name, what), ("steps", i, "elements", e))
            else:
                names.unread += 1
    return names


_NEEDED = ("products", "stations", "steps", "shifts")
_TOP = (*NAMED, "line", "about", "invented", "currency", "calendar", "stores", "moves", "floor", "money", "pressure", "standard", "samples", "plan")  # fmt: skip


def check_references(tree: Tree) -> Iterator[Fault]:
    """Give a fault for every name that stands twice and one for every name of nothing, however often it is referred to."""
    names = {kind: names_of(tree.data, kind) for kind in (*NAMED, "elements", "outside")}
    for kind in NAMED:
        yield from _twice(tree, kind, names[kind])
    unknown: list[_Unknown] = []
    by_name: dict[str, list[_Unknown]] = {}
    for path, name, kinds in _references(tree.data):
        if any(name in names[kind].known for kind in kinds):
            continue
        for same in by_name.setdefault(name, []):
            if set(kinds) & set(same.kinds) - {"outside"}:
                same.paths.append(path)
                break
        else:
            found = _Unknown(name, kinds, [path])
            unknown.append(found)
            by_name[name].append(found)
    for count, one in enumerate(_not_said_already(unknown, names)):
        known = [name for kind in one.kinds for name in names[kind].known]
        yield one.fault(tree, known, likely_slip(one.name, known) if count < _MOST_HINTS else "")


def _references(data: Any) -> Iterator[tuple[Path, str, tuple[str, ...]]]:
    for pattern, kinds in REFERENCES:
        for path, read in matching(data, pattern):
            if name := sound_name(read):
                yield path, name, (("elements",) if " / " in name else ("steps",)) if "elements" in kinds else kinds
    for path, read in _studies(data, ()):
        if path[0] != "studies" and (name := sound_name(read)):
            yield path, name, ("studies",)


def _twice(tree: Tree, kind: str, names: Names) -> Iterator[Fault]:
    word = kind.rpartition(".")[2]
    for path, read in matching(tree.data, f"{kind}.*.name"):
        name = sound_name(read)
        if not name:
            continue
        if names.known[name] != path:
            line = tree.mark(names.known[name]).line
            said = f"{name!r} is the name of another of the {word}, in line {line} already"
            yield tree.fault(path, shown(name), "a name that stands once", message=said)
        elif name in OUTSIDE and kind in ("steps", "parts"):
            said = f"{name!r} is the word for an end of the line in `moves`; give it another name"
            yield tree.fault(path, name, f"a name other than {' and '.join(OUTSIDE)}", message=said)


@dataclass(slots=True)
class _Unknown:
    name: str
    kinds: tuple[str, ...]
    paths: list[Path]

    def fault(self, tree: Tree, known: list[str], hint: str) -> Fault:
        first = min(self.paths, key=lambda path: (tree.mark(path).line, tree.mark(path).column))
        said = " or ".join(kind.rpartition(".")[2] for kind in self.kinds if kind != "outside")
        allowed = f"one of: {listed(known)}" if known else f"a name out of {said}, and this file has none"
        lines = sorted({tree.mark(path).line for path in self.paths} - {tree.mark(first).line})
        also = (
            f" (named in {'line' if len(lines) == 1 else 'lines'} {listed(map(str, lines), _MOST_LINES)} too)"
            if lines
            else ""
        )
        message = f"there is no {shown(self.name)!r} among the {said}{also}; allowed: {allowed}"
        return tree.fault(first, shown(self.name), allowed, hint, message)


def _not_said_already(unknown: list[_Unknown], names: dict[str, Names]) -> Iterator[_Unknown]:
    """Leave out names that may be those of entries whose name cannot be read: these have a fault already."""
    missing = {kind: sum(1 for one in unknown if kind in one.kinds) for kind in names}
    for one in unknown:
        if not any(0 < missing[kind] <= names[kind].unread for kind in one.kinds):
            yield one


def _studies(value: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, dict):
        for key, item in value.items():
            if key == "study":
                yield (*path, key), item
            yield from _studies(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _studies(item, (*path, index))
