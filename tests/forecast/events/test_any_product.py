"""Cards whose pieces may be of any product: nothing has told them apart where the cards go round."""

from __future__ import annotations

from tests.forecast.small_lines import laid, run

LINE = """
line: two products that are alike when they are cut
calendar: {{shifts: [{{name: day, from: "06:00", to: "14:00"}}]}}
products: [{{name: A, demand: {{mean: {a} /d, cv: 0}}}}, {{name: B, demand: {{mean: {b} /d, cv: 0}}}}]
stations: [{{name: saw}}, {{name: bench}}]
steps:
  - {{name: cut, station: saw, machine: {{mean: 1 s, cv: 0}}, people: 0, release: {{by: cards, cards: {cards}, per_card: {each}}}}}
  - name: fit
    station: bench
    people: 0
    release: {{by: cards, loops: [{{product: A, cards: 4, per_card: 1}}, {{product: B, cards: 1, per_card: 1}}]}}
    elements: [{{what: fit A, kind: value, machine: {{mean: 2 s, cv: 0}}, for: [A]}}, {{what: fit B, kind: value, machine: {{mean: {fit_b} s, cv: 0}}, for: [B]}}]
"""


def line(a: float = 480, b: float = 480, cards: int = 2, each: int = 4, fit_b: float = 2) -> str:
    """Cut 1 s, fit 2 s; of each product an order every 60 s where nothing else is said."""
    return LINE.format(a=a, b=b, cards=cards, each=each, fit_b=fit_b)


def test_pieces_of_two_products_empty_a_container_together() -> None:
    """One card of 4 pieces, two of each: 2 A and 1 B are taken for the empty cards of the fit, and with the first order, at 60 s, the fourth piece: four are cut anew."""
    (found,) = run(line(cards=1), days=59 / (8 * 3600))
    assert found.made.tolist() == [4, 3]
    (found,) = run(line(cards=1), days=66 / (8 * 3600))
    assert found.made[0] == 8


def test_a_product_that_is_seldom_asked_for_is_on_the_cards_too() -> None:
    """Of 8 pieces one is B, which 1 of 100 orders asks for; each that is taken is made anew."""
    (found,) = run(line(a=475.2, b=4.8), days=2)
    assert (found.lead[2] == 1).sum() >= 8
    assert found.response[0].max() < 60


def test_what_was_made_and_not_taken_never_passes_the_cards() -> None:
    (found,) = run(line(cards=3, each=5), days=1)
    assert found.peak[1] <= 15


def test_products_that_a_step_tells_apart_have_their_own_containers() -> None:
    """The same work for both at the cut, so a card is for any; with work of its own at the cut, a card is for one of them."""
    alike = laid(line()).plant.step_any
    apart = laid(
        line().replace(
            "machine: {mean: 1 s, cv: 0}, people: 0, rel",
            "people: 0, elements: [{what: cut A, kind: value, machine: {mean: 1 s, cv: 0}, for: [A]}, {what: cut B, kind: value, machine: {mean: 3 s, cv: 0}, for: [B]}], rel",
        )
    ).plant.step_any
    assert alike.tolist() == [1, 0]
    assert apart.tolist() == [0, 0]
