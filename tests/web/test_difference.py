"""The difference of two texts: from it and the first text the second can be made, whatever they are."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pullwright.web.difference import LONGEST_LINE, MOST_COMPARED, MOST_SHOWN, difference_of
from tests.effort import within

TEXTS = st.lists(st.sampled_from("abcd"), max_size=40).map(lambda lines: "".join(f"{line}\n" for line in lines))


@given(TEXTS, TEXTS)
def test_the_first_text_with_its_gone_lines_out_and_the_new_ones_in_is_the_second(before, after):
    found = difference_of(before, after)
    old, new = before.splitlines(), after.splitlines()
    gone = {line.before for line in found.lines if line.kind == "gone"}
    fresh = {line.after: line.text for line in found.lines if line.kind == "new"}
    kept = iter(text for number, text in enumerate(old, 1) if number not in gone)
    assert [fresh[number] if number in fresh else next(kept) for number in range(1, len(new) + 1)] == new
    assert (found.gone, found.new) == (len(gone), len(fresh))


@given(TEXTS, TEXTS)
def test_every_line_stands_under_its_numbers_in_both_texts_in_order_and_once(before, after):
    old, new = before.splitlines(), after.splitlines()
    lines = difference_of(before, after).lines
    for line in lines:
        assert line.kind == "new" or old[line.before - 1] == line.text
        assert line.kind == "gone" or new[line.after - 1] == line.text
    for numbers in ([line.before for line in lines if line.before], [line.after for line in lines if line.after]):
        assert numbers == sorted(set(numbers))


@given(TEXTS)
def test_a_text_does_not_differ_from_itself(text):
    assert difference_of(text, text).lines == ()


def test_lines_that_are_left_out_are_marked():
    before = "".join(f"{number}\n" for number in range(60))
    found = difference_of(before, before.replace("10\n", "x\n").replace("40\n", "y\n"))
    assert [line.before for line in found.lines if line.after_gap] == [38]


def test_long_texts_and_long_lines_are_bounded():
    before, after = "a\n" * 50_000, "b\n" * 50_000 + "c" * 5_000
    with within(500):
        found = difference_of(before, after)
    assert found.cut
    assert len(found.lines) == MOST_SHOWN
    assert (found.gone, found.new) == (50_000, 50_001)
    assert max(len(line.text) for line in difference_of("", after[-5_000:]).lines) == LONGEST_LINE


def test_texts_that_are_shuffled_keep_nobody_waiting():
    lines = [str(number % 7) for number in range(MOST_COMPARED)]
    with within(500):
        difference_of("\n".join(lines), "\n".join(reversed(lines)))
