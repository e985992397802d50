"""`pullwright forecast --find`: the smallest setting of a line that keeps its promises, looked for in the open: it can be stopped and taken up again."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from pullwright.commands.terminal import print_json, stop

if TYPE_CHECKING:
    from collections.abc import Callable

    from pullwright.forecast.search.answer import Answer, Tried
    from pullwright.forecast.search.find import Hunt
    from pullwright.forecast.search.searching import Progress
    from pullwright.line import Line

_DAYS = 80
"""Working days of a run where nothing is said; a quarter of them are not counted."""
STOPPED = 130
"""What the program ends with where somebody stopped it: the usual status for Ctrl-C."""


@dataclass(frozen=True)
class Asked:
    """What is to be found, and with whose hands."""

    text: str
    promises: Sequence[str]
    days: int | None
    seed: int
    confidence: float
    workers: int | None
    dask: str | None
    keep: Path | None


def find(line: Line, asked: Asked, *, as_json: bool) -> None:
    """Search, and print what was found. Ends the program with status 1 where nothing keeps the promises."""
    from pullwright.forecast.search.errors import CannotSearch

    try:
        hunt = _hunt(line, asked)
        _take_up(hunt, asked.keep)
    except CannotSearch as error:
        stop(str(error))
    stopped = False
    try:
        with _progress(hunt) as told:
            hunt.search.run(progress=told)
    except KeyboardInterrupt:
        stopped = True
    except CannotSearch as error:
        stop(str(error))
    _put_down(hunt, asked.keep)
    answer = hunt.answer()
    if as_json:
        print_json(answer.as_dict())
    else:
        _show(answer, asked.keep if stopped else None)
    if stopped:
        raise typer.Exit(STOPPED)
    if answer.found is None:
        raise typer.Exit(1)


def _hunt(line: Line, asked: Asked) -> Hunt:
    from pullwright.forecast.search.find import hunt_of
    from pullwright.forecast.search.spreading import on_dask

    days = _DAYS if asked.days is None else asked.days
    return hunt_of(
        line, asked.text, asked.promises, days=days, warm_days=days // 4, seed=asked.seed, confidence=asked.confidence,
        workers=asked.workers if asked.workers is not None else os.cpu_count() or 1, hands=None if asked.dask is None else on_dask(asked.dask),
    )  # fmt: skip


def _take_up(hunt: Hunt, keep: Path | None) -> None:
    if keep is None or not keep.exists():
        return
    try:
        text = keep.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        stop(f"{keep} cannot be read ({error}): name a file that --keep wrote, or one that is not there yet.")
    hunt.search.resume(text)


def _put_down(hunt: Hunt, keep: Path | None) -> None:
    """Write the runs down; the old file stays whole until the new one is."""
    if keep is None:
        return
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", dir=keep.parent, prefix=keep.name, delete=False
        ) as file:
            file.write(hunt.search.saved())
        Path(file.name).replace(keep)
    except OSError as error:
        print(f"{keep} cannot be written ({error.strerror or error}): the runs are not kept.", file=sys.stderr)


@contextmanager
def _progress(hunt: Hunt) -> Iterator[Callable[[Progress], None] | None]:
    """Shows how far it is and the best so far; only where somebody looks on."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console

    with Console(stderr=True).status("Looking") as status:

        def told(at: Progress) -> None:
            best = "" if at.best is None else f"; best so far: {', '.join(f'{one:g}' for one in at.best.setting)}"
            status.update(
                f"{at.runs:,} runs of {at.tried} settings, {at.left} left{best} (Ctrl-C stops and keeps what was found)"
            )

        yield told


def _show(answer: Answer, keep: Path | None) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
    for sentence in answer.words:
        console.print(sentence, soft_wrap=True, markup=False)
    if answer.tried:
        table = Table(box=box.SIMPLE_HEAD)
        table.add_column("tried")
        table.add_column("runs", justify="right")
        for name in _measured(answer.tried):
            table.add_column(name, justify="right")
        table.add_column("")
        for one in answer.tried:
            by_name = {outcome.name: outcome.words for outcome in one.outcomes}
            named = [by_name.get(name, "") for name in _measured(answer.tried)]
            table.add_row(one.words, f"{one.runs}", *named, one.verdict + (f": {one.note}" if one.note else ""))
        console.print(table)
    for sentence in answer.left_out:
        console.print(f"  Not run: {sentence}", soft_wrap=True, markup=False)
    if keep is not None:
        console.print(f"Stopped. The same call goes on from {keep}.", soft_wrap=True, markup=False)


def _measured(tried: Sequence[Tried]) -> list[str]:
    return list(dict.fromkeys(outcome.name for one in tried for outcome in one.outcomes))
