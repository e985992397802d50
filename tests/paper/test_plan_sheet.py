"""A plan on one page, whatever chapters it has: nothing is clipped, and what is left out is said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any, Literal

import pytest

from pullwright.figure import Figure, Source, given, judged
from pullwright.paper import plan_sheet
from pullwright.pull.plan import PullPlan, plan_of
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable
from pullwright.survey.planned.planned import Planned

SOURCE = Source("line file", "plan")
LONG = "of the Donaudampfschifffahrtsgesellschaft, second hall on the left"


@dataclass(frozen=True)
class MadeUp(Planned):
    """A plan that is told in chapters of our own."""

    given: tuple[Chapter, ...] = ()

    @property
    def chapters(self) -> tuple[Chapter, ...]:
        return self.given


@pytest.fixture(scope="module")
def plan(lines: SimpleNamespace) -> PullPlan:
    return plan_of(lines.surveyed(lines.text(3)).accounts)


def share(name: str, value: float) -> Figure:
    return judged(name, value * 0.95, value, value * 1.08, "share", SOURCE)


def posts(number: int = 6) -> Chapter:
    rows = tuple(
        PlanRow(
            f"post {k + 1}",
            ("1 of assembly", f"do this {k} and that", judged(f"round / post {k + 1}", 500.0 + k, 520.0 + k, 600.0 + k, "s", SOURCE), share(f"load / post {k + 1}", 0.6 + 0.1 * (k % 6))),
            "above the takt" if 0.6 + 0.1 * (k % 6) > 1 else "",
        )
        for k in range(number)
    )  # fmt: skip
    table = PlanTable("Each post", ("who", "does", "round", "load"), rows, ("Not proven: 5 may be enough.",))
    return Chapter("posts", "Posts", f"{number} posts keep a takt of 16 min.", tables=(table,), reasons=("Five are too few: the work takes 5.2 takts.",))  # fmt: skip


def wide(rows: int, key: str = "cards", name: str = "loop") -> Chapter:
    columns = ("kind", "pieces each", "cards", "by the rule", "met from the shelf", "lead time", "pieces on the cards", "room")  # fmt: skip
    made = tuple(
        PlanRow(
            f"{name} {k}",
            (
                "withdrawal card", given(f"{key} each {k}", 14.0, "pieces", SOURCE), given(f"{key} cards {k}", 3.0 + k, "cards", SOURCE), given(f"{key} rule {k}", 2.0, "cards", SOURCE),
                judged(f"{key} met {k}", 0.91, 0.95, 0.96, "share", SOURCE), judged(f"{key} lead {k}", 1.0, 1.2, 1.9, "wd", SOURCE),
                given(f"{key} pieces {k}", 42.0, "pieces", SOURCE), None,
            ),
            "does not fit" if k % 3 == 1 else "",
        )
        for k in range(rows)
    )  # fmt: skip
    behind = PlanTable("Why so many", ("why",), tuple(PlanRow(f"{name} {k}", (f"Because {k} and more. " * 8,)) for k in range(rows)), behind=True)  # fmt: skip
    return Chapter(key, f"Cards {key}", f"{rows} loops keep it going.", look=True, tables=(PlanTable("Loops", columns, made), behind), reasons=tuple(f"Reason {k} of {key}." for k in range(9)))  # fmt: skip


REFUSED = Chapter(
    "crew", "People", "", look=True, refused="Nobody can do it in the time.", binding=("Two people are here.", "The takt is 40 s."), instead="With three people it works.",
)  # fmt: skip


def made_up(plan: PullPlan, *chapters: Chapter) -> MadeUp:
    return MadeUp(plan, given=chapters)


def printed(planned: Planned, lines: SimpleNamespace, **more: Any) -> bytes:
    return plan_sheet(planned, printed=lines.when, **more)


def inside(sheet: Any) -> bool:
    wide_page, high = sheet.size
    return all(word.left >= 25 and word.right <= wide_page - 25 and word.top >= 12 and word.bottom <= high - 20 for word in sheet.words)  # fmt: skip


def test_a_short_plan_is_told_whole_on_one_page(
    plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    sheet = read_back(printed(made_up(plan, posts(), REFUSED), lines, revision="7", wished="balance.posts=6"))

    assert sheet.pages == 1
    assert sheet.size == pytest.approx((1190.6, 841.9), abs=0.1)
    assert sheet.begins_with("made-up line: pull plan Look here: 6 posts keep a takt of 16 min. Nobody can do it in the time.")  # fmt: skip
    assert sheet.says(
        "invented data line file made_up.yaml revision 7 wished balance.posts=6 printed 2 March 2026, 09:30"
    )
    assert sheet.says("round (min)")
    for figure in (figure for chapter in (posts(), REFUSED) for figure in chapter.figures()):
        value, _, interval = figure.parts()
        assert sheet.says(f"{value} ({interval})"), figure
    assert sheet.says("above the takt")
    assert sheet.says("Bars: work against takt (upright line)")
    assert sheet.says("Five are too few")
    assert sheet.says("Not proven: 5 may be enough.")
    assert not sheet.says("For want of room")
    assert sheet.says("No such plan. Nobody can do it in the time. These cannot hold together:")
    assert sheet.says("Two people are here.")
    assert sheet.says("What does work: With three people it works.")
    assert sheet.says("Caution: ")
    assert sheet.says('pullwright plan made_up.yaml --why "round / post 1"')
    assert sheet.overlapping() == []
    assert inside(sheet)


CASES: dict[str, tuple[Chapter, ...]] = {
    "long": (posts(40), wide(40), wide(60, "lots"), REFUSED, wide(30, "more")),
    "many": tuple(wide(9, f"part{k}") for k in range(9)),
    "wordy": (posts(3), wide(9, name=LONG), replace(posts(30), key="b", sentence=f"{LONG}. " * 20, reasons=tuple(f"{LONG} {k}. " * 4 for k in range(30)))),
    "unbroken": (Chapter("x", "W" * 80, "x" * 2000, reasons=("y" * 900,), tables=(PlanTable("z" * 90, ("c" * 60, "d" * 60), (PlanRow("r" * 90, ("e" * 90, "f" * 90)),)),)),),
}  # fmt: skip


@pytest.mark.parametrize(("case", "paper"), [("long", "a3"), ("many", "a4"), ("wordy", "a4"), ("unbroken", "a3"), ("unbroken", "a4")])  # fmt: skip
def test_a_long_plan_is_cut_to_one_page_and_says_what_is_left_out_and_where_it_stands(
    case: str, paper: Literal["a3", "a4"], plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any],
) -> None:  # fmt: skip
    chapters = CASES[case]
    sheet = read_back(printed(made_up(plan, *chapters), lines, paper=paper))

    assert sheet.pages == 1
    assert sheet.size == pytest.approx((1190.6, 841.9) if paper == "a3" else (841.9, 595.3), abs=0.1)
    assert sheet.overlapping() == []
    assert inside(sheet)
    for chapter in chapters:
        assert sheet.says(chapter.title)
    if len(chapters) > 1:
        assert sheet.says("For want of room without")
        assert sheet.says("All of it: pullwright plan made_up.yaml --part ")


def test_chapters_that_have_no_room_are_named(
    plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    chapters = tuple(Chapter(f"part{k}", f"Chapter {k}", f"Said of {k}: {LONG}. " * 9) for k in range(50))

    sheet = read_back(printed(made_up(plan, *chapters), lines, paper="a4"))

    assert sheet.pages == 1
    assert sheet.says("Not on this page: Chapter ")
    assert sheet.overlapping() == []
    assert inside(sheet)


def test_the_bars_of_the_posts_are_the_last_table_to_be_left_out(
    plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    first = PlanTable("The balance", ("",), (PlanRow("people", (given("people", 7.0, "persons", SOURCE),)),))
    chapter = replace(posts(), tables=(first, *posts().tables))

    sheet = read_back(printed(made_up(plan, chapter, *CASES["many"]), lines, paper="a4"))

    assert sheet.says("Each post")
    assert not sheet.says("people 7")
    assert sheet.says("the table “The balance”")


def test_rows_out_of_place_are_the_last_to_be_left_out(
    plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    rows = tuple(PlanRow(f"row{k}", (f"does {k}",), "stands still" if k in (90, 119) else "") for k in range(120))
    long = Chapter("x", "Long", "Two of 120 stand still.", tables=(PlanTable("All", ("does",), rows),))

    sheet = read_back(printed(made_up(plan, *(replace(long, key=f"x{k}") for k in range(4))), lines))

    assert sheet.text.count("row90") == 4
    assert sheet.text.count("row119does119standsstill") == 4
    assert not sheet.says("row89")


@pytest.mark.parametrize("name", ['#panic("x") *b* $x$ <lab> @ref ` \\', "W" * 80, "צינור פלדה", "tube 🏭", "a\x00b\u2028c", "</svg>&amp;"])  # fmt: skip
def test_names_come_out_as_they_are_written(
    name: str, plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    chapter = replace(
        posts(3), title=name, sentence=name, reasons=(name,), tables=(replace(posts(3).tables[0], caption=name),)
    )

    sheet = read_back(printed(made_up(plan, chapter), lines))

    assert sheet.pages == 1
    assert sheet.overlapping() == []
    if name.isascii() and name.isprintable():
        assert sheet.says(name)


def test_letters_that_no_typeface_has_are_said_or_found_on_the_machine(
    plan: PullPlan, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    sheet = read_back(printed(made_up(plan, replace(posts(3), sentence="tube \ue000")), lines))

    boxes = sheet.says("Letters that the typefaces at hand do not have are printed as boxes: U+E000.")
    assert boxes != (b"pdfuaid:part>1<" in sheet.file.read_bytes())


def test_the_same_plan_gives_the_same_bytes(plan: PullPlan, lines: SimpleNamespace) -> None:
    once = printed(made_up(plan, posts(), REFUSED), lines)

    assert once == printed(made_up(plan, posts(), REFUSED), lines)
    assert b"pdfuaid:part>1<" in once
