"""Wishes as they are typed: what is typed goes into the line file, comes back as it was typed, and a slip is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright.line import Line
from pullwright.line.fields import fields_at
from pullwright.pull.changes import Change, applied
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.wished import BY_NAME, WISHES, wish_changes, wishes_in

DEMO = (Path(__file__).parents[2] / "examples" / "hand_pump.yaml").read_text("utf-8")
EVERYTHING = (Path(__file__).parents[1] / "line" / "everything.yaml").read_text("utf-8")


def test_every_wish_of_the_line_file_can_be_typed_and_no_other() -> None:
    in_file = {f"{chapter}.{field}" for chapter in fields_at(("plan",)) for field in fields_at(("plan", chapter))}
    assert in_file == set(BY_NAME)


@pytest.mark.parametrize("wish", WISHES, ids=lambda wish: wish.name)
def test_what_is_typed_as_the_label_says_comes_back_out_of_the_file(wish) -> None:
    line = Line.from_text(applied(DEMO, wish_changes({wish.name: wish.like})))
    assert wishes_in(line) == {wish.name: wish.like}


def test_all_wishes_of_a_file_typed_again_leave_it_as_it_was() -> None:
    found = wishes_in(Line.from_text(EVERYTHING))
    assert set(found) == set(BY_NAME)
    assert Line.from_text(applied(EVERYTHING, wish_changes(found))).plan == Line.from_text(EVERYTHING).plan


def test_nothing_typed_takes_a_wish_back_and_leaves_the_rest_to_the_letter() -> None:
    wished = applied(DEMO, wish_changes({"balance.posts": "8"}))
    assert "posts" not in applied(wished, wish_changes({"balance.posts": " "}))
    assert applied(DEMO, wish_changes({"balance.posts": ""})) == DEMO


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("balance.post", "8", "there is no wish 'balance.post' (did you mean balance.posts?)"),
        ("balance.left_of", "weld base, paint", "'weld base, paint' was read; allowed: an element, ' left of ', and another"),
        ("balance.together", "weld base", "'weld base' names one only"),
        ("deliveries.trips", "north: foundry", "'north: foundry' was read; allowed: its name, a colon, the suppliers"),
    ],
)  # fmt: skip
def test_a_slip_says_what_was_read_and_what_is_allowed(name, typed, said) -> None:
    with pytest.raises(BadPlanInput) as caught:
        wish_changes({name: typed})
    assert said in str(caught.value)


def test_changes_set_add_and_take_out() -> None:
    text = "steps:\n  - name: hone   # slow\n    lot: 56\nparts: [{name: bar}]\n"
    changes = [
        Change(("steps", 0, "lot"), None, ""),
        Change(("steps", 1), {"name": "pack"}, ""),
        Change(("parts", 0), None, ""),
    ]
    assert applied(text, changes) == "steps:\n  - name: hone   # slow\n  - name: pack\nparts: []\n"
