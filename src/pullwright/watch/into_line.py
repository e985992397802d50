"""What was watched goes into the line file: into its text, so that comments stay, and each number with where it was taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from pullwright.line import Line
from pullwright.line.edit import add_item, remove_field, set_field
from pullwright.line.faults import Path, listed, shown
from pullwright.line.kinds import ELEMENT_KINDS, KINDS
from pullwright.line.yaml_tree import read_tree
from pullwright.watch.count.sheet import CountSheet, DefectCount, StockCount, WayWalked
from pullwright.watch.misread import IntoLineError
from pullwright.watch.sample.looks import Look, Tour
from pullwright.watch.sample.shares import looks_worth, shares_of
from pullwright.watch.study.performance import basic_time, rating_for
from pullwright.watch.study.sheet import StudySheet, TimedElement, TimedReading, Work

_WAYS: tuple[Work, ...] = ("manual", "machine", "walking")


def study_into_line(
    text: str,
    study: StudySheet,
    *,
    step: str,
    element: int | str,
    work: Work | None = None,
    into: str | None = None,
) -> str:
    """How does the line file read with one element of a time study in it?

    Parameters: `text` of the line file; `step`, its name there; `element` of the study, by number from 0 or by what it is;
    `work` by hand, by machine or on foot (that of the study's element where nothing is said); `into`, what the element is called
    in the line file ("" for a step in its short form; None finds the one of the same name, else the short form of a step that
    has no elements, else adds an element).
    Result: the text with an entry under `studies`, with only those readings that count, at basic time where ratings were given
    (its `of` says so), and with `{study: NAME}` in its place, beside a cv that stands there. A name that is taken gets the next
    free one.
    Errors: `IntoLineError` where there is no such step or element, or nothing counts; `LineFileError` where the result would not
    read as a line file.
    """
    line = Line.from_text(text)
    at = _index_of(line, step)
    index = _element_of(study, element)
    timed = study.elements[index]
    kind = work or timed.work
    counts = [one for one in study.readings if one.element == index and not one.aside]
    if not counts:
        said = f"element {shown(timed.what)} of {study.name}"
        raise IntoLineError(said, "has no reading that counts", "one reading or more", "time it first")
    name = free_name(study.name, [one.name for one in line.studies])
    rated = any(abs(rating_for(study, one) - 1.0) > 1e-12 for one in counts)
    about = f"{study.of}: {timed.what}" if study.of and study.of != timed.what else timed.what
    entry: dict[str, Any] = {
        "name": name,
        "of": f"{about}, {'at basic time (observed x rating)' if rated else 'as read'}",
    }
    if _date(study.on):
        entry["on"] = _date(study.on)
    if study.who:
        entry["who"] = study.who
    entry["readings"] = [_reading(study, one) for one in counts]
    text = add_item(text, ("studies",), entry)
    return _read_again(_placed(text, line, at, timed, kind, name, into))


def elements_into_line(text: str, study: StudySheet, *, step: str, elements: Sequence[int | str]) -> str:
    """How does the line file read with several elements of a time study in one step of it, each as `study_into_line` puts it?

    Errors: as there; `IntoLineError` too where several would go into a step in its short form, whose one time only one can be.
    """
    line = Line.from_text(text)
    if len(elements) > 1 and not line.steps[_index_of(line, step)].elements:
        raise IntoLineError(
            f"the step {shown(step)}", "stands in its short form, which has no elements", "one element of the study",
            "choose the one that is its time, or tell the step element by element first",
        )  # fmt: skip
    for one in elements:
        text = study_into_line(text, study, step=step, element=one)
    return text


def tour_into_line(text: str, tour: Tour) -> str:
    """How does the line file read with the looks of an activity sampling in it? One entry under `samples` for each day and each looker.

    Looks that nobody could explain count among the looks and in no kind. What looks of one round together are worth is said
    as `worth`. Errors: `IntoLineError` where nobody looked.
    """
    Line.from_text(text)
    if not tour.looks:
        raise IntoLineError(f"sampling {shown(tour.name)}", "has no looks", "one look or more", "walk a round first")
    worth = looks_worth(shares_of(tour)) / len(tour.looks)
    days: dict[tuple[date, str], list[Look]] = {}
    for look in tour.looks:
        days.setdefault((look.at.date(), look.who), []).append(look)
    for (day, who), looks in sorted(days.items()):
        seen = [look.seen for look in looks]
        entry: dict[str, Any] = {"on": str(day), "who": who, "from": _rounds_of(tour, looks), "looks": len(looks)}
        if worth < 1:
            entry["worth"] = max(1, round(len(looks) * worth))
        entry |= {kind.key: seen.count(kind.key) for kind in KINDS if kind.key != "unexplained" and kind.key in seen}
        text = add_item(text, ("samples",), {key: one for key, one in entry.items() if one != ""})
    return _read_again(text)


def counts_into_line(text: str, counts: CountSheet, *, replace: bool = False) -> str:
    """How does the line file read with what was counted in it?

    Stock goes into `counts` of its store (a store that is not there is added), a way into the `distance` (and `batch`) of its move, pieces
    that were not right into `scrap` and `rework` of their step, as `{count, of}`: those done again as rework, the rest as scrap.
    `replace` says that a `counted` without a date may go, and that a share that stands there may be put in place of another.
    Errors: `IntoLineError` naming what stands in the way, where it is not said that it may be replaced.
    """
    Line.from_text(text)
    for stock in counts.stocks:
        text = _stock_into(text, stock, replace)
    for way in counts.ways:
        text = _way_into(text, way)
    steps: dict[str, list[DefectCount]] = {}
    for one in counts.defects:
        steps.setdefault(one.step, []).append(one)
    for step, some in steps.items():
        text = _defects_into(text, step, some, replace)
    return _read_again(text)


def free_name(wanted: str, taken: list[str]) -> str:
    """The name, or the next one that is free: "T-014", "T-014-2", "T-014-3".

    >>> free_name("T-014", ["T-014", "T-014-2"])
    'T-014-3'
    """
    name, number = wanted, 1
    while name in taken:
        number += 1
        name = f"{wanted}-{number}"
    return name


def _read_again(text: str) -> str:
    Line.from_text(text)
    return text


def _index_of(line: Line, step: str) -> int:
    names = [one.name for one in line.steps]
    if step not in names:
        raise IntoLineError(f"step {shown(step)}", "is not in the line file", listed(names))
    return names.index(step)


def _element_of(study: StudySheet, element: int | str) -> int:
    names = [one.what for one in study.elements]
    index = element if isinstance(element, int) else names.index(element) if element in names else -1
    if not 0 <= index < len(names):
        raise IntoLineError(f"element {shown(element)}", f"is not in study {study.name}", listed(names))
    return index


def _date(text: str) -> str:
    try:
        return str(date.fromisoformat(text[:10]))
    except ValueError:
        return ""


def _reading(study: StudySheet, one: TimedReading) -> dict[str, Any]:
    rating = rating_for(study, one)
    seconds = basic_time(one.seconds, rating, 1.0)
    place = one.origin or one.where
    # A row of a file names its file; a reading of the stopwatch is one of this study.
    taken = place if " of " in place and not place.endswith("of the stopwatch") else f"{study.name}, {place or one.uid}"
    if abs(rating - 1.0) > 1e-12:
        taken += f", {one.seconds:g} s rated {rating * 100:g}"
    entry = {"value": f"{float(f'{seconds:.9g}'):.12g} s", "on": _date(one.when), "who": one.who, "from": taken}
    return {key: value for key, value in entry.items() if value}


def _placed(text: str, line: Line, at: int, timed: TimedElement, kind: Work, name: str, into: str | None) -> str:
    """Put the study where it belongs in its step."""
    step = line.steps[at]
    there = [one.what for one in step.elements]
    wanted = timed.what if into is None else into
    path: Path
    if wanted and wanted in there:
        path = ("steps", at, "elements", there.index(wanted), kind)
    elif not step.elements and not (into and any(getattr(step, way) is not None for way in _WAYS)):
        path = ("steps", at, kind)
    elif into == "" or not step.elements:
        has = "elements" if step.elements else "its work in short"
        raise IntoLineError(f"step {shown(step.name)}", f"gives {has}", listed(there) or "the step itself")
    else:
        every = {"because": timed.because} if timed.because else {}
        if timed.kind not in ELEMENT_KINDS:
            raise IntoLineError(f"kind {shown(timed.kind)}", "is none of an element", listed(ELEMENT_KINDS))
        return add_item(
            text, ("steps", at, "elements"), {"what": wanted, kind: {"study": name}, "kind": timed.kind, **every}
        )
    old = _at(text, path)
    if isinstance(old, Mapping):
        kept = {key: old[key] for key in ("cv", "distribution") if key in old}
        if kept:
            return set_field(text, path, {"mean": {"study": name}, **kept})
    return set_field(text, path, {"study": name})


def _at(text: str, path: Path) -> Any:
    here: Any = read_tree(text).data
    for one in path:
        try:
            here = here[one]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def _rounds_of(tour: Tour, looks: list[Look]) -> str:
    files = sorted(
        {look.where.split(" of ", 1)[1] for look in looks if look.where.startswith("row ") and " of " in look.where}
    )
    numbers = sorted({look.round for look in looks})
    rounds = f"round {numbers[0]}" if len(numbers) == 1 else f"rounds {_runs(numbers)}"
    if not files:
        return f"{tour.name}, {rounds}"
    rows = sorted(int(look.where.split(" ")[1]) for look in looks if look.where.startswith("row "))
    return f"{'row' if len(rows) == 1 else 'rows'} {_runs(rows)} of {', '.join(files)}"


def _runs(numbers: list[int]) -> str:
    """Numbers with runs put together: "1 to 3, 7"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    return listed(said, 100)


def _stock_into(text: str, stock: StockCount, replace: bool) -> str:
    stores = _at(text, ("stores",)) or []
    index = next((i for i, store in enumerate(stores) if str(store.get(stock.side)) == stock.name), None)
    count = {"on": str(stock.at.date()), "pieces": _plain(stock.pieces), "who": stock.who, "from": stock.where}
    entry = {key: value for key, value in count.items() if value != ""}
    if index is None:
        return add_item(text, ("stores",), {stock.side: stock.name, "counts": [entry]})
    if "counted" in stores[index]:
        if not replace:
            raise IntoLineError(
                f"the store {stock.place}",
                f"holds counted: {shown(stores[index]['counted'])} without a date",
                "a store with `counts`, or without a count",
                "say that the old count may go, or move it into `counts` with its date",
            )
        text = remove_field(text, ("stores", index, "counted"))
    return add_item(text, ("stores", index, "counts"), entry)


def _way_into(text: str, way: WayWalked) -> str:
    moves = _at(text, ("moves",)) or []
    ends = (way.from_, way.to)
    index = next((i for i, one in enumerate(moves) if (str(one.get("from")), str(one.get("to"))) == ends), None)
    distance = {
        "mean": f"{_plain(way.distance_m)} m",
        "from": ", ".join(filter(None, (way.where, way.who, str(way.at.date())))),
    }
    if index is None:
        batch = {} if way.batch is None else {"batch": way.batch}
        return add_item(text, ("moves",), {"from": way.from_, "to": way.to, "distance": distance, **batch})
    text = set_field(text, ("moves", index, "distance"), distance)
    return text if way.batch is None else set_field(text, ("moves", index, "batch"), way.batch)


def _defects_into(text: str, step: str, some: list[DefectCount], replace: bool) -> str:
    at = _index_of(Line.from_text(text), step)
    of = sum(one.looked_at for one in some)
    again = sum(one.again for one in some)
    thrown = sum(one.wrong for one in some) - again
    who = listed(dict.fromkeys(f"{one.where}, {one.who} {one.at:%Y-%m-%d}".replace(",  ", ", ") for one in some), 6)
    stands = Line.from_text(text).steps[at]
    if not replace and (thrown or not again) and stands.scrap is not None:
        raise _stands(step, "scrap")
    if not replace and again and stands.rework is not None:
        raise _stands(step, "rework")
    if not replace and stands.first_pass_yield is not None:
        raise _stands(step, "first_pass_yield")
    if thrown or not again:
        text = set_field(text, ("steps", at, "scrap"), {"count": thrown, "of": of, "from": who})
    if again:
        text = set_field(text, ("steps", at, "rework", "share"), {"count": again, "of": of, "from": who})
    return text


def _stands(step: str, field: str) -> IntoLineError:
    return IntoLineError(
        f"step {shown(step)}", f"gives {field} already", f"a step without {field}", "say that it may be replaced"
    )


def _plain(number: float) -> int | float:
    return int(number) if number == int(number) else number
