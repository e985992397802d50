"""Small lines worked out by hand, to the second: what docs/forecast.md says of every rule."""

from __future__ import annotations

import pytest

from pullwright.forecast.errors import CannotRun
from pullwright.forecast.events.rows import HELD, NOBODY, NOT_ASKED, STARVED
from tests.forecast.small_lines import ends, laid, line_text, machine, run, stores

EVERY_MINUTE = "{mean: 480 /d, cv: 0}"
"""An order at 60 s, at 120 s and so on."""
EVERY_TEN = "{mean: 48 /d, cv: 0}"
"""An order at 600 s, at 1200 s and so on."""


def test_a_unit_is_begun_to_order_and_goes_on_as_soon_as_it_is_ended():
    text = line_text([machine("20 s"), machine("30 s")], demand=EVERY_MINUTE)
    assert ends(text)[:3] == [110, 170, 230]
    (found,) = run(text, days=1)
    assert set(found.lead[0]) == set(found.response[0]) == {50.0}


def test_a_machine_whose_next_place_is_full_holds_its_piece_and_is_blocked():
    # t0 takes 10 s, t1 100 s, one piece fits between: orders at 60, 120, ...; t1 sets the pace from its first piece on.
    text = line_text([machine("10 s"), machine("100 s")], demand=EVERY_MINUTE, more=stores([1]))
    assert ends(text)[:4] == [170, 270, 370, 470]
    (found,) = run(text, days=1)
    working, held = found.times[0, 0], found.times[0, HELD]
    assert working == pytest.approx(10 * found.made[0], abs=10)
    assert held > 28_000 - working
    assert found.peak[1] == 1


def test_where_no_place_is_at_all_a_piece_goes_straight_on_to_the_idle_machine():
    text = line_text([machine("50 s"), machine("70 s")], demand="{mean: 960 /d, cv: 0}", more=stores([0]))
    assert ends(text)[:3] == [150, 220, 290]
    assert run(text, days=1)[0].peak[1] <= 1


def test_a_card_lets_one_piece_begin_when_one_is_taken():
    # Two cards of one piece: two are made at once, and the next when the first is shipped.
    text = line_text([machine("100 s") + ", release: {by: cards, cards: 2, per_card: 1}"], demand=EVERY_TEN)
    assert ends(text)[:4] == [100, 200, 700, 1300]
    assert set(run(text, days=1)[0].response[0]) == {0.0}


def test_a_card_of_several_pieces_goes_back_with_the_last_of_them():
    text = line_text([machine("10 s") + ", release: {by: cards, cards: 1, per_card: 3}"], demand=EVERY_TEN)
    assert ends(text)[:6] == [10, 20, 30, 1810, 1820, 1830]


def test_a_cap_lets_a_piece_in_when_one_has_ended_its_last_step():
    text = line_text(
        [machine("10 s") + ", release: {by: cap, limit: 1, until: t1}", machine("100 s")], demand=EVERY_MINUTE
    )
    # Orders at 60, 120, 180: in the line from 60 to 170, from 170 to 280, ...
    assert ends(text)[:3] == [170, 280, 390]
    (found,) = run(text, days=1)
    assert found.peak[-1] == 1
    assert found.times[0, NOT_ASKED] > found.times[0, STARVED]  # mostly not asked, hardly ever without an order


def test_a_schedule_begins_pieces_whether_they_are_pulled_or_not():
    text = line_text([machine("10 s") + ", release: {by: push, rate: 288 /d}"], demand=EVERY_TEN)
    assert ends(text)[:3] == [10, 110, 210]
    (found,) = run(text, days=1)
    assert (found.finished.sum(), found.ordered.sum()) == (288, 47)


