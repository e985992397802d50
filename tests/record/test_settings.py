"""The last value given to a setting holds; every earlier one stays in its history."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from pullwright.record import InvalidEntry, Record

VALUES = (None, True, False, 0, -3, 1.5, 1e-300, 10**30, "", "旋盤 \0 \ud800", [], {}, [1, [2, {"a": None}]], {"": "x"})


@pytest.mark.parametrize("value", VALUES)
def test_value_comes_back_as_it_was_given(record: Record, value: Any) -> None:
    handed_back = record.set_setting("wall.distance", value, "A. Weber")

    assert record.setting("wall.distance", "never set") == value
    assert type(record.setting("wall.distance", "never set")) is type(value)
    assert record.settings_history("wall.distance") == (handed_back,)


def test_setting_never_given_a_value_has_its_default(record: Record) -> None:
    assert record.setting("wall.distance", 15.0) == 15.0
    assert record.setting("wall.distance") is None
    assert record.settings_history("wall.distance") == ()


def test_setting_set_to_nothing_is_not_the_same_as_never_set(record: Record) -> None:
    record.set_setting("wall.distance", None, "A. Weber")

    assert record.setting("wall.distance", 15.0) is None


def test_history_keeps_every_value_in_order_and_apart_from_other_names(record: Record) -> None:
    before = datetime.now(UTC)
    for value, who in ((15, "A. Weber"), (20, "B. Roth"), (20, "C. Lind")):
        record.set_setting("wall.distance", value, who)
    record.set_setting("wall.sound", False, "C. Lind")

    history = record.settings_history("wall.distance")

    assert [(entry.value, entry.who) for entry in history] == [(15, "A. Weber"), (20, "B. Roth"), (20, "C. Lind")]
    assert before <= history[0].when <= history[1].when <= history[2].when <= datetime.now(UTC)
    assert record.setting("wall.distance") == 20
    assert record.setting("wall.sound") is False


def test_changing_a_list_after_setting_it_changes_nothing_kept(record: Record) -> None:
    stations = ["hone"]
    entry = record.set_setting("wall.stations", stations, "A. Weber")
    stations.append("turn")

    assert entry.value == record.setting("wall.stations") == ["hone"]


@pytest.mark.parametrize("value", [(1, 2), {1: "a"}, {1, 2}, float("nan"), float("inf"), b"x", object(), "x" * 64_000])
def test_value_that_would_not_come_back_the_same_is_refused_and_not_kept(record: Record, value: Any) -> None:
    with pytest.raises(InvalidEntry, match="setting value: read "):
        record.set_setting("wall.distance", value, "A. Weber")

    assert record.settings_history("wall.distance") == ()


def test_list_that_holds_itself_is_refused(file_record: Record) -> None:
    endless: list[Any] = []
    endless.append(endless)

    with pytest.raises(InvalidEntry, match="a value that JSON gives back unchanged"):
        file_record.set_setting("wall.distance", endless, "A. Weber")


@pytest.mark.parametrize("name", ["", "Wall", "wall distance", ".wall", "wall..x", "x" * 81])
def test_name_of_a_setting_has_a_shape(file_record: Record, name: str) -> None:
    for ask in (
        lambda: file_record.set_setting(name, 1, "A. Weber"),
        lambda: file_record.setting(name),
        lambda: file_record.settings_history(name),
    ):
        with pytest.raises(InvalidEntry, match="setting name: read "):
            ask()
