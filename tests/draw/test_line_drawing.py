"""What every line drawing keeps: it is to scale, it is sound SVG, and colour means look here."""

from __future__ import annotations

import itertools
import math
import re
from xml.etree import ElementTree

import pytest

from pullwright.draw import Branch, Difference, Loop, Remark, RibbonPiece, SceneError, compare_drawings, line_drawing
from pullwright.draw.hatching import HATCHES
from pullwright.draw.ink import FAINT, INK, LOOK, PAPER, PENCIL
from pullwright.draw.out_of_place import remarks_of
from pullwright.line.kinds import KINDS

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = (1200, 380)
SEEDS = range(18)


def tree(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)  # noqa: S314 - made here


def groups(svg: str, title: str) -> list[ElementTree.Element]:
    """Innermost groups with this title, alone or with the figure behind it."""
    titled = ((group, group.findtext(f"{SVG}title", "")) for group in tree(svg).iter(f"{SVG}g"))
    return [group for group, words in titled if words == title or words.startswith(f"{title}, ")]


def sizes(svg: str, title: str, side: str) -> list[float]:
    return [float(rect.get(side, "nan")) for group in groups(svg, title) for rect in group.findall(f"{SVG}rect")]


def words_in(svg: str) -> str:
    return " ".join("".join(text.itertext()) for text in tree(svg).iter(f"{SVG}text")).replace("\u00a0", " ")


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("seed", SEEDS)
def test_any_line_gives_sound_svg_that_a_strict_page_lets_in(scenes, seed, width):
    svg = line_drawing(scenes.any_line(seed), width=width)
    root = tree(svg)
    elements = list(root.iter())
    assert {element.tag.removeprefix(SVG) for element in elements} <= {
        "svg", "title", "desc", "defs", "pattern", "g", "a", "text", "tspan", "rect", "path", "circle",
    }  # fmt: skip
    assert not [
        element for element in elements if "style" in element.attrib or any(k[:2] == "on" for k in element.attrib)
    ]
    assert "nan" not in svg.split("<title", 1)[0]
    numbers = re.findall(r' (?:x|y|d|width|height|cx|cy|r)="([^"]*)"', svg)
    assert not [number for number in numbers if "nan" in number or "inf" in number]


@pytest.mark.parametrize("seed", SEEDS)
def test_every_group_has_words_for_whoever_does_not_see_it(scenes, seed):
    root = tree(line_drawing(scenes.any_line(seed)))
    known = {element.get("id") for element in root.iter() if element.get("id")}
    for group in [root, *root.iter(f"{SVG}g")]:
        assert group.get("role") in ("group", "img")
        assert set(group.get("aria-labelledby", "-").split()) <= known
        assert group.findtext(f"{SVG}title").strip()
        assert group.get("role") == "img" or group.findtext(f"{SVG}desc").strip()


def test_a_picture_group_hides_no_link_from_the_keyboard(scenes):
    picture = scenes.any_line(5)
    root = tree(line_drawing(picture))
    assert picture.why_link is not None
    for group in root.iter(f"{SVG}g"):
        if group.get("role") == "img":
            assert not list(group.iter(f"{SVG}a"))


@pytest.mark.parametrize("width", WIDTHS)
def test_several_drawings_on_a_page_share_no_id(scenes, width):
    picture = scenes.workshop()
    page = line_drawing(picture, width=width, prefix="a") + line_drawing(picture, width=width, prefix="b")
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids)) > 0
    for used in re.findall(r"url\(#([^)]+)\)", page):
        assert used in ids


@pytest.mark.parametrize("prefix", ["", "1a", 'a"b', "a b"])
def test_a_prefix_that_cannot_begin_an_id_is_refused(scenes, prefix):
    with pytest.raises(SceneError, match="begin with a letter"):
        line_drawing(scenes.clean_line(), prefix=prefix)


def test_a_width_nobody_can_read_is_refused(scenes):
    with pytest.raises(SceneError, match="320 at least"):
        line_drawing(scenes.clean_line(), width=200)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_line_with_nothing_out_of_place_is_ink_on_paper(scenes, width):
    svg = line_drawing(scenes.clean_line(), width=width)
    assert LOOK not in svg
    assert "look here" not in svg


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("seed", SEEDS)
def test_colour_appears_exactly_where_something_is_out_of_place(scenes, seed, width):
    picture = scenes.any_line(seed)
    svg = line_drawing(picture, width=width)
    assert (LOOK in svg) == bool(remarks_of(picture))
    colours = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', svg))
    assert colours <= {INK, PENCIL, FAINT, LOOK, PAPER}
    words = re.sub(r"\s", "", words_in(svg))
    for _, remark in remarks_of(picture):
        assert re.sub(r"\s", "", remark.word) in words


