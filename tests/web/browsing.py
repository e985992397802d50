"""A page opened in a real browser; whatever the browser complains about fails the test."""

from __future__ import annotations

from contextlib import contextmanager


@contextmanager
def opened(chromium, server, address, size=(1280, 900), **settings):
    """Open a page and, at the end, fail for anything that the browser complained about."""
    context = chromium.new_context(viewport={"width": size[0], "height": size[1]}, **settings)
    page = context.new_page()
    complaints = []
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "request", lambda asked: None if asked.url.startswith((server.base, "data:")) else complaints.append(asked.url)
    )
    page.goto(server.base + address)
    yield page
    context.close()
    # The browser itself notes the status of a page that says it could not do something.
    assert [said for said in complaints if "the server responded with a status of 4" not in said] == []
