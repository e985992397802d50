"""Account bars: to scale, in the order of the kinds, honest about what is below nothing."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.draw import AccountBar, AccountRow, Remark, SceneError, account_bars, lettered
from pullwright.draw.ink import LOOK
from pullwright.line.kinds import KINDS

SVG = "{http://www.w3.org/2000/svg}"
KEYS = [kind.key for kind in KINDS]


def bar(scenes, amounts: dict[str, float], remarked: str = "") -> AccountBar:
    rows = tuple(
        AccountRow(
            f"row {kind}", scenes.Fake(f"hours / {kind}", amount, "h"), kind, None,
            Remark("too much", "Detail.") if kind == remarked else None,
        )
        for kind, amount in amounts.items()
    )  # fmt: skip
    return AccountBar("Hours", scenes.Fake("hours", sum(amounts.values()), "h"), rows, "Found this.")


def pieces(svg: str) -> dict[str, tuple[float, float, float]]:
    """Left edge, top and width of every row's piece."""
    found = {}
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):  # noqa: S314 - made here
        rect = group.find(f"{SVG}rect")
        if group.get("role") == "img" and rect is not None:
            found[group.findtext(f"{SVG}title").split(", ")[0]] = tuple(
                float(rect.get(side)) for side in ("x", "y", "width")
            )
    return found


def text_of(svg: str) -> str:
    root = ElementTree.fromstring(svg)  # noqa: S314 - made here
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text")).replace("\u00a0", " ")


@settings(max_examples=40)
@given(st.dictionaries(st.sampled_from(KEYS), st.floats(0.001, 1e6), min_size=1), st.sampled_from([1200, 380]))
def test_every_row_is_as_long_as_its_share_and_they_fill_the_bar(scenes, amounts, width):
    found = pieces(account_bars([bar(scenes, amounts)], width=width))
    room, whole = width - 24, sum(amounts.values())
    at = 12.0
    for kind in KEYS:
        if kind in amounts:
            left, _, wide = found[f"row {kind}"]
            assert left == pytest.approx(at, abs=0.01)
            assert wide == pytest.approx(amounts[kind] / whole * room, abs=0.01)
            at += amounts[kind] / whole * room
    assert at == pytest.approx(width - 12)


def test_what_is_below_nothing_leads_back_to_the_whole(scenes):
    svg = account_bars([bar(scenes, {"value": 100, "waiting": 20, "unexplained": -30})], width=1224)
    found = pieces(svg)
    per_hour = 1200 / 120
    assert found["row value"][2] == pytest.approx(100 * per_hour)
    left, top, wide = found["row unexplained"]
    assert wide == pytest.approx(30 * per_hour)
    assert left == pytest.approx(12 + 90 * per_hour), "it ends at the whole, 90 h"
    assert top > found["row value"][1], "in a band of its own"
    assert "below 0" in text_of(svg)
    assert "below 0" not in text_of(account_bars([bar(scenes, {"value": 100})]))


def test_a_whole_below_nothing_is_drawn_too(scenes):
    found = pieces(account_bars([bar(scenes, {"value": 10, "waiting": -40})], width=424))
    assert found["row waiting"][0] == pytest.approx(12)
    assert found["row waiting"][2] == pytest.approx(4 * found["row value"][2])


def test_every_row_is_in_the_list_even_the_empty_and_the_tiny(scenes):
    amounts = {"value": 1000.0, "waiting": 0.0, "moving": 0.001}
    text = text_of(account_bars([bar(scenes, amounts)]))
    for kind, amount in amounts.items():
        assert f"row {kind}" in text
        assert scenes.Fake("", amount, "h").text() in text


def test_only_a_remarked_row_is_coloured_and_has_mark_and_word(scenes):
    amounts = {"value": 100.0, "waiting": 50.0}
    assert LOOK not in account_bars([bar(scenes, amounts)])
    svg = account_bars([bar(scenes, amounts, remarked="waiting")])
    assert LOOK in svg
    assert "too much" in text_of(svg)
    assert "look here" in text_of(svg)
    assert svg.count("a3.4 3.4 0 1 1-6.8 0") == 3, "over its piece, at its row, in the reading help"


def test_rows_that_do_not_add_up_are_refused(scenes):
    with pytest.raises(SceneError, match=r"add up to 10, the whole says 12: .*not explained"):
        AccountBar("Hours", scenes.Fake("h", 12, "h"), bar(scenes, {"value": 10}).rows)


def test_amounts_are_finite(scenes):
    with pytest.raises(SceneError, match="only finite amounts"):
        AccountRow("row", scenes.Fake("h", float("inf"), "h"), "value")


def test_an_account_of_nothing_can_be_drawn(scenes):
    assert "Hours" in text_of(account_bars([bar(scenes, {"value": 0.0})]))
    assert "Hours" in text_of(account_bars([AccountBar("Hours", scenes.Fake("h", 0, "h"), ())]))


def test_amounts_lead_to_their_why(scenes):
    svg = account_bars([bar(scenes, {"value": 100, "waiting": 50})], why_link=lambda name: f"/why?figure={name}")
    root = ElementTree.fromstring(svg)  # noqa: S314 - made here
    hrefs = [link.get("href") for link in root.iter(f"{SVG}a")]
    assert {"/why?figure=hours", "/why?figure=hours / value", "/why?figure=hours / waiting"} <= set(hrefs)


def looks(svg: str, title: str) -> tuple[str, str | None, int]:
    """Fill and dashes of a row's piece, and how many pointers are drawn in it."""
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):  # noqa: S314 - made here
        if group.findtext(f"{SVG}title", "").startswith(f"{title}, "):
            rect = group.find(f"{SVG}rect")
            pointers = sum(path.get("d").count("M") for path in group.findall(f"{SVG}path"))
            return rect.get("fill"), rect.get("stroke-dasharray"), pointers
    raise AssertionError(f"nothing is called {title}")


@pytest.mark.parametrize("kind", KEYS)
def test_what_is_taken_off_never_looks_like_what_is_spent(scenes, kind):
    other = "value" if kind != "value" else "needed"
    svg = account_bars([bar(scenes, {other: 100, kind: -30})])
    fill, dashes, pointers = looks(svg, f"row {kind}")
    assert fill == "none"
    assert pointers > 5
    assert (dashes is not None) == (kind == "unexplained")
    assert looks(svg, f"row {other}")[2] == 0


def test_a_sliver_that_is_taken_off_has_no_room_for_pointers_and_keeps_its_length(scenes):
    svg = account_bars([bar(scenes, {"value": 1000, "waiting": -1})], width=1224)
    assert looks(svg, "row waiting")[2] == 0
    assert pieces(svg)["row waiting"][2] == pytest.approx(1.2)


def test_the_letters_of_the_rows_are_those_in_the_bar(scenes):
    account = bar(scenes, {"waiting": 20, "value": 100, "unexplained": -30})
    assert [(letter, row.kind) for letter, row in lettered(account)] == [
        ("a", "value"),
        ("b", "waiting"),
        ("c", "unexplained"),
    ]
    text = text_of(account_bars([account], listed=False))
    assert text.split()[-3:] == ["a", "b", "c"]


def test_without_the_list_the_bars_are_the_same(scenes):
    account = bar(scenes, {"waiting": 20, "value": 100})
    whole, short = account_bars([account]), account_bars([account], listed=False)
    assert pieces(short) == pieces(whole)
    assert "row waiting" not in text_of(short)
