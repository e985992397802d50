"""Which lines are plain, and why others are not."""

from __future__ import annotations

import pytest

from pullwright.forecast.paths.plain import BEGINS, ENDS, ORDERS, NotPlain, Plain, Wait, plain_of
from tests.forecast.paths.plain_lines import plain_text
from tests.forecast.small_lines import laid, line_text, machine, stores

SOME = "480 /d"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (line_text([machine("10 s") + ", after: []", machine("9 s") + ", after: []", machine("5 s") + ", after: [t0, t1]"], demand=SOME), "The flows of t0 join or part."),
        (line_text([machine("10 s"), "station: s0, " + machine("5 s")], demand=SOME), "s0 does several steps."),
        (line_text([machine("10 s") + ", also_at: [{station: s1, share: 25 %}]", machine("1 s")], demand=SOME), "t0 is done at several stations."),
        (line_text([machine("10 s") + ", set_up: {time: 100 s, people: 0}, lot: 3, transfer_lot: 1"], demand=SOME), "t0 has set-ups."),
        (line_text([machine("10 s") + ", transfer_lot: 3", machine("5 s")], demand=SOME), "t0 hands on 3 pieces at a time."),
        (line_text([machine("10 s") + ", scrap: 1 %"], demand=SOME), "t0 has scrap or rework."),
        (line_text([machine("10 s") + ", rework: {share: 5 %, people: 0}"], demand=SOME), "t0 has scrap or rework."),
        (line_text([machine("10 s")], demand=SOME, stations=["breakdowns: {between: 1 h, repair: 1 min, counted_by: clock}"]), "s0 breaks down by the clock."),
        (line_text([machine("10 s")], demand=SOME, stations=["machines: 2, breakdowns: {between: 1 h, repair: 1 min}"]), "s0 has several machines that break down."),
        (line_text(["manual: 9 s", "manual: 5 s"], demand=SOME, more="people: [{name: hands, number: 1}]\n"), "t0 may have to wait for people."),
        (line_text(["manual: 9 s"], demand=SOME, more="pressure: {above: 3, faster: 10 %, more_defects: 150 %}\npeople: [{name: hands, number: 1}]\n"), "People hurry at t0 where much lies before it."),
        (line_text([machine("10 s")], demand=SOME, more="stores: [{after: t0, capacity: 0}]\n"), "The finished store has no room."),
        (
            line_text([machine("10 s") + ", release: {by: cap, limit: 1, until: t1}", machine("5 s")], demand=SOME, stations=["", "machines: 2"]),
            "t0 may begin 1 pieces before one comes out; at least 2 are needed to know the order in which the machines of its loop end theirs.",
        ),
    ],
)  # fmt: skip
def test_what_is_not_plain_is_said_in_a_sentence(text, why):
    assert plain_of(laid(text)) == NotPlain(why)


def test_a_line_of_two_products_is_not_plain():
    text = (
        "line: two\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        "products: [{name: A, demand: 48 /d}, {name: B, demand: 32 /d}]\n"
        "stations: [{name: s0}]\nsteps: [{name: t0, station: s0, machine: 10 s, people: 0}]\n"
    )
    assert plain_of(laid(text)) == NotPlain("The line makes 2 products.")


def test_a_line_that_may_be_short_of_parts_or_people_of_a_shift_is_not_plain():
    text = line_text([machine("10 s"), machine("5 s")], demand=SOME).replace(
        "demand:", "uses: [{part: nut, quantity: 2, at: t1}], demand:"
    )
    assert isinstance(plain_of(laid(text + "parts: [{name: nut, price: 1 EUR}]\n")), Plain)
    lots = "parts: [{name: nut, price: 1 EUR, delivery_lot: 500, lead_time: 2 d}]\n"
    assert plain_of(laid(text + lots)) == NotPlain("t1 takes parts that may be short.")
    two = text.replace(
        "{name: day, from: '06:00', to: '14:00'}",
        "{name: day, from: '06:00', to: '14:00'}, {name: late, from: '14:00', to: '22:00'}",
    )
    assert plain_of(
        laid(two.replace("{name: s0}", "{name: s0, shifts: [day]}") + "parts: [{name: nut, price: 1 EUR}]\n")
    ) == NotPlain("Stations or crews have shifts of their own.")


def test_people_who_are_enough_for_everything_at_once_keep_a_line_plain():
    steps = ["manual: 9 s", "manual: 5 s"]
    assert isinstance(plain_of(laid(line_text(steps, demand=SOME))), Plain)
    for number, plain in ((2, False), (3, True)):
        text = line_text(
            steps, demand=SOME, stations=["machines: 2"], more=f"people: [{{name: a, number: {number}}}]\n"
        )
        assert isinstance(plain_of(laid(text)), Plain) is plain
    own = "people: [{name: a, number: 1, skills: [t0]}, {name: b, number: 1, skills: [t1]}]\n"
    assert isinstance(plain_of(laid(line_text(steps, demand=SOME, more=own))), Plain)


def test_a_plain_line_says_what_each_step_waits_for():
    text = line_text(
        [machine("10 s") + ", release: {by: cap, limit: 3, until: t1}", machine("5 s"), machine("7 s") + ", release: {by: cards, cards: 2, per_card: 4}", machine("1 s")],
        demand=SOME, more=stores([0, 3]),
    )  # fmt: skip
    plain = plain_of(laid(text))
    assert isinstance(plain, Plain)
    assert [step.room for step in plain.steps][1:3] == [0, 3]
    assert [step.comes for step in plain.steps] == [Wait(ORDERS, 0, 0, 1), None, None, None]
    assert [step.asks for step in plain.steps] == [Wait(ENDS, 1, 3, 1), None, Wait(BEGINS, 3, 8, 4), None]
    assert plain.offsets == (0, 0, 0, 0, 0)


def test_steps_with_several_machines_run_ahead_and_stock_is_begun_first():
    text = line_text(
        [machine("10 s"), machine("5 s")],
        demand=SOME,
        stations=["machines: 3"],
        more="stores: [{before: t1, counted: 4}]\n",
    )
    plain = plain_of(laid(text))
    assert isinstance(plain, Plain)
    assert plain.offsets == (0, 2 - 4, 2 - 4)


def test_the_lines_that_the_kernels_are_compared_on_are_plain_and_varied():
    found = [plain_of(laid(plain_text(seed))) for seed in range(60)]
    assert all(isinstance(one, Plain) for one in found)
    steps = [step for one in found for step in one.steps]
    assert {0, 1, 5} <= {step.room for step in steps}
    assert {step.asks.what for step in steps if step.asks is not None} >= {BEGINS, ENDS, ORDERS}
    assert {step.machines for step in steps} == {1, 2, 3}
    assert any(step.breaks for step in steps)
    assert any(step.way for step in steps)
    assert any(step.stock for step in steps)
    assert any(0 < share < 1 for step in steps for _, share in step.elements)