@pytest.mark.parametrize(("place", "word"), [("station", "down"), ("pile", "too much"), ("loop", "cards missing")])
@pytest.mark.parametrize("width", WIDTHS)
def test_each_remark_brings_its_mark_and_its_word(scenes, place, word, width):
    remark = Remark(word, "Detail.")
    column = scenes.station(
        "Saw", {"value": 20}, remark=remark if place == "station" else None,
        queue=scenes.pile(9, 4, remark=remark if place == "pile" else None),
    )  # fmt: skip
    loop = Loop(0, 1, "cards", remark=remark if place == "loop" else None)
    svg = line_drawing(scenes.picture(Branch("main", (column,), loops=(loop,))), width=width)
    marks = [
        path for path in tree(svg).iter(f"{SVG}path") if path.get("stroke") == LOOK and "a3.4" in path.get("d", "")
    ]
    assert len(marks) == 2, "one at its place, one in the reading help"
    assert word in words_in(svg)
    assert "Detail." in svg


@pytest.mark.parametrize(("width", "side"), [(1200, "height"), (380, "width")])
def test_bars_are_as_long_as_their_seconds(scenes, width, side):
    picture = scenes.workshop()
    svg = line_drawing(picture, width=width)
    per_second = sizes(svg, "Saw bars: value-adding", side)[0] / 22
    checked = 0
    for branch in picture.branches:
        for column in branch.columns:
            for segment in column.segments:
                words = next(kind.words for kind in KINDS if kind.key == segment.kind)
                drawn = sizes(svg, f"{column.name}: {words}", side)
                assert drawn == [pytest.approx(segment.seconds.value * per_second, abs=0.01)]
                checked += 1
    assert checked == 27


def test_bars_are_stacked_in_the_order_of_the_kinds_without_gaps(scenes):
    times = {kind.key: 3.0 + place for place, kind in enumerate(reversed(KINDS))}
    svg = line_drawing(scenes.picture(Branch("main", (scenes.station("Saw", times),)), takt=100.0))
    tops = []
    for kind in KINDS:
        (group,) = groups(svg, f"Saw: {kind.words}")
        rect = group.find(f"{SVG}rect")
        tops.append((float(rect.get("y")), float(rect.get("y")) + float(rect.get("height"))))
    for lower, upper in itertools.pairwise(tops):
        assert upper[1] == pytest.approx(lower[0], abs=0.01)


def test_takt_stands_on_the_scale_of_the_bars(scenes):
    column = scenes.station("Saw", {"value": 60})
    svg = line_drawing(scenes.picture(Branch("main", (column,)), takt=60.0))
    (group,) = groups(svg, "Saw: value-adding")
    bar_top = float(group.find(f"{SVG}rect").get("y"))
    (takt,) = groups(svg, "Takt")
    line = takt.findall(f"{SVG}path")[0].get("d")
    assert float(re.fullmatch(r"M[\d.]+ ([\d.]+)L[\d.]+ [\d.]+", line)[1]) == pytest.approx(bar_top, abs=0.01)


def test_a_single_giant_bar_is_cut_and_says_so(scenes):
    columns = tuple(scenes.station(f"Saw {place}", {"value": 30}) for place in range(3))
    giant = scenes.station("Cure", {"waiting": 86400})
    svg = line_drawing(scenes.picture(Branch("main", (*columns, giant))))
    assert "cut: goes on beyond the paper" in words_in(svg)
    assert sizes(svg, "Saw 0: value-adding", "height")[0] > 30
    assert "cut:" not in words_in(line_drawing(scenes.workshop()))


@pytest.mark.parametrize("width", WIDTHS)
def test_ribbon_pieces_are_as_long_as_their_time(scenes, width):
    picture = scenes.workshop()
    svg = line_drawing(picture, width=width)
    pieces = [piece for branch in picture.branches for piece in branch.ribbon]
    per_second = sizes(svg, pieces[0].name, "width")[0] / pieces[0].time.value
    for piece in pieces:
        assert sizes(svg, piece.name, "width") == [pytest.approx(piece.time.value * per_second, abs=0.002)]


