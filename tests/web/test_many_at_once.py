"""Many people at once: every page is whole, every number the same for all of them, and of two saves one is told of the other."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor

import httpx

from tests.web.small_line import TOO_MUCH, VALVES

PARTS = ("", ".json", "/accounts", "/flow", "/figures", "/why?figure=takt%20time", "/text", "/edit", "/form")


def test_many_who_look_at_once_see_the_same(bench_app, valves, serving):
    valves.add_line("busy", "Busy", TOO_MUCH, "A. Weber", "")
    asked = [f"/lines/{key}{part}" for key in ("valves", "busy") for part in PARTS] * 6

    # One client for all: each would read the certificates of this machine, which takes longer than to draw a page.
    with (
        serving(bench_app) as server,
        httpx.Client(base_url=server.base, timeout=60) as client,
        ThreadPoolExecutor(12) as people,
    ):

        def look(address):
            answer = client.get(address)
            return address, answer.status_code, re.sub(r'name="seal" value="[^"]+"', "", answer.text)

        seen = list(people.map(look, asked))
    assert {status for _, status, _ in seen} == {200}
    assert len({(address, text) for address, _, text in seen}) == len(set(asked))


def test_of_many_who_save_at_once_one_is_first_and_the_others_are_told(bench_app, valves, visitor_of):
    def save(number):
        visitor = visitor_of(bench_app)
        typed = {
            "text": VALVES + f"# {number}\n",
            "based_on": "1",
            "who": f"Nr {number}",
            "why": "at once",
            "do": "save",
        }
        return visitor.send("/lines/valves/edit", typed).status_code

    with ThreadPoolExecutor(6) as people:
        answers = sorted(people.map(save, range(6)))
    assert answers == [303, 409, 409, 409, 409, 409]
    assert len(valves.revisions("valves")) == 2
