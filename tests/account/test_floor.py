"""Stock on the floor: whole containers, whole stacks, and nothing for a queue that nobody has counted and that never ends."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line

LINE = """
line: frames
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products: [{name: frame, demand: 90 /d}]
stations: [{name: saw}, {name: bench}]
steps:
  - {name: cut, station: saw, manual: 20 s}
  - {name: join, station: bench, manual: WORK}
stores: [{before: join, STORE container: {holds: 7, floor: 2 m2, stack: 3}}]
people: [{name: crew, number: 4}]
"""


def floor(store: str = "", work: str = "30 s") -> Accounts:
    return accounts_of(Line.from_text(LINE.replace("STORE", store).replace("WORK", work)))


@pytest.mark.parametrize(("pieces", "area"), [(0, 0), (1, 2), (7, 2), (21, 2), (22, 4), (42, 4), (43, 6)])
def test_containers_and_stacks_are_rounded_up(pieces, area):
    account = floor(f"counted: {pieces},").floor
    assert account.row("stock needed").amount.value + account.row("stock beyond").amount.value == area


def test_needed_containers_are_rounded_up_first_and_the_rest_is_beyond():
    account = floor("counted: 43,").floor
    assert (account.row("stock needed").amount.value, account.row("stock beyond").amount.value) == (2, 4)


def test_a_queue_without_end_takes_no_floor_until_somebody_counts_it():
    overloaded = floor(work="400 s")
    assert not overloaded.flow.keeps_up
    assert overloaded.floor.whole.value == 0
    assert floor("counted: 43,", "400 s").floor.whole.value == 6


def test_draws_without_end_take_no_floor_either():
    unsure = "{low: 250 s, likely: 300 s, high: 400 s}"
    text = LINE.replace("STORE", "").replace("WORK", unsure)
    accounts = accounts_of(Line.from_text(text))
    (stock,) = [stock for stock in accounts.flow.stocks if stock.words == "before join"]
    assert np.isfinite(stock.held.value)
    assert np.isinf(stock.held.draws).any()
    for account in (accounts.floor, accounts.tied_up):
        for row in account.rows:
            assert np.isfinite(row.amount.draws).all(), row.words
            assert row.amount.draws.min() >= 0.0, row.words


def test_without_a_total_only_what_stands_there_is_counted():
    account = floor("counted: 43,").floor
    assert account.whole.value == 6
    assert account.unexplained.amount.value == 0
    assert account.notes == ("The floor that is paid for is not given: only what is known to stand on it is counted.",)
