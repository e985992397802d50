"""What is kept of runs: orders that were never shipped, days that count, and runs joined."""

from __future__ import annotations

import numpy as np

from pullwright.flow import flow_of
from pullwright.forecast.layout import layout_of
from pullwright.forecast.promised import terms_of
from pullwright.forecast.running import Running
from pullwright.forecast.seen import Seen, joined
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine


def seen(text: str, *, days: int, warm: int = 0, numbers: range = range(3)) -> Seen:
    line = Line.from_text(text)
    flow = flow_of(line)
    return Running(seed=0, workers=1).run(layout_of(line), terms_of(flow, flow.givens), numbers, warm=warm, days=days)


def test_an_order_that_was_never_shipped_waited_longer_than_any_number():
    # An order every 60 s, 120 s of work: of the 480 orders of a day the first half is shipped, each 60 s later than the one before.
    one = seen(line_text([machine("120 s")], demand="{mean: 480 /d, cv: 0}"), days=1)

    for waited in one.placed(None, 0.0):
        assert waited.size == one.ordered[0].sum()
        assert np.isinf(waited).sum() == one.waiting[0, -1, 0]


def test_orders_placed_too_late_to_know_are_left_out():
    one = seen(line_text([machine("30 s")], demand="{mean: 480 /d, cv: 0}"), days=4)

    assert [placed.size for placed in one.placed(None, 1.0)] == one.ordered[:, :3].sum(axis=(1, 2)).tolist()


def test_days_of_warm_up_do_not_count():
    text = line_text([machine("30 s")], demand="{mean: 480 /d, cv: 0}")
    whole, late = seen(text, days=4), seen(text, days=4, warm=2)

    assert [one.size for one in late.placed(None, 0.0)] == whole.ordered[:, 2:].sum(axis=(1, 2)).tolist()
    assert [one.size for one in late.replies(None)] == whole.shipped[:, 2:].sum(axis=(1, 2)).tolist()


def test_pieces_that_lay_there_at_the_start_have_no_lead_time():
    text = line_text(
        [machine("30 s"), machine("30 s")],
        demand="{mean: 480 /d, cv: 0}",
        more="stores: [{before: t1, counted: 100}]\n",
    )
    one = seen(text, days=1)

    assert one.finished[0].sum() - one.leads(None)[0].size == 100


def test_runs_that_are_joined_are_those_of_one_go():
    text = line_text([machine("30 s", "cv: 0.5")], demand="400 /d")

    one, two = (
        seen(text, days=2, numbers=range(5)),
        joined(seen(text, days=2, numbers=range(2)), seen(text, days=2, numbers=range(2, 5))),
    )

    assert (one.ordered == two.ordered).all()
    assert all((a == b).all() for a, b in zip(one.response, two.response, strict=True))


def test_room_for_lead_times_grows_where_more_is_made_than_was_thought():
    # Put into stock by cards, more is made on the first day than is ordered.
    text = line_text(["release: {by: cards, cards: 4000, per_card: 1}, " + machine("5 s")], demand="10 /d")

    assert [one.size for one in seen(text, days=1).leads(None)] == [
        int(n) for n in seen(text, days=1).finished.sum(axis=(1, 2)) - 1
    ]