@pytest.mark.parametrize("width", WIDTHS)
def test_touch_time_is_the_only_dark_ink_of_the_ribbon_and_never_vanishes(scenes, width):
    svg = line_drawing(scenes.workshop(), width=width)
    for name, dark in (("Hone bores", True), ("before Hone bores", False)):
        (group,) = groups(svg, name)
        rect = group.find(f"{SVG}rect")
        assert rect.get("fill") == (INK if dark else "none")
        assert float(rect.get("stroke-width")) > 0


def test_every_piece_of_lead_time_is_written_in_words_somewhere(scenes):
    for width in WIDTHS:
        svg = line_drawing(scenes.workshop(), width=width)
        words = words_in(svg)
        for branch in scenes.workshop().branches:
            for piece in branch.ribbon:
                assert piece.name in words
                assert piece.time.text() in words


def test_a_sub_flow_ends_where_work_at_its_joint_begins(scenes):
    svg = line_drawing(scenes.workshop())
    (joint,), (last,) = groups(svg, "Press and assemble"), groups(svg, "Grind levers")
    begins = float(joint.find(f"{SVG}rect").get("x"))
    rect = last.find(f"{SVG}rect")
    assert float(rect.get("x")) + float(rect.get("width")) == pytest.approx(begins, abs=0.01)


def _squares(svg: str, title: str) -> dict[str, float]:
    """Whole squares per look: fill and stroke to the sum of their widths over the widest."""
    (group,) = groups(svg, title)
    found: dict[str, float] = {}
    for path in group.findall(f"{SVG}path"):
        parts = re.findall(r"h(-?[\d.]+)v([\d.]+)", path.get("d"))
        inset = 0.0 if path.get("stroke") is None else 1.0
        side = max(float(tall) for _, tall in parts) + inset
        look = f"{path.get('fill')} {path.get('stroke')} {path.get('stroke-dasharray', '')}".strip()
        found[look] = sum((float(wide) + inset) / side for wide, _ in parts)
    return found


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(
    ("have", "need", "expected"),
    [
        (12, 12, {f"{PENCIL} None": 12}),
        (12, 5, {f"{PENCIL} None": 5, f"none {INK}": 7}),
        (5, 12, {f"{PENCIL} None": 5, f"none {PENCIL} 1.5 1.5": 7}),
        (7, None, {f"{FAINT} None": 7}),
        (0, 0, {}),
    ],
)
def test_one_square_a_container_needed_ones_filled(scenes, width, have, need, expected):
    column = scenes.station("Saw", {"value": 20}, queue=scenes.pile(have, need))
    svg = line_drawing(scenes.picture(Branch("main", (column,))), width=width)
    assert _squares(svg, "Stock before 1 Saw") == {look: pytest.approx(count) for look, count in expected.items()}
    assert "one square = a container" in words_in(svg)


@pytest.mark.parametrize("width", WIDTHS)
def test_five_thousand_containers_are_drawn_truthfully(scenes, width):
    columns = (
        scenes.station("Saw", {"value": 20}, queue=scenes.pile(5000, 1000)),
        scenes.station("Mill", {"value": 20}, queue=scenes.pile(250, 0)),
    )
    svg = line_drawing(scenes.picture(Branch("main", columns)), width=width)
    group = int(re.search(r"one square = ([\d,]+) containers", words_in(svg))[1].replace(",", ""))
    assert group > 1
    big = _squares(svg, "Stock before 1 Saw")
    assert big[f"{PENCIL} None"] == pytest.approx(1000 / group, rel=0.02)
    assert sum(big.values()) == pytest.approx(5000 / group, rel=0.02)
    assert sum(_squares(svg, "Stock before 2 Mill").values()) == pytest.approx(250 / group, rel=0.1)


def test_surplus_is_vermilion_only_with_a_remark(scenes):
    for remark in (None, Remark("too much stock")):
        column = scenes.station("Saw", {"value": 20}, queue=scenes.pile(9, 4, remark=remark))
        squares = _squares(line_drawing(scenes.picture(Branch("main", (column,)))), "Stock before 1 Saw")
        assert squares[f"none {LOOK if remark else INK}"] == pytest.approx(5)


