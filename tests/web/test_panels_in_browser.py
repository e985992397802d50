"""The search for a setting and one unit on its way in a real browser: followed by the script, and nothing sticks out."""

from __future__ import annotations

import pytest

from pullwright.forecast.warm import warm_up_kernels
from pullwright.record import Record
from pullwright.web import create_app
from tests.web.browsing import opened
from tests.web.small_cards import SEALS

PAGE = "/lines/seals/forecast/find"
PHONE = (390, 844)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    warm_up_kernels()
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("seals", "Seal line", SEALS, "A. Weber", "first count")
        with serving(create_app(record, secret=b"k" * 32)) as server:
            yield server


def test_a_search_is_begun_with_the_keyboard_and_its_answer_comes_by_itself(chromium, shop):
    with opened(chromium, shop, PAGE) as page:
        page.locator("#field-values").fill("1..10")
        page.get_by_role("button", name="Look for it").focus()
        page.keyboard.press("Enter")
        page.locator("h1", has_text="Fewest cards: 3 cards").wait_for(timeout=60_000)
        page.get_by_role("link", name="Open this setting as a what-if").click()
        page.wait_for_url("**/forecast?cards%3Aform=3")


def test_nothing_sticks_out_on_a_phone_or_a_desk(chromium, shop):
    for address in (PAGE, "/lines/seals/forecast/unit"):
        with opened(chromium, shop, address, PHONE) as page:
            page.locator("h1", has_text="unit takes" if address.endswith("unit") else "e").wait_for(timeout=60_000)
            page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
            for width in (390, 320, 1280):
                page.set_viewport_size({"width": width, "height": 800})
                assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
