"""Posts by hand in a real browser: dragged, moved by keys, checked on the way; and nothing of the plan sticks out on a phone or a desk."""

from __future__ import annotations

import pytest

from pullwright.record import Record
from pullwright.web import create_app
from tests.web.browsing import opened
from tests.web.small_line import VALVES

PLAN = "/lines/valves/plan"
POSTS = f"{PLAN}/posts?balance.takt=300+s"
PHONE = (390, 844)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("valves", "Valve line", VALVES, "A. Weber", "first count")
        with serving(create_app(record, secret=b"k" * 32)) as server:
            yield server


def blocks(page, post):
    return page.locator(f"[data-post='{post}'] [data-name]").evaluate_all("all => all.map(one => one.dataset.name)")


def test_an_element_is_taken_to_another_post_by_keys_and_back(chromium, shop):
    with opened(chromium, shop, POSTS) as page:
        before = blocks(page, 1)
        page.locator("[data-post='1'] [data-name]").last.focus()
        page.keyboard.press("ArrowDown")
        page.locator(f"[data-post='2'] [data-name='{before[-1]}']").wait_for(timeout=60_000)
        assert blocks(page, 1) == before[:-1]
        assert "move=2+" in page.url
        assert page.evaluate("document.activeElement.dataset.name") == before[-1]
        page.get_by_role("link", name="All as planned").click()
        page.locator(f"[data-post='1'] [data-name='{before[-1]}']").wait_for(timeout=60_000)
        assert "move=" not in page.url


def test_an_element_is_dragged_and_what_it_breaks_is_said(chromium, shop):
    with opened(chromium, shop, POSTS) as page:
        first = blocks(page, 1)[0]
        page.locator("[data-post='1'] [data-name]").first.drag_to(page.locator("[data-post='2'] h2"))
        page.locator(f"[data-post='2'] [data-name='{first}']").wait_for(timeout=60_000)
        assert "This breaks:" in page.locator("[data-broken]").inner_text()


def test_nothing_sticks_out_on_a_phone_or_a_desk_with_everything_unfolded(chromium, shop):
    for address in (PLAN, POSTS):
        for size in (PHONE, (1280, 900)):
            with opened(chromium, shop, address, size) as page:
                page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
                assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), (
                    address,
                    size,
                )
