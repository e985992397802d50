"""A unit on its way, drawn: a row a step, to scale, with words for whoever does not see it."""

from __future__ import annotations

import re
from xml.etree import ElementTree as Xml

import pytest

from pullwright.draw.scene import SceneError
from pullwright.draw.unit_way import Spell, unit_way
from pullwright.forecast.unit_said import working_time

DAY = 8 * 3600.0
SPELLS = (
    Spell("saw", "is worked on", 0, 600), Spell("saw", "is on its way", 600, DAY), Spell("hone & <lap>", "waits", DAY, 4 * DAY),
    Spell("hone & <lap>", "is worked on", 4 * DAY, 4 * DAY + 60), Spell("hone & <lap>", "is held", 4 * DAY + 60, 5 * DAY),
)  # fmt: skip


def drawn(width=1200.0, spells=SPELLS):
    return unit_way(spells, day=DAY, time_words=lambda s: working_time(s, DAY), width=width)


def bars(svg, words):
    """The fields of the groups whose words begin so: their width and left edge."""
    space = "{http://www.w3.org/2000/svg}"
    found = []
    for group in Xml.fromstring(svg).iter(f"{space}g"):  # noqa: S314 - our own drawing
        title = group.find(f"{space}title")
        if title is not None and title.text.startswith(words):
            rect = group.findall(f"{space}rect")[-1]
            found.append((float(rect.get("x")), float(rect.get("width"))))
    return found


@pytest.mark.parametrize("width", [390.0, 1200.0])
def test_the_fields_are_to_scale_and_follow_one_another(width):
    svg = drawn(width)
    (way,), (wait,) = bars(svg, "saw: on its way"), bars(svg, "hone & <lap>: waits 3 d")
    assert wait[1] / way[1] == pytest.approx(3 * DAY / (DAY - 600), rel=1e-2)
    assert wait[0] == pytest.approx(way[0] + way[1], abs=0.01)


def test_a_minute_of_work_in_a_week_can_still_be_seen():
    assert bars(drawn(), "hone & <lap>: worked on")[0][1] >= 2


def test_the_axis_counts_hours_where_a_unit_takes_less_than_a_day_and_a_half():
    assert "working days since" in drawn()
    assert "working hours since" in drawn(spells=SPELLS[:2])


def test_only_what_happened_stands_in_the_key_and_no_colour_is_used():
    svg = drawn(spells=SPELLS[:2])
    assert ">held<" not in svg
    tones = {tuple(bytes.fromhex(one)) for one in re.findall(r"#([0-9a-f]{6})", drawn())}
    assert all(max(tone) - min(tone) < 24 for tone in tones)


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(SceneError, match="ends after it began"):
        Spell("saw", "waits", 5, 4)
    with pytest.raises(SceneError, match="'sleeps'"):
        Spell("saw", "sleeps", 0, 1)
    with pytest.raises(SceneError, match="without a spell"):
        drawn(spells=())
