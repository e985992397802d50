"""A large log is told by compiled loops and in turns: they give what whole arrays give, to the last digit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log import laid
from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events
from pullwright.watch.log.laid import Laid, in_groups, order_in_time, order_within
from pullwright.watch.log.looked import Looked
from pullwright.watch.log.oddities import oddities
from pullwright.watch.log.order_kernel import LONGEST_TIE
from pullwright.watch.log.story import story

from .made_rows import CHAPTERS, booking, log_of

NEVER = 1 << 60


def untidy(seed: int, size: int = 900) -> Events:
    """A log with whatever may be odd: open rows, rows twice, equal moments, no station, several at once, scrap, stops."""
    rng = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    for _ in range(size):
        day, start = float(rng.integers(0, 40)), float(rng.integers(0, 48)) * 10
        day += 2 * (day // 5)
        end: float | None = start + float(rng.choice([0, 7.5, 20, 33.3, 90]))
        if rng.random() < 0.02:
            end = None
        row = booking(f"A{rng.integers(size // 6)}", f"step {'abcdef'[rng.integers(6)]}", start, end, day)
        row |= {"station": None if rng.random() < 0.05 else f"M{rng.integers(4)}", "person": f"W{rng.integers(5)}"}
        row |= {
            "product": f"P{rng.integers(3)}",
            "good": float(rng.integers(0, 9)),
            "scrap": float(rng.integers(0, 3)) / 3,
        }
        row |= {"asked": 8.0, "kind": str(rng.choice(["run", "run", "run", "set-up", "down"])), "span": 1200.0}
        rows.append(row)
        if rng.random() < 0.02:
            rows.append(dict(row))
    return log_of(rows)


def in_words(found: Iterable[Any]) -> list[str]:
    """Everything, floats to their last digit."""
    with pl.Config(tbl_rows=-1, tbl_cols=-1, float_precision=17), np.printoptions(threshold=NEVER, precision=17):
        return [repr(one) for one in found]


def everything(events: Events) -> list[str]:
    log = Looked(Laid(events))
    found = oddities(events, log)
    decided = decide(events, log=log)
    whole = story(decided).tell()
    return in_words([found, decided.aside, decided.changed, *(getattr(whole, name) for name in CHAPTERS)])


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_large_and_small_logs_are_told_alike(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    events = untidy(seed)
    monkeypatch.setattr(laid, "LARGE", NEVER)
    small = everything(events)
    monkeypatch.setattr(laid, "LARGE", 0)

    for as_large, as_small in zip(everything(events), small, strict=True):
        assert as_large == as_small


def test_a_log_that_was_laid_out_before_is_told_like_one_that_was_not() -> None:
    events = untidy(4)
    clean = events.table.filter(pl.col("end").is_not_null()).unique(maintain_order=True, subset=pl.exclude("row"))
    events = Events(clean, events.file, events.has)
    log = Looked(Laid(events))
    oddities(events, log)
    decided = decide(events, log=log)

    assert decided.looked is log
    again = story(decide(events, merges=decided.merges))
    for name in CHAPTERS:
        assert in_words([getattr(story(decided), name)]) == in_words([getattr(again, name)])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from([3, 40, 2_000]), st.booleans())
def test_compiled_and_whole_orders_are_those_of_a_plain_sort(seed: int, spread: int, in_line: bool) -> None:
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 4 * LONGEST_TIE))
    at, then = rng.integers(0, spread, size), rng.integers(0, 5, size)
    at = np.sort(at) if in_line else at
    group = rng.integers(0, 9, size).astype(np.int32)
    plain = sorted(range(size), key=lambda k: (at[k], then[k]))
    by_group = sorted(plain, key=lambda k: group[k])
    for large in (0, NEVER):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(laid, "LARGE", large)

            assert order_in_time(at, then).tolist() == plain
            assert order_within(group, at, then).tolist() == by_group
            assert in_groups(np.array(plain[::2]), group, 9).tolist() == [k for k in by_group if k in set(plain[::2])]
