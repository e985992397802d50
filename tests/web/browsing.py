"""A page opened in a real browser; whatever the browser complains about fails the test.

To open a window takes a browser three times as long as to go to another page in it, so the pages of one file of tests are
opened in the same window, and each finds it as new: nothing kept in it, and the size that the test asks for.
"""

from __future__ import annotations

from contextlib import contextmanager
from weakref import WeakKeyDictionary

WINDOWS = WeakKeyDictionary()


def window(chromium, size, *, java_script_enabled):
    """The window of this browser with or without script, cleared of all that earlier pages left in it."""
    windows = WINDOWS.setdefault(chromium, {})
    if java_script_enabled not in windows:
        context = chromium.new_context(java_script_enabled=java_script_enabled)
        page = context.new_page()
        windows[java_script_enabled] = page, context.new_cdp_session(page)
    page, session = windows[java_script_enabled]
    page.context.clear_cookies()
    if page.url.startswith("http"):
        origin = "/".join(page.url.split("/")[:3])
        session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
    page.emulate_media(media="null")
    wanted = {"width": size[0], "height": size[1]}
    if page.viewport_size != wanted:
        page.set_viewport_size(wanted)
    return page


@contextmanager
def opened(chromium, server, address, size=(1280, 900), *, java_script_enabled=True):
    """Open a page and, at the end, fail for anything that the browser complained about."""
    complaints = []
    heard = {
        "console": lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None,
        "pageerror": lambda error: complaints.append(str(error)),
        "request": lambda asked: None if asked.url.startswith((server.base, "data:")) else complaints.append(asked.url),
    }
    page = window(chromium, size, java_script_enabled=java_script_enabled)
    for event, hear in heard.items():
        page.on(event, hear)
    try:
        page.goto(server.base + address)
        yield page
    except BaseException:
        del WINDOWS[chromium][java_script_enabled]
        page.context.close()
        raise
    for event, hear in heard.items():
        page.remove_listener(event, hear)
    # The browser itself notes the status of a page that says it could not do something.
    assert [said for said in complaints if "the server responded with a status of 4" not in said] == []


def heights(page, selector):
    """How high those elements are that can be seen, in CSS pixels: all in one question, not two for each."""
    found = """all => all
      .filter(one => one.getBoundingClientRect().width && getComputedStyle(one).visibility === 'visible')
      .map(one => one.getBoundingClientRect().height).filter(height => height > 0)"""
    return page.eval_on_selector_all(selector, found)
