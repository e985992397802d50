"""The forecast in a real browser: an answer while a slider moves, the address that keeps it, and the same without a script."""

from __future__ import annotations

import pytest

from pullwright.forecast.warm import warm_up_kernels
from pullwright.record import Record
from pullwright.web import create_app
from tests.web.browsing import opened
from tests.web.small_line import VALVES

PAGE = "/lines/valves/forecast"
PHONE = (390, 844)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    warm_up_kernels()
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("valves", "Valve line", VALVES + "money: {cash: 9000 EUR}\n", "A. Weber", "first count")
        with serving(create_app(record, secret=b"k" * 32)) as server:
            yield server


def slide(page, name, value):
    slider = page.locator(f'[data-name="{name}"] .control-slider')
    slider.evaluate(
        "(one, value) => { one.value = value; one.dispatchEvent(new Event('input', { bubbles: true })); }", value
    )


def test_a_slider_that_moves_is_answered_and_the_address_keeps_the_setting(chromium, shop):
    with opened(chromium, shop, PAGE) as page:
        first = page.locator("h1").text_content()
        slide(page, "demand:valve", "110")
        slide(page, "demand:valve", "130")
        page.wait_for_url("**/forecast?demand%3Avalve=130")
        page.wait_for_selector('[data-live="numbers"] .verdict')
        assert page.locator('[data-name="demand:valve"] .control-number').input_value() == "130"
        assert page.locator("h1").text_content() != first
        page.wait_for_selector('[data-live="drawn"] #lines')
        page.locator("[data-live-state]").wait_for(state="hidden")
        said = page.locator("h1").text_content()
        page.reload()
        assert page.locator("h1").text_content() == said
        slide(page, "demand:valve", "100")
        page.wait_for_url("**/forecast")
        page.locator('[data-live="numbers"] .verdict').first.wait_for(state="detached")


def test_a_number_that_is_not_allowed_is_told_beside_the_controls(chromium, shop):
    with opened(chromium, shop, PAGE) as page:
        page.locator('[data-name="demand:valve"] .control-number').fill("99999")
        page.locator("[data-live-state]", has_text="1500").wait_for()


def test_a_number_of_the_answer_opens_its_why_beside_the_page(chromium, shop):
    with opened(chromium, shop, f"{PAGE}?demand:valve=120") as page:
        page.locator('[data-live="numbers"] .figure a').first.click()
        page.locator(".why-panel").wait_for(state="visible")
        assert "units shipped / working days counted" in page.locator(".why-panel h1").text_content()


def test_nothing_sticks_out_on_a_phone_or_a_desk_with_everything_unfolded(chromium, shop):
    for address in (PAGE, f"{PAGE}?demand:valve=130", f"{PAGE}/surer"):
        with opened(chromium, shop, address, PHONE) as page:
            page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
            for width in (390, 320, 1280):
                page.set_viewport_size({"width": width, "height": 800})
                assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)


def test_the_same_question_is_asked_without_a_script(chromium, shop):
    with opened(chromium, shop, PAGE, PHONE, java_script_enabled=False) as page:
        page.locator('input[name="demand:valve"]').fill("130")
        page.locator("form:has(input[name='demand:valve']) button").click()
        page.wait_for_url("**/forecast?demand%3Avalve=130")
        assert "demand of valve 130\u00a0% instead of 100\u00a0%" in page.locator("h1").text_content()
