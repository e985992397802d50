"""The rest of today in a real browser, with script and without: typed, sent, answered, and nothing sticks out on a phone or a desk."""

from __future__ import annotations

import pytest

from pullwright.record import Record
from pullwright.web import create_app
from tests.pull.sequence.sequenced_lines import carts
from tests.web.browsing import opened

PAGE = "/lines/carts/plan/rest"
PHONE = (390, 844)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("carts", "Carts", carts().line.text, "A. Weber", "first count")
        with serving(create_app(record, secret=b"k" * 32)) as server:
            yield server


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_an_order_that_comes_in_is_typed_and_answered(chromium, shop, script):
    with opened(chromium, shop, f"{PAGE}?day.pitch=3", java_script_enabled=script) as page:
        page.get_by_label("The time now").fill("10:40")
        page.get_by_label("Pieces of the sequence that are finished").fill("12")
        page.get_by_label("green, pieces for the whole day").fill("6 more")
        page.get_by_role("button", name="Plan the rest").click()
        page.get_by_text("The box from 10:40 on").wait_for(timeout=60_000)
        assert "Not all of it fits until 14:00" in page.locator("h1").inner_text().replace("\u00a0", " ")
        assert "day.pitch=3" in page.url
        page.get_by_role("link", name="All of it, with work until").click()
        page.get_by_text("later than every day").wait_for(timeout=60_000)


def test_nothing_sticks_out_with_everything_unfolded(chromium, shop):
    answered = f"{PAGE}?now=10%3A40&done=12&asked.green=6+more&until=17%3A00"
    for address in (PAGE, answered, f"{PAGE}?now=99&done=99&asked.green=-4"):
        for size in (PHONE, (1280, 900)):
            with opened(chromium, shop, address, size) as page:
                page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
                wide = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
                assert page.evaluate(wide), (address, size)
