"""The cards of whole lines: which loops there are, what they are sized from, what is said and refused, and what changes in the file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from bench.lines import line_text
from pullwright.figure import Source
from pullwright.figure import given as given_figure
from pullwright.flow import Flow, flow_of
from pullwright.line import Line
from pullwright.pull.cards.card import Card, Cards, faces
from pullwright.pull.cards.explained import REASONS
from pullwright.pull.cards.of_line import cards_of
from pullwright.pull.changes import applied
from tests.flow.generated_lines import lines as odd_lines

ROOT = Path(__file__).parents[3]


def small(**changes: Any) -> Line:
    line: dict[str, Any] = {
        "line": "small",
        "calendar": {"shifts": [{"name": "day", "from": "06:00", "to": "14:00"}]},
        "products": [
            {"name": "A", "demand": {"mean": "20 /d", "cv": 0.3}, "uses": [{"part": "bar", "quantity": 2, "at": "cut"}]},
            {"name": "B", "demand": {"mean": "10 /d", "cv": 0.3}, "uses": [{"part": "bar", "quantity": 2, "at": "cut"}]},
        ],
        "parts": [{"name": "bar", "price": "3 EUR", "mass": "2 kg", "container": {"holds": 40, "floor": "1 m2"}}],
        "stations": [{"name": "saw"}, {"name": "drill"}, {"name": "table"}],
        "steps": [
            {"name": "cut", "station": "saw", "machine": "6 min"},
            {
                "name": "bore", "station": "drill",
                "elements": [
                    {"what": "bore A", "machine": "8 min", "kind": "value", "for": ["A"]},
                    {"what": "bore B", "machine": "9 min", "kind": "value", "for": ["B"]},
                ],
            },
            {"name": "pack", "station": "table", "manual": "5 min"},
        ],
        "stores": [
            {"before": "bore", "capacity": 60, "container": {"holds": 6, "floor": "0.5 m2", "stack": 2}},
            {"before": "pack", "capacity": 20, "container": {"holds": 5, "floor": "0.5 m2"}},
        ],
    }  # fmt: skip
    for path, value in changes.items():
        here: Any = line
        keys = path.split("__")
        for key in keys[:-1]:
            here = here[int(key)] if key.isdigit() else here[key]
        here[int(keys[-1]) if keys[-1].isdigit() else keys[-1]] = value
    return Line.from_text(json.dumps(line), name="small.yaml")


def sized(**changes: Any) -> Cards:
    return cards_of(flow_of(small(**changes)))


def pump() -> Flow:
    return flow_of(Line.read(ROOT / "examples" / "hand_pump.yaml"))


def test_products_share_a_loop_until_something_tells_them_apart() -> None:
    found = [(card.name, card.kind, card.products) for card in sized().loops]
    assert found == [
        ("part bar", "withdrawal", ("A", "B")),
        ("cut", "production", ("A", "B")),
        ("bore / A", "production", ("A",)),
        ("bore / B", "production", ("B",)),
        ("pack / A", "production", ("A",)),
        ("pack / B", "production", ("B",)),
    ]


def test_what_is_asked_for_is_demand_times_pieces_with_all_that_is_lost_on_the_way() -> None:
    cards = sized(steps__2__scrap="20 %")
    assert cards.of("cut").loop.demand.value == pytest.approx(30 / 0.8)
    assert cards.of("pack / A").loop.demand.value == pytest.approx(20.0)
    assert cards.of("part bar").loop.demand.value == pytest.approx(2 * 30 / 0.8)


def test_unevenness_adds_up_product_by_product() -> None:
    """A cv of 0.3 of 20 and of 10 a day: variances 36 and 9, of 30 pieces."""
    assert sized().of("cut").loop.uneven.value == pytest.approx((36 + 9) / 30)


def test_wishes_of_the_file_are_kept() -> None:
    plan = {
        "cards": {
            "safety": "30 %",
            "service": "99 %",
            "holds": [{"of": "cut", "pieces": 4}, {"of": "bar", "pieces": 20}],
        }
    }
    cut = sized(plan=plan).of("cut")
    assert (cut.loop.safety.value, cut.loop.service.value, cut.per_card) == (0.3, 0.99, 4)
    assert "plan / cards / safety" in str(cut.rule.why())
    assert sized(plan=plan).of("part bar").per_card == 20


def test_without_wishes_a_tenth_is_safety_and_the_wished_on_time_share_is_service() -> None:
    cut = sized(products__0__on_time="97 %").of("cut")
    assert (cut.loop.safety.value, cut.loop.service.value) == (0.1, 0.97)


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"products__0__demand": {"mean": "24 /d", "cv": 0.3}}, "bore / A"),
        ({"products__0__demand": {"mean": "20 /d", "cv": 0.6}}, "bore / A"),
        ({"plan": {"cards": {"service": "99.9 %"}}}, "bore / A"),
        ({"steps__1__set_up": {"time": "20 min"}, "steps__1__lot": 20}, "bore / A"),
        ({"moves": [{"from": "bore", "to": "pack", "distance": "10 m", "batch": 15}]}, "bore / A"),
    ],
)
def test_more_demand_unevenness_service_set_up_or_carrying_never_needs_fewer_pieces(
    change: dict[str, Any], name: str
) -> None:
    before, after = sized().of(name), sized(**change).of(name)
    assert after.cards * after.per_card >= before.cards * before.per_card


def test_a_step_that_makes_lots_gets_a_signal_and_its_lot_comes_on_top() -> None:
    card = sized(steps__0__set_up={"time": "10 min"}, steps__0__lot=24).of("cut")
    assert card.kind == "signal"
    assert card.signal is not None
    assert card.signal.lot == 4
    assert card.cards == card.signal.lot + card.signal.trigger
    assert card.signal.says in card.says


def test_lots_of_the_plan_take_the_place_of_those_of_the_file() -> None:
    flow = flow_of(small(steps__0__set_up={"time": "10 min"}, steps__0__lot=24))
    lots = {"cut": given_figure("lot / cut", 12.0, "pieces", Source("computed", "lots"))}
    signal = cards_of(flow, lots).of("cut").signal
    assert signal is not None
    assert signal.lot == 2


def test_a_lot_in_which_products_come_mixed_is_parted_as_they_are_pulled() -> None:
    cards = sized(steps__1__set_up={"time": "10 min"}, steps__1__lot=30)
    assert (cards.of("bore / A").loop.ordered, cards.of("bore / B").loop.ordered) == (4, 2)


def test_a_product_that_nobody_pulls_has_no_card_and_a_sentence() -> None:
    cards = sized(products__1__demand="0 /d")
    none = cards.of("pack / B")
    assert (none.cards, none.by_rule, none.stochastic.value, none.rule.value) == (0, 0, 0.0, 0.0)
    assert none.says == ("Nobody pulls B here: no cards. Make it to order, or take it out of the place.",)
    assert [figure.value for figure in none.level] == [0.0] * 4
    assert sum(figure.value for figure in none.reasons) == 0


def test_a_step_only_for_a_product_that_nobody_pulls_keeps_its_release() -> None:
    cards = sized(
        products__1__demand="0 /d",
        steps__1__for=["B"],
        steps__1__elements=[{"what": "bore", "machine": "9 min", "kind": "value"}],
    )
    assert cards.of("bore").cards == 0
    assert ("steps", 1, "release") not in [change.path for change in cards.changes]
    assert np.isfinite([figure.value for figure in cards.of("bore").figures()]).all()


def test_no_number_of_cards_makes_up_for_a_station_that_is_too_full() -> None:
    cards = sized(steps__1__elements__0__machine="40 min")
    assert cards.of("bore / A").cards == 0
    assert cards.of("bore / A").stochastic.value == np.inf
    assert cards.refused[0].startswith("bore / A: no number of cards keeps up, because drill is loaded to ")
    assert [change.path for change in cards.changes] == [("steps", 0, "release"), ("steps", 2, "release")]


def test_all_that_runs_at_a_place_has_to_fit_there() -> None:
    cards = sized(stores__1__capacity=9)
    card = cards.of("bore / A")
    assert card.fits is False
    assert card.crowd == sum(card.cards * card.per_card for card in (cards.of("bore / A"), cards.of("bore / B")))
    assert any("There is room for 9 pieces before pack" in said for said in card.says)
    assert cards.of("cut").fits is True
    assert cards.of("pack / A").fits is None


def test_a_container_that_is_larger_than_its_room_is_refused_and_the_nearest_is_taken() -> None:
    cards = sized(plan={"cards": {"holds": [{"of": "bore", "pieces": 30}]}})
    assert cards.of("bore / A").per_card == 20
    assert cards.refused == (
        "bore: a container of 30 pieces does not go with room for 20 pieces before pack; 20 pieces fit.",
    )


def test_hands_lift_no_more_than_is_wished_and_a_trolley_that_is_not_for_hands_lifts_it_all() -> None:
    plan = {"cards": {"heaviest": "10 kg"}}
    assert sized(plan=plan).of("part bar").per_card == 5
    assert sized(plan=plan).of("cut").per_card == 2
    by_truck = [{"from": "cut", "to": "bore", "distance": "5 m", "by": "pallet truck"}]
    assert sized(plan=plan, moves=by_truck).of("cut").per_card == 6


def test_a_piece_that_is_too_heavy_is_refused_and_the_rest_goes_on() -> None:
    cards = sized(plan={"cards": {"heaviest": "1 kg"}})
    assert all("let not even one piece in" in said for said in cards.refused)
    assert cards.loops == ()


def test_the_floor_is_that_of_stacked_containers() -> None:
    card = sized().of("cut")
    assert card.floor is not None
    assert card.floor.value == pytest.approx(np.ceil(card.cards / 2) * 0.5)


def as_written(text: str, cards: Cards) -> Line:
    return Line.from_text(applied(text, cards.changes))


def test_the_changes_give_a_line_that_can_be_read_and_works_by_cards() -> None:
    text = (ROOT / "examples" / "hand_pump.yaml").read_text("utf-8")
    line = as_written(text, cards_of(pump()))
    assert [step.release.by if step.release else None for step in line.steps] == ["cards"] * len(line.steps)


def test_one_cap_for_the_whole_flow_takes_the_place_of_the_loops_of_the_main_flow() -> None:
    text = (ROOT / "examples" / "hand_pump.yaml").read_text("utf-8") + "\nplan: {cards: {whole_flow: yes}}\n"
    cards = cards_of(flow_of(Line.from_text(text)))
    line = as_written(text, cards)
    assert cards.whole_flow
    assert cards.capped is not None
    first = line.steps[0].release
    assert first is not None
    assert (first.by, first.limit, first.until) == ("cap", cards.capped.cap, "pack")
    assert [step.name for step in line.steps if step.release is not None and step.release.by == "cards"] == [
        "form lever",
        "turn piston",
    ]
    assert 0 < cards.capped.chance <= 1
    assert cards.capped.with_chance(0.95) >= cards.capped.cap >= cards.capped.least


def test_every_card_has_a_face_and_keeps_its_number_when_there_are_more() -> None:
    few, many = sized(), sized(plan={"cards": {"service": "99.99 %"}})
    before, after = faces(few.loops), faces(many.loops)
    assert len(before) == sum(card.cards for card in few.loops)
    assert {face.id for face in before} < {face.id for face in after}
    assert len({face.id for face in after}) == len(after)
    one = next(face for face in before if face.step == "bore" and face.what == "A")
    assert (one.start, one.end, one.place, one.pieces, one.number) == ("bore", "pack", "before pack", 5, 1)
    assert one.of == few.of("bore / A").cards


def test_a_signal_loop_has_one_card_that_says_when_and_how_much() -> None:
    cards = sized(steps__0__set_up={"time": "10 min"}, steps__0__lot=24)
    faced = [face for face in faces(cards.loops) if face.step == "cut" and face.kind == "signal"]
    assert len(faced) == 1
    assert faced[0].signal == getattr(cards.of("cut").signal, "says", None)


def reasons_add_up(card: Card) -> None:
    whole = card.stochastic.value - card.rule.value
    if np.isfinite(whole):
        assert sum(figure.value for figure in card.reasons) == pytest.approx(whole, abs=1e-9)


def test_every_answer_of_the_hand_pump_says_why_and_adds_up() -> None:
    flow = pump()
    cards = cards_of(flow)
    assert len(cards.loops) > len(flow.line.steps)
    for card in cards.loops:
        reasons_add_up(card)
        assert card.stochastic.value == card.cards
        assert card.rule.value == card.by_rule
        assert card.level[0].value >= card.loop.service.value - 1e-9
        assert len(card.reasons) == len(REASONS)
    assert "hand_pump.yaml:25" in str(cards.of("hone bore / P-32").stochastic.why())


def test_names_of_figures_are_their_own_and_stand_beside_those_of_the_flow() -> None:
    flow = pump()
    cards = cards_of(flow)
    every = [figure for card in cards.loops for figure in card.figures()]
    by_name: dict[str, Any] = {}
    for figure in [*flow.figures().values(), *every]:
        assert by_name.setdefault(figure.name, figure) is figure, figure.name


@pytest.mark.parametrize("seed", range(1, 7))
def test_made_up_lines_are_sized(seed: int) -> None:
    cards = cards_of(flow_of(Line.from_text(line_text(12, seed))))
    assert len({card.name for card in cards.loops}) == len(cards.loops)
    for card in cards.loops:
        assert card.says
        reasons_add_up(card)


@settings(max_examples=25)
@given(odd_lines(most_steps=5))
def test_whatever_the_line_there_is_an_answer_or_a_reason_why_not(line: Line) -> None:
    cards = cards_of(flow_of(line))
    for card in cards.loops:
        pulled = card.loop.demand.value > 0
        endless = not np.isfinite(card.stochastic.value)
        assert (card.cards > 0) == (pulled and not endless)
        assert endless == any(said.startswith(f"{card.name}: no number of cards") for said in cards.refused)
