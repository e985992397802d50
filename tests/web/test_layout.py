"""How pages lie on a screen, in a real browser: nothing sticks out, nothing is blocked, the keyboard reaches all."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.web.browsing import heights, opened

SIZES = [(1280, 900), (390, 844), (320, 640)]
ADDRESSES = ["/", "/patterns", "/nothing"]


@pytest.fixture
def server(app, serving):
    with serving(app) as running:
        yield running


def _send_wrong(page):
    page.click("button")
    page.wait_for_selector(".wrong-list")


def _send_faulty(page):
    page.fill("#field-who", "A. Weber")
    page.click("button")
    page.wait_for_selector(".faults")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]} px")
@pytest.mark.parametrize("address", ADDRESSES)
def test_nothing_sticks_out_sideways(chromium, server, address, size):
    with opened(chromium, server, address, size) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]} px")
@pytest.mark.parametrize("send", [_send_wrong, _send_faulty])
def test_a_form_that_came_back_does_not_stick_out_either(chromium, server, size, send):
    with opened(chromium, server, "/patterns", size) as page:
        send(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


def test_letters_enlarged_to_twice_their_size_do_not_stick_out(chromium, server):
    with opened(chromium, server, "/patterns", (1280, 900)) as page:
        page.evaluate("document.documentElement.style.fontSize = '212.5%'")
        assert page.evaluate("document.documentElement.scrollWidth") <= 1280


def test_the_keyboard_goes_from_the_skip_link_through_the_page_in_the_order_of_reading(chromium, server):
    with opened(chromium, server, "/patterns") as page:
        order = []
        for _ in range(60):
            page.keyboard.press("Tab")
            order.append(
                page.evaluate(
                    "(() => { const e = document.activeElement; const r = e.getBoundingClientRect();"
                    " const s = getComputedStyle(e.closest('.code') || e);"
                    " return [e.tagName, e.textContent.trim().slice(0, 40), r.top + scrollY, s.outlineStyle, e.className] })()"
                )
            )
            if order[-1][1] == "The figures of this page, for programs":
                break
        assert order[0][1] == "Skip to what was found"
        assert order[-1][1] == "The figures of this page, for programs"
        tops = [top for _, _, top, _, kind in order if kind != "skip"]
        assert all(later >= earlier - 40 for earlier, later in pairwise(tops))
        assert all(style == "solid" for _, _, _, style, _ in order), order


def test_the_skip_link_shows_when_it_is_reached_and_leads_past_the_navigation(chromium, server):
    with opened(chromium, server, "/patterns") as page:
        page.keyboard.press("Tab")
        assert page.locator(".skip").bounding_box()["x"] >= 0
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.closest('main') !== null")


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_fault_leads_to_its_line(chromium, server, script):
    with opened(chromium, server, "/patterns", java_script_enabled=script) as page:
        _send_faulty(page)
        page.click(".faults a >> nth=1")
        if script:
            typed = page.locator("#field-text")
            at = typed.evaluate("e => [document.activeElement === e, e.selectionStart, e.value]")
            assert at[0]
            assert at[2][: at[1]].count("\n") == 6
        else:
            assert page.url.endswith("#line-text-7")
            assert page.locator("#line-text-7").is_visible()


def test_line_numbers_follow_the_text_and_mark_the_faulty_lines(chromium, server):
    with opened(chromium, server, "/patterns") as page:
        _send_faulty(page)
        assert page.locator(".gutter b").all_text_contents() == [" 6", " 7"]
        assert page.locator(".gutter b .mark").count() == 2
        page.fill("#field-text", "\n".join("x" for _ in range(300)))
        assert page.locator(".gutter").text_content().split()[-1] == "300"
        page.locator("#field-text").evaluate("e => { e.scrollTop = 500; e.dispatchEvent(new Event('scroll')); }")
        assert page.locator(".gutter").evaluate("e => e.scrollTop") == pytest.approx(500, abs=2)


def test_a_form_is_read_and_sent_without_any_script(chromium, server):
    with opened(chromium, server, "/patterns", java_script_enabled=False) as page:
        page.fill("#field-who", "A. Weber")
        page.fill("#field-text", "title: Valves")
        page.click("button")
        page.wait_for_url(server.base + "/patterns")
        assert page.locator(".wrong-list").count() == 0


def test_what_needs_another_look_has_the_focus_when_the_form_comes_back(chromium, server):
    with opened(chromium, server, "/patterns") as page:
        _send_wrong(page)
        assert page.evaluate("document.activeElement.className") == "wrong-list"
        page.click(".wrong-list a")
        assert page.evaluate("document.activeElement.id") == "field-who"


@pytest.mark.parametrize("size", SIZES[:2], ids=lambda size: f"{size[0]} px")
def test_what_is_pressed_with_a_thumb_is_large_enough(chromium, server, size):
    # WCAG 2.2, success criterion 2.5.8: 24 CSS pixels, links within a sentence excepted.
    with opened(chromium, server, "/patterns", size) as page:
        for selector in (".home", ".trail a", ".places a", ".button", "summary", "input:not([type=hidden])", "select"):
            assert all(height >= 24 for height in heights(page, selector)), selector


def test_paper_shows_what_was_found_and_no_forms(chromium, server):
    with opened(chromium, server, "/patterns") as page:
        page.emulate_media(media="print")
        assert page.locator("h1").is_visible()
        assert page.locator("table.rows").first.is_visible()
        for hidden in (".form", ".places", ".trail", ".button >> nth=0"):
            assert not page.locator(hidden).is_visible()