def test_endless_stock_is_said_to_be_endless(scenes):
    column = scenes.station("Saw", {"value": 20}, queue=scenes.pile(math.inf, 4))
    words = words_in(line_drawing(scenes.picture(Branch("main", (column,), scenes.ribbon((column,))))))
    assert "without end" in words
    assert "three dots on top: grows without end" in words


def test_names_are_escaped_and_whole_in_the_titles(scenes):
    name = 'A & B <"quoted"> ' + "and a name that goes on much longer than any column on paper is wide \x00\ud800"
    column = scenes.station(name, {"value": 20})
    svg = line_drawing(scenes.picture(Branch("main", (column,)), title=name))
    titles = [title.text for title in tree(svg).iter(f"{SVG}title")]
    whole = name.replace("\x00", "\ufffd").replace("\ud800", "\ufffd")
    assert any(whole in (title or "") for title in titles)
    assert svg.encode()


@pytest.mark.parametrize("width", WIDTHS)
def test_every_number_leads_to_its_why(scenes, width):
    picture = scenes.workshop()
    linked = type(picture)(
        **{field: getattr(picture, field) for field in picture.__dataclass_fields__}
        | {"why_link": lambda n: f"/why?q={n}&x=1"}
    )
    assert "<a " not in line_drawing(picture, width=width)
    hrefs = {link.get("href") for link in tree(line_drawing(linked, width=width)).iter(f"{SVG}a")}
    expected = {picture.takt, picture.lead, picture.touch, picture.touch_share}
    for branch in picture.branches:
        expected |= {piece.time for piece in branch.ribbon}
        expected |= {loop.amount for loop in branch.loops if loop.amount}
        for column in branch.columns:
            expected |= {column.content, column.load} | {segment.seconds for segment in column.segments}
            if column.queue:
                expected |= {column.queue.pieces, column.queue.lasts, column.queue.needed} - {None}
    assert {f"/why?q={figure.name}&x=1" for figure in expected} <= hrefs


def test_a_link_around_a_shape_says_what_it_is(scenes):
    picture = scenes.any_line(3)
    for link in tree(line_drawing(picture)).iter(f"{SVG}a"):
        assert link.get("aria-label") or "".join(link.itertext()).strip()


@pytest.mark.parametrize("width", WIDTHS)
def test_compared_drawings_have_one_scale(scenes, width):
    one, other = scenes.workshop(), scenes.clean_line()
    svg = compare_drawings(one, other, labels=("today", "with cards"), width=width,
                           differences=(Difference("lead time", scenes.seconds("less", -3600, 0.1)),))  # fmt: skip
    side = "height" if width > 640 else "width"
    assert sizes(svg, "Saw bars: value-adding", side)[0] / 22 == pytest.approx(
        sizes(svg, "Saw: value-adding", side)[0] / 20, rel=1e-3
    )
    assert sizes(svg, "before Saw bars", "width")[0] / 38400 == pytest.approx(
        sizes(svg, "before Saw", "width")[0] / 1200, rel=1e-2
    )
    words = words_in(svg)
    assert "today: Hand pump" in words
    assert "with cards: Hand pump" in words
    assert scenes.seconds("less", -3600, 0.1).text() in words
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))


def test_the_reading_help_speaks_only_of_what_is_there(scenes):
    words = words_in(line_drawing(scenes.clean_line()))
    assert "value-adding" in words
    assert "moving oneself" in words
    for absent in ("scrapped", "without end", "cut:", "look here", "capped", "pale", "dashed"):
        assert absent not in words


def test_every_kind_has_a_hatch_of_its_own():
    assert list(HATCHES) == [kind.key for kind in KINDS]
    drawn = {(hatch.strokes, hatch.width) for key, hatch in HATCHES.items() if key not in ("value", "unexplained")}
    assert len(drawn) == len(KINDS) - 2


def test_without_heading_the_page_speaks_for_itself(scenes):
    svg = line_drawing(scenes.clean_line(), heading=False)
    assert "The line keeps its takt." not in words_in(svg)
    assert "The line keeps its takt." in tree(svg).findtext(f"{SVG}desc")


def test_a_line_without_demand_or_lead_time_can_still_be_seen(scenes):
    column = scenes.station("Saw", {})
    nothing = RibbonPiece("Saw", scenes.seconds("t", 0.0), touch=True, column=0)
    for width in WIDTHS:
        svg = line_drawing(scenes.picture(Branch("main", (column,), (nothing,)), takt=math.inf), width=width)
        assert "without end" in words_in(svg)
