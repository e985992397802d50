"""The rest of a day that runs: what is done and started stands, the pieces are those asked for now, and it says whether work ends in time."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.sequence.again import again
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.of_line import Planning, day_of
from pullwright.pull.sequence.rest import Rest, rest_of, standing_of
from pullwright.pull.sequence.typed_rest import BadRest, read_rest
from tests.pull.sequence.every_sequence import each_by_itself, every_sequence, unevenness
from tests.pull.sequence.sequenced_lines import carts

FLOW = carts(set_up="{time: 1 min}", parts=False)
NAMES = ("red", "blue", "green")


@pytest.fixture(scope="module")
def morning() -> Day:
    return day_of(FLOW)


@pytest.fixture(scope="module")
def full() -> tuple:
    """A day in whose work there is hardly a minute to spare, with set-ups that take their time."""
    flow = carts(set_up="{time: 12 min, pairs: [{from: green, to: red, time: 20 min}]}")
    return flow, day_of(flow)


def lost_and_done(rest: Rest) -> Counter:
    return Counter(rest.begun.done) + Counter(rest.begun.lost)


# --- laws -------------------------------------------------------------------------------------------------------------


def test_with_nothing_done_and_nothing_changed_the_day_is_the_day(morning: Day) -> None:
    rest = rest_of(FLOW, morning, {})

    assert rest.day.sequence == morning.sequence
    assert rest.stays
    assert rest.fits
    assert [slot.pieces for slot in rest.day.slots] == [slot.pieces for slot in morning.slots]
    assert [(slot.start, slot.end) for slot in rest.day.slots] == [(slot.start, slot.end) for slot in morning.slots]
    assert rest.squares.value == pytest.approx(morning.squares)


@settings(max_examples=12, deadline=None)
@given(
    st.integers(0, 24),
    st.integers(0, 6),
    st.sampled_from(["", "06:10", "08:00", "09:59", "10:15", "12:40", "13:59"]),
    st.fixed_dictionaries({name: st.integers(0, 14) for name in NAMES}).filter(lambda n: sum(n.values()) > 0),
    st.integers(0, 2),
)
def test_what_is_done_and_started_stands_and_the_pieces_add_up(
    done: int, started: int, now: str, asked: dict[str, int], lost: int
) -> None:
    morning = day_of(FLOW)
    started = min(started, 24 - done)
    made = Counter(morning.sequence[:done])
    lost = min(lost, made["red"])
    typed = {"done": str(done), "started": str(started), "now": now, "lost.red": str(lost)}

    rest = rest_of(FLOW, morning, typed | {f"asked.{name}": str(n) for name, n in asked.items()})

    good = made - Counter({"red": lost})
    assert lost_and_done(rest) == made
    assert Counter(rest.day.sequence[: rest.day.done]) == good
    assert rest.coming[:started] == morning.sequence[done : done + started]
    begun = Counter(rest.coming[:started])
    for name, n in asked.items():
        whole = rest.day.sequence.count(name) + rest.day.left_over.get(name, 0)
        assert whole == max(n, good[name] + begun[name])
    assert [piece for slot in rest.day.slots for piece in slot.pieces] == list(rest.day.sequence)
    assert rest.fits == (not rest.day.left_over)
    assert (rest.overtime.value < 1) == rest.fits
    assert rest.squares.value >= rest.at_least.value - 1e-9


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.sampled_from("aab"), min_size=4, max_size=7).map(tuple),
    st.integers(0, 4),
    st.integers(0, 2),
    st.integers(0, 3),
)
def test_no_order_of_the_rest_is_more_even(planned: tuple[str, ...], done: int, started: int, more: int) -> None:
    made = planned[:done]
    lost = made[-1:] if more else ()
    good = made[: len(made) - len(lost)]
    asked = Counter(planned) + Counter({"b": more})

    day = again(planned, good, {name: asked[name] for name in "ab"}, started=started, lost=lost)

    before = (*good, *day.frozen)
    gone = Fraction(len(before), len(planned))
    ahead = [before.count(name) - gone * planned.count(name) for name in "ab"]
    counts = [day.rest.count(name) for name in "ab"]
    least = min(unevenness(order, each_by_itself(2), ahead) for order in every_sequence(counts))
    assert unevenness(["ab".index(name) for name in day.rest], each_by_itself(2), ahead) == least
    assert day.frozen == planned[done : done + started]


def test_work_until_the_time_that_it_says_makes_all_of_it_and_a_minute_less_does_not(full: tuple) -> None:
    flow, morning = full
    typed = {"done": "9", "now": "10:40", "started": "2", "asked.green": "5 more"}
    rest = rest_of(flow, morning, typed)
    until = rest.all_until

    assert rest.day.left_over
    assert until is not None
    enough = rest_of(flow, morning, typed | {"until": f"{until:%H:%M}"})
    assert enough.fits
    assert not enough.day.left_over
    assert enough.day.slots[-1].end == pytest.approx(until.hour * 3600 + until.minute * 60, abs=61)
    short = rest_of(flow, morning, typed | {"until": f"{until.hour}:{until.minute - 1:02d}"})
    assert not short.fits


def test_set_ups_begin_from_the_product_that_was_made_last_even_where_that_piece_is_lost(full: tuple) -> None:
    flow, morning = full
    last = morning.sequence[5]

    lost = rest_of(flow, morning, {"done": "6", f"lost.{last}": "1"})
    other = rest_of(flow, morning, {"done": "6", "on": next(name for name in morning.sequence[:6] if name != last)})

    assert lost.begun.on == last
    assert lost.set_ups()[0].value == sum(a != b for a, b in zip((last, *lost.coming), lost.coming, strict=False))
    assert other.begun.on != last
    time = sum(
        1200 if (a, b) == ("green", "red") else 720
        for a, b in zip((lost.begun.on, *lost.coming), lost.coming, strict=False)
        if a != b
    )
    assert lost.set_ups()[1].value == time
    assert lost.needed.value <= lost.time_left.value + 1


def test_pieces_said_by_product_are_the_first_ones_of_each(morning: Day) -> None:
    rest = rest_of(FLOW, morning, {"done.red": "3", "done.green": "1"})

    assert Counter(rest.begun.done) == {"red": 3, "green": 1}
    assert Counter(rest.coming) == Counter(morning.sequence) - Counter(rest.begun.done)
    started = rest_of(FLOW, morning, {"done.red": "3", "done.green": "1", "started": "2"})
    assert started.coming[:2] == started.came[:2] == rest.came[:2]


def test_what_is_started_stays_where_its_order_falls_away(morning: Day) -> None:
    rest = rest_of(FLOW, morning, {"started": "6", "asked.blue": "0", "asked.green": "0"})

    assert rest.coming[:6] == morning.sequence[:6]
    assert set(rest.coming[6:]) == {"red"}
    assert "started already that nobody asks for now" in " ".join(rest.day.said)


def test_a_second_change_goes_on_from_the_first(morning: Day) -> None:
    first = rest_of(FLOW, morning, {"done": "6", "now": "08:00", "asked.green": "2 more"})
    second = rest_of(FLOW, first, {"done": "10", "now": "09:30"})

    assert second.day.sequence[:10] == first.day.sequence[:10]
    assert second.day.asked["green"].value == 6
    assert second.coming == first.day.sequence[10:] or not second.stays
    names = [*first.day.figures(), *second.day.figures()]
    assert len({name for name in names if "anew" in name}) == len([name for name in names if "anew" in name])


def test_how_far_it_should_be_is_told_from_the_takt_of_the_plan(morning: Day) -> None:
    rest = rest_of(FLOW, morning, {"done": "6", "now": "09:50"})

    assert rest.due is not None
    assert rest.due.value == 12  # 220 of 440 min
    assert rest.time_left.value == 220 * 60


# --- what cannot be ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"done": "25"}, "done", "'25' was read; allowed: whole numbers from 0 to 24"),
        ({"done": "-3"}, "done", "'-3' was read"),
        ({"done": "twelve"}, "done", "Type how many pieces of the sequence are finished"),
        ({"done": "3", "done.red": "2"}, "done", "allowed: one of the two"),
        ({"done.blue": "9"}, "done.blue", "whole numbers from 0 to 8 (8 are planned)"),
        ({"done.pink": "1"}, "done.pink", "product 'pink' was read; allowed: red, blue, green"),
        ({"asked.blu": "1"}, "asked.blu", "did you mean blue?"),
        ({"done": "20", "started": "5"}, "started", "whole numbers from 0 to 4"),
        ({"now": "05:30"}, "now", "allowed: times from 06:00 to 14:00"),
        ({"now": "15:00"}, "now", "Type the time on the clock now"),
        ({"now": "25:00"}, "now", "such as 10:20"),
        ({"now": "13:00", "until": "12:00"}, "until", "allowed: a time after now"),
        ({"asked.blue": "-2"}, "asked.blue", "For fewer type '2 fewer'"),
        ({"asked.blue": "9 fewer"}, "asked.blue", "only 8 are asked for"),
        ({"asked.blue": " 2"}, "asked.blue", "For more type '2 more'"),
        ({"asked.blue": "9999999"}, "asked.blue", "allowed: whole numbers from 0 to 5,000"),
        ({"asked.red": "0", "asked.blue": "0", "asked.green": "0"}, "asked.red", "0 pieces of every product were read"),
        ({"done": "6", "lost.green": "5"}, "lost.green", "allowed:"),
        ({"on": "blue"}, "on", "say first what is"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(morning: Day, typed: dict[str, str], field: str, said: str) -> None:
    with pytest.raises(BadRest) as refused:
        read_rest(typed, standing_of(Planning(FLOW), morning))
    assert said in refused.value.wrong[field]
    assert set(refused.value.wrong) == {field}


def test_all_that_cannot_be_is_said_at_once(morning: Day) -> None:
    with pytest.raises(BadRest) as refused:
        read_rest({"now": "soon", "started": "99", "asked.red": "many"}, standing_of(Planning(FLOW), morning))
    assert set(refused.value.wrong) == {"now", "started", "asked.red"}


@pytest.mark.parametrize("said", ["6 more", "+6", "14", "14 "])
def test_what_is_asked_for_is_said_whole_or_against_what_it_was(morning: Day, said: str) -> None:
    begun = read_rest({"asked.blue": said}, standing_of(Planning(FLOW), morning))
    assert begun.asked is not None
    assert dict(begun.asked) == {"red": 12, "blue": 14, "green": 4}


def test_what_happened_before_cannot_be_taken_back(morning: Day) -> None:
    first = rest_of(FLOW, morning, {"done": "6", "now": "08:00"})
    with pytest.raises(BadRest) as refused:
        rest_of(FLOW, first, {"done": "4", "now": "07:00"})
    assert "6 were done when the day was last planned anew" in refused.value.wrong["done"]
    assert "at 08:00 the day was planned anew" in refused.value.wrong["now"]
