"""The main flow is seen first; the other flows say where they come from and where they go, and stand close together."""

from __future__ import annotations

import re
from dataclasses import replace
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest

from pullwright.draw import Branch, Difference, LinePicture, RibbonPiece, compare_drawings, line_drawing
from pullwright.draw.axis import reading_order
from pullwright.draw.ink import INK
from pullwright.draw.ribbon_time import strips_of

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = (1200, 700, 380)


def tree(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)  # noqa: S314 - made here


def words_in(svg: str) -> str:
    return " ".join("".join(text.itertext()) for text in tree(svg).iter(f"{SVG}text")).replace("\u00a0", " ")


def box(svg: str, title: str) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of the first rectangle in the group of this title."""
    for group in tree(svg).iter(f"{SVG}g"):
        found = group.findtext(f"{SVG}title", "")
        rect = group.find(f"{SVG}rect")
        if rect is not None and (found == title or found.startswith(f"{title}, ")):
            left, top, width, height = (float(rect.get(side)) for side in ("x", "y", "width", "height"))
            return left, top, left + width, top + height
    raise AssertionError(f"nothing is called {title}")


def flow(scenes: SimpleNamespace, name: str, stations: int, **ends: object) -> Branch:
    columns = tuple(
        scenes.station(f"{name} {place}", {"value": 25, "needed": 8}, queue=scenes.pile(40, 20, 10))
        for place in range(stations)
    )
    return Branch(name, columns, scenes.ribbon(columns), **ends)  # type: ignore[arg-type]


def with_flows(scenes: SimpleNamespace, *sizes: int) -> LinePicture:
    main = flow(scenes, "main", 8)
    return scenes.picture(main, *(flow(scenes, f"part {k}", size, joins=4) for k, size in enumerate(sizes)))


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("count", [1, 2, 5])
def test_the_main_flow_and_its_ribbon_stand_above_all_other_flows(scenes, count, width):
    svg = line_drawing(with_flows(scenes, *[1] * count), width=width)
    main = max(box(svg, f"main {k}: value-adding")[3] for k in range(8))
    ribbon = box(svg, "before main 0")
    others = min(box(svg, f"part {k} 0: value-adding")[1] for k in range(count))
    assert main < ribbon[1]
    assert ribbon[3] < others


def test_sub_flows_move_nothing_of_the_main_flow(scenes):
    alone = line_drawing(scenes.picture(flow(scenes, "main", 8)), width=1200)
    beside = line_drawing(with_flows(scenes, 1, 3, 2, 1, 1), width=1200)
    shift = {box(beside, f"main {k}: value-adding")[1] - box(alone, f"main {k}: value-adding")[1] for k in range(8)}
    assert len({round(one, 3) for one in shift}) == 1
    assert shift.pop() < 20, "only the name of the flow stands above it"


def test_short_flows_stand_side_by_side(scenes):
    svg = line_drawing(with_flows(scenes, 1, 1, 1), width=1200)
    boxes = [box(svg, f"part {k} 0: value-adding") for k in range(3)]
    assert len({(one[1], one[3]) for one in boxes}) == 1, "on one ground, at one scale"
    assert boxes[0][2] < boxes[1][0] < boxes[1][2] < boxes[2][0]


@pytest.mark.parametrize("sizes", [(1, 1, 1, 1, 1), (3, 1, 6, 2, 1), (14, 2, 14)])
def test_packed_flows_stay_on_the_paper_and_apart(scenes, sizes):
    svg = line_drawing(with_flows(scenes, *sizes), width=1200)
    boxes = [box(svg, f"part {k} {j}: value-adding") for k, size in enumerate(sizes) for j in range(size)]
    assert all(left >= 0 and right <= 1200 for left, _, right, _ in boxes)
    for place, one in enumerate(boxes):
        for other in boxes[place + 1 :]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


@pytest.mark.parametrize("width", WIDTHS)
def test_bars_of_all_flows_are_on_one_scale(scenes, width):
    svg = line_drawing(with_flows(scenes, 1, 3), width=width)
    side = 3 if width >= 640 else 2
    lengths = {
        round(found[side] - found[side - 2], 2)
        for found in (box(svg, f"{name}: value-adding") for name in ("main 0", "part 0 0", "part 1 2"))
    }
    assert len(lengths) == 1


@pytest.mark.parametrize("width", WIDTHS)
def test_a_flow_says_where_it_goes_and_the_station_says_what_comes_in(scenes, width):
    words = words_in(line_drawing(with_flows(scenes, 1, 2), width=width))
    assert words.count("into 5 main 4") == 2
    assert ("A and B come in" in words) or ("A part 0 and B part 1 come in" in words)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_way_of_its_own_ends_at_the_customer_and_joins_nothing(scenes, width):
    svg = line_drawing(scenes.picture(flow(scenes, "main", 3), flow(scenes, "kits", 2)), width=width)
    words = words_in(svg)
    assert words.count("customer") == 2
    assert "into" not in words
    assert "come in" not in words
    assert "comes in" not in words


def test_a_way_of_its_own_is_done_when_the_main_flow_is(scenes):
    picture = scenes.picture(flow(scenes, "main", 3), flow(scenes, "kits", 2))
    main, own = strips_of(picture)
    assert own.joins_at is None
    assert own.end == pytest.approx(main.end)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_flow_that_leaves_shows_where_from(scenes, width):
    leaving = flow(scenes, "spare parts", 1, leaves=1)
    svg = line_drawing(scenes.picture(flow(scenes, "main", 3), leaving), width=width)
    words = words_in(svg)
    assert "A spare parts, from 2 main 1" in words
    assert ("A leaves" in words) or ("A spare parts leaves" in words)
    rings = [dot for dot in tree(svg).iter(f"{SVG}circle") if dot.get("fill") == "none" and dot.get("stroke") == INK]
    assert len(rings) == 3, "where it leaves, where it begins, in the reading help"


def test_a_flow_that_leaves_begins_when_the_station_it_leaves_is_done(scenes):
    picture = scenes.picture(flow(scenes, "main", 3), flow(scenes, "spare parts", 1, leaves=1))
    main, leaving = strips_of(picture)
    done = max(one.end for one in main.stretches if one.piece.column == 1)
    assert leaving.start == pytest.approx(done)


def test_flows_are_read_in_the_order_in_which_they_come_in(scenes):
    picture = scenes.picture(
        flow(scenes, "main", 5),
        flow(scenes, "late", 1, joins=4),
        flow(scenes, "own", 1),
        flow(scenes, "early", 1, joins=1),
        flow(scenes, "into late", 1, joins=0, into=1),
    )
    assert reading_order(picture) == (0, 3, 1, 4, 2)


@pytest.mark.parametrize("width", WIDTHS)
def test_compared_main_flows_stand_one_above_the_other_before_all_other_flows(scenes, width):
    one, other = with_flows(scenes, 2), with_flows(scenes, 2, 1)
    named = replace(other, branches=(flow(scenes, "new", 8), *other.branches[1:]))
    less = Difference("lead time", scenes.seconds("less", -60.0))
    svg = compare_drawings(one, named, differences=(less,), width=width)
    first, second = box(svg, "main 0: value-adding"), box(svg, "new 0: value-adding")
    others = box(svg, "part 0 0: value-adding")
    assert first[3] < second[1] < others[1]
    words = words_in(svg)
    assert words.index("before: the other flows") < words.index("after: the other flows")


# ------------------------------------------------------------------ the same station again


def again(scenes: SimpleNamespace) -> LinePicture:
    lathe, mill = scenes.station("Lathe", {"value": 30}), scenes.station("Mill", {"value": 20, "needed": 5})
    columns = (replace(lathe, steps=("turn",)), mill, replace(lathe, steps=("face",), same_as=(0, 0)))
    return scenes.picture(Branch("main", columns, scenes.ribbon(columns)))


@pytest.mark.parametrize("width", WIDTHS)
def test_the_bar_of_a_station_is_drawn_once_and_then_outlined(scenes, width):
    svg = line_drawing(again(scenes), width=width)
    titles = [group.findtext(f"{SVG}title", "") for group in tree(svg).iter(f"{SVG}g")]
    assert sum(title.startswith("Lathe: value-adding") for title in titles) == 1
    drawn, outline = box(svg, "Lathe: value-adding"), box(svg, "Lathe: the same station again")
    assert outline[2] - outline[0] == pytest.approx(drawn[2] - drawn[0])
    assert outline[3] - outline[1] == pytest.approx(drawn[3] - drawn[1])
    (ghost,) = [
        group for group in tree(svg).iter(f"{SVG}g") if "same station again" in group.findtext(f"{SVG}title", "")
    ]
    assert ghost.find(f"{SVG}rect").get("fill") == "none"


@pytest.mark.parametrize("width", WIDTHS)
def test_each_of_the_columns_of_a_station_points_to_the_other(scenes, width):
    words = words_in(line_drawing(again(scenes), width=width))
    assert "same station as 1" in words
    assert "also at 3" in words
    assert "the same station again, its bar is drawn where the flow first comes to it" in words
    assert re.search(r"1 Lathe\b.*turn", words)
    assert re.search(r"3 Lathe\b.*face", words)


# ------------------------------------------------------------------ what is written, what is drawn


@pytest.mark.parametrize("width", WIDTHS)
def test_waiting_is_written_as_it_is_shown_and_drawn_from_its_seconds(scenes, width):
    saw = scenes.station(
        "Saw", {"value": 60}, queue=scenes.pile(10, lasts=scenes.seconds("s", 99), lasts_shown=scenes.days("d", 13.9))
    )
    pieces = (
        RibbonPiece("before Saw", scenes.seconds("wait", 3000.0), False, 0, shown=scenes.days("days", 4.56)),
        RibbonPiece("Saw", scenes.seconds("work", 1000.0), True, 0),
    )  # fmt: skip
    picture = scenes.picture(Branch("main", (saw,), pieces), lead_shown=scenes.days("lead", 7.89))
    svg = line_drawing(picture, width=width)
    words = words_in(svg)
    assert "before Saw 4.56 d" in words
    assert "lasts 13.9 d" in words
    assert "lead time 7.89 d" in words
    assert "1.65 min" not in words, "not what it is drawn from"
    wait, work = box(svg, "before Saw"), box(svg, "Saw, 16.7 min")
    assert (wait[2] - wait[0]) / (work[2] - work[0]) == pytest.approx(3.0, rel=1e-4)


def test_the_name_of_a_step_is_written_where_it_is_another_than_the_stations(scenes):
    columns = (
        scenes.station("honing machine", {"value": 30}, steps=("hone bore",)),
        scenes.station("Wash", {"value": 30}, steps=("wash",)),
    )
    for width in WIDTHS:
        words = words_in(line_drawing(scenes.picture(Branch("main", columns)), width=width))
        assert re.search(r"1 honing\s+machine\s+hone bore", words)
        assert words.count("ash") == 1


def test_machines_and_people_are_not_torn_apart(scenes):
    columns = tuple(
        scenes.station(f"Bench {k}", {"value": 30}, machines=2, people="1 person", steps=("assemble",))
        for k in range(9)
    )
    lines = [
        "".join(text.itertext()) for text in tree(line_drawing(scenes.picture(Branch("m", columns)))).iter(f"{SVG}text")
    ]
    assert any("2 machines" in line for line in lines)
    assert any("1 person" in line for line in lines)