def test_a_set_up_comes_before_each_lot_and_the_lot_goes_on_together():
    text = line_text(
        [machine("10 s") + ", set_up: {time: {mean: 100 s, cv: 0}, people: 0}, lot: 3", machine("5 s")],
        demand=EVERY_MINUTE,
    )
    # Order at 60: set up till 160; 160 to 170, 170 to 180; the third, ordered at 180, till 190; then all three go on.
    assert ends(text)[:3] == [195, 200, 205]
    # Fourth, ordered at 240: set up till 340; fourth to sixth (360) end at 350, 360, 370.
    assert ends(text)[3:6] == [375, 380, 385]


def test_a_set_up_between_two_products_takes_its_own_time():
    text = (
        "line: two\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        "products: [{name: A, demand: {mean: 48 /d, cv: 0}}, {name: B, demand: {mean: 32 /d, cv: 0}}]\n"
        "stations: [{name: s0}]\nsteps:\n"
        "  - {name: t0, station: s0, machine: 10 s, people: 0, lot: 1, transfer_lot: 1,\n"
        "     set_up: {time: {mean: 20 s, cv: 0}, people: 0, pairs: [{from: A, to: B, time: {mean: 100 s, cv: 0}}]}}\n"
    )
    # A at 600 (20 + 10), B at 900 (100 + 10), A at 1200 and again at 1800 (20 + 10), B at 1800 after that A (100 + 10).
    assert ends(text)[:5] == [630, 1010, 1230, 1830, 1940]


def test_pieces_are_carried_for_as_long_as_their_way_takes():
    move = "moves: [{from: t0, to: t1, distance: 50 m, speed: 1 m/s, handling: 10 s, batch: 2}]\n"
    text = line_text([machine("10 s"), machine("5 s")], demand=EVERY_MINUTE, more=move)
    # Two are carried together: ended at 70 and 130, carried till 190.
    assert ends(text)[:2] == [195, 200]


def test_flows_that_join_wait_for_one_another_and_count_as_one():
    text = line_text(
        [machine("10 s"), machine("40 s") + ", after: []", machine("5 s") + ", after: [t0, {step: t1, quantity: 2}]"],
        demand=EVERY_TEN,
    )
    # Two pieces of t1 for one: 600 to 640, 640 to 680; joined till 685.
    assert ends(text)[:2] == [685, 1285]
    assert run(text, days=1)[0].made.tolist() == [47, 94, 47]


def test_what_is_scrapped_is_begun_anew_where_work_is_begun_to_order():
    text = line_text([machine("10 s") + ", scrap: 50 %"], demand=EVERY_TEN)
    (found,) = run(text, days=100)
    assert found.shipped.sum() == found.ordered.sum() == found.finished.sum()
    tries = (found.response[0] / 10).astype(int)
    assert set(found.response[0] % 10) == {0.0}
    assert tries.mean() == pytest.approx(2.0, rel=0.05)
    assert found.scrapped.sum() == tries.sum() - found.finished.sum()


def test_what_is_put_right_on_the_spot_keeps_the_machine_in_its_own_time():
    text = line_text(
        [machine("10 s") + ", rework: {share: 50 %, time: {mean: 25 s, cv: 0}, people: 0}"], demand=EVERY_TEN
    )
    assert set(run(text, days=20)[0].response[0]) == {10.0, 35.0}


def test_what_goes_back_goes_through_again_even_where_the_place_is_full():
    text = line_text(
        [machine("10 s"), machine("20 s") + ", rework: {share: 50 %, to: t0}"], demand=EVERY_TEN, more=stores([1])
    )
    times = run(text, days=60)[0].response[0]
    assert set(times % 30) == {0.0}
    assert (times / 30).mean() == pytest.approx(2.0, rel=0.06)


def test_a_piece_that_goes_back_across_a_joint_takes_no_parts_again():
    text = line_text(
        [machine("10 s"), machine("10 s") + ", after: []", machine("5 s") + ", after: [t0, t1]", machine("5 s") + ", rework: {share: 50 %, to: t0}"],
        demand=EVERY_TEN,
    )  # fmt: skip
    (found,) = run(text, days=60)
    assert found.made[1] == found.ordered.sum()
    assert set(found.response[0] % 20) == {0.0}


