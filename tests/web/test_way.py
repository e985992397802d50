"""Addresses of a line's pages survive every letter that a name may have."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

from hypothesis import given
from hypothesis import strategies as st

from pullwright.web.door import LONGEST_QUERY
from pullwright.web.way import LINES_AT_ONCE, Way, digest_of, first_line_shown, line_way

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=400)


@given(NAMES)
def test_the_name_of_a_figure_comes_back_from_the_address_of_its_why(name):
    address = urlsplit(Way("/lines/hone").why(name))
    asked = parse_qs(address.query, keep_blank_values=True)
    assert address.path == "/lines/hone/why"
    assert len(address.query) <= LONGEST_QUERY
    assert asked == {"figure": [name]} or asked == {"digest": [digest_of(name)]}


@given(st.integers(1, 10**7))
def test_a_line_is_on_the_page_that_its_address_opens(line):
    first = first_line_shown(line)
    assert first <= line < first + LINES_AT_ONCE
    assert (first - 1) % LINES_AT_ONCE == 0


def test_a_key_cannot_leave_its_place_in_an_address():
    assert line_way("../x?y#z").base == "/lines/..%2Fx%3Fy%23z"
