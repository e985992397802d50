"""Every answer keeps the page to itself: headers, files of our own, nothing from elsewhere."""

from __future__ import annotations

import re

import pytest

from pullwright.web.assets import STATIC
from tests.apart import run_apart

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'; connect-src 'self'; worker-src 'self'"
)
PAGES = ("/", "/patterns")
ANSWERS = (*PAGES, "/index.json", "/patterns.json", "/openapi.json", "/nothing", "/nothing.json", "/" + "a" * 2000)


@pytest.mark.parametrize("address", ANSWERS)
def test_every_answer_carries_the_safe_headers(visitor, address):
    headers = visitor.get(address).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "camera=()" in headers["permissions-policy"]
    assert headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize("address", ANSWERS)
def test_head_gives_the_same_headers_and_no_body(visitor, address):
    shown, headed = visitor.get(address), visitor.ask("HEAD", address)
    assert headed.status_code == shown.status_code
    assert headed.content == b""
    assert headed.headers["content-length"] == shown.headers["content-length"]
    assert headed.headers["content-type"] == shown.headers["content-type"]


def test_head_sends_no_body_even_to_a_server_that_would_pass_it_on(app):
    sent = []

    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http", "method": "HEAD", "path": "/", "raw_path": b"/", "query_string": b"", "scheme": "http",
        "http_version": "1.1", "headers": [(b"host", b"127.0.0.1")], "client": ("127.0.0.1", 1), "server": None,
    }  # fmt: skip
    run_apart(app(scope, receive, send))
    assert sent[0]["status"] == 200
    assert b"".join(message.get("body", b"") for message in sent) == b""


@pytest.mark.parametrize("address", PAGES)
def test_a_page_loads_only_files_of_our_own_and_each_is_kept_for_ever(visitor, tree, address):
    page = tree(visitor.get(address).text)
    files = [link["href"] for link in page.all("link") if link["rel"] != "alternate"]
    files += [script["src"] for script in page.all("script")]
    assert len(files) >= 5
    for file in files:
        assert re.fullmatch(r"/static/[a-z]+\.[0-9a-f]{12}\.(css|js|svg)", file), file
        answer = visitor.get(file)
        assert answer.status_code == 200
        assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("address", PAGES)
def test_a_page_holds_no_style_or_script_of_its_own_which_the_policy_would_block(visitor, tree, address):
    page = tree(visitor.get(address).text)
    assert page.all("style") == []
    for tag, attributes in page.elements:
        assert "style" not in attributes, tag
        assert not [name for name in attributes if name.startswith("on")], tag
    assert all("src" in script for script in page.all("script"))


@pytest.mark.parametrize("file", sorted(STATIC.iterdir()), ids=lambda file: file.name)
def test_no_file_of_ours_names_another_site(file):
    text = file.read_text("utf-8").replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?:|@import|//[a-z]+\.", text)


def test_a_file_under_another_hash_is_not_served(visitor):
    assert visitor.get("/static/paper.000000000000.css").status_code == 404
    assert visitor.get("/static/paper.css").status_code == 404
    assert visitor.get("/static/..%2fapp.py").status_code == 404


@pytest.mark.parametrize("address", ["/docs", "/redoc", "/docs/oauth2-redirect"])
def test_there_are_no_documentation_pages_that_load_from_elsewhere(visitor, address):
    assert visitor.get(address).status_code == 404