def test_one_person_for_two_steps_serves_the_one_nearer_to_the_customer_first():
    people = "people: [{name: hands, number: 1}]\n"
    text = line_text(["manual: {mean: 50 s, cv: 0}", "manual: {mean: 30 s, cv: 0}"], demand=EVERY_MINUTE, more=people)
    # 60 to 110 at t0, then t1 till 140 although an order came at 120; 140 to 190, 190 to 220; ...
    assert ends(text)[:3] == [140, 220, 300]
    (found,) = run(text, days=1)
    assert found.times[0, NOBODY] > 0  # t0 waited for the person


def test_a_person_is_free_while_the_machine_works_alone():
    people = "people: [{name: hands, number: 1}]\n"
    text = line_text(
        ["manual: {mean: 10 s, cv: 0}, machine: 100 s", "manual: {mean: 20 s, cv: 0}"], demand=EVERY_MINUTE, more=people
    )
    # t0: hands 60 to 70, alone till 170; t1: 170 to 190 with the hands; t0 again from 190 (hands were at t1) to 200, alone till 300.
    assert ends(text)[:2] == [190, 320]


def test_two_machines_of_a_station_work_side_by_side():
    text = line_text([machine("110 s")], demand=EVERY_MINUTE, stations=["machines: 2"])
    assert ends(text)[:3] == [170, 230, 290]


def test_another_station_does_its_share_and_takes_as_much_longer_as_it_says():
    text = line_text(
        [machine("10 s") + ", also_at: [{station: s1, share: 25 %, times: 2}]", machine("1 s")], demand=EVERY_TEN
    )
    times = run(text, days=100)[0].response[0]
    assert set(times) == {11.0, 21.0}
    assert (times == 21.0).mean() == pytest.approx(0.25, abs=0.02)


def test_stock_that_lies_there_is_used_first():
    text = line_text([machine("10 s"), machine("20 s")], demand=EVERY_TEN, more="stores: [{before: t1, counted: 3}]\n")
    (found,) = run(text, days=1)
    assert found.made[1] == found.made[0] + 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (line_text([machine("1 s") + ", release: {by: cap, limit: 2, until: t1}, lot: 5", machine("1 s")], demand="1 /d"), "cap of t0"),
        (line_text(["manual: 1 s, people: 3"], demand="1 /d", more="people: [{name: a, number: 2}]\n"), "needs 3 people"),
    ],
)  # fmt: skip
def test_what_cannot_be_run_is_named(text, said):
    with pytest.raises(CannotRun, match=said):
        laid(text)


def test_of_several_counts_the_latest_is_what_lies_there():
    counts = "stores: [{before: t1, counts: [{on: 2026-03-09, pieces: 5}, {on: 2026-03-02, pieces: 3}]}]\n"
    text = line_text([machine("10 s"), machine("20 s")], demand=EVERY_TEN, more=counts)
    (found,) = run(text, days=1)
    assert found.made[1] == found.made[0] + 5


def pressed(step: str, more_defects: str) -> str:
    return line_text(
        [machine("1 s"), step],
        demand=EVERY_MINUTE,
        more=f"stores: [{{before: t1, counted: 2}}]\npressure: {{above: 1, faster: 10 %, more_defects: {more_defects}}}\n",
    )


def test_people_hurry_when_more_than_usual_lies_before_them():
    # Pieces come at 61, 121, ...; when the fifth is taken at 400 three more lie there, which is more than the two that are usual.
    assert ends(pressed("manual: {mean: 100 s, cv: 0}", "100 %"))[:6] == [100, 200, 300, 400, 490, 580]


def test_who_hurries_makes_more_defects():
    (found,) = run(pressed("manual: {mean: 100 s, cv: 0}, scrap: 50 %", "200 %"), days=1)
    assert found.lead[1].max() <= 400
    assert found.scrapped[0, 1] > 250
