"""One view, two drawings: the page and its figures, listed together for programs."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Annotated

import pytest
from fastapi import Path
from fastapi.openapi.utils import get_openapi

from pullwright.web.desk import AtDesk
from pullwright.web.guard import refuse_unguarded
from pullwright.web.pages import Done
from pullwright.web.pieces import Found, Page
from pullwright.web.problems import Problem
from pullwright.web.render import twin
from tests.effort import within

Key = Annotated[str, Path(pattern="^[a-z0-9-]{1,60}$")]


def counted(key: Key, desk: AtDesk, most: int = 3) -> Page:
    """How many lines are kept?"""
    if key == "nobody":
        raise Problem(404, f"the line {key!r}")
    return Page(name=key, found=Found(text=f"{len(desk.record.lines())} of {most} lines are kept."))


@pytest.fixture
def counting(app, visitor):
    app.state.pages.page("/count/{key}", counted, "front.html")
    return visitor


def test_the_twin_holds_what_the_page_is_drawn_from(counting):
    assert counting.get("/count/hone.json?most=5").json() == {
        "name": "hone",
        "found": {"text": "0 of 5 lines are kept.", "look": False},
    }


def test_a_view_reads_its_parameters_from_the_address_and_says_what_is_wrong_with_them(counting):
    answer = counting.get("/count/hone.json?most=many")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "most"
    assert counting.get("/count/Hone.json").json()["errors"][0]["field"] == "key"


def test_a_view_that_has_nothing_to_show_says_so_in_both(counting):
    assert counting.get("/count/nobody").status_code == 404
    assert counting.get("/count/nobody.json").json()["read"] == "the line 'nobody'"


def test_a_page_links_to_its_twin_with_the_same_question(visitor, tree):
    page = tree(visitor.get("/?most=1").text)
    assert {"href": "/index.json?most=1"} in page.all("a")
    assert visitor.get("/index.json").json()["found"]["text"] == "No line is kept here yet."


@pytest.mark.parametrize(("path", "figures"), [("/", "/index.json"), ("/a/{key}", "/a/{key}.json")])
def test_the_twin_is_at_the_same_address_with_an_ending(path, figures):
    assert twin(path) == figures


KINDS = {
    ".json": "application/json", ".yaml": "application/yaml", ".csv": "text/csv", ".pdf": "application/pdf",
    ".js": "text/javascript",
}  # fmt: skip


def test_the_description_lists_every_page_with_its_twin_and_its_problems(visitor):
    paths = visitor.get("/openapi.json").json()["paths"]
    assert {"/", "/index.json", "/patterns", "/patterns.json"} <= set(paths)
    for path, operations in paths.items():
        for operation in operations.values():
            assert {"4XX", "5XX"} <= set(operation["responses"])
            kind = KINDS.get(PurePosixPath(path).suffix, "text/html")
            if "200" in operation["responses"]:
                assert next(iter(operation["responses"]["200"]["content"])) == kind
    names = [operation["operationId"] for operations in paths.values() for operation in operations.values()]
    assert len(names) == len(set(names))


def test_the_description_of_a_form_names_its_fields_and_their_sizes(visitor):
    post = visitor.get("/openapi.json").json()["paths"]["/patterns"]["post"]
    shape = post["requestBody"]["content"]["multipart/form-data"]["schema"]
    assert shape["properties"]["who"]["maxLength"] == 80
    assert shape["required"] == ["seal", "who", "shift", "text"]


def test_the_description_is_valid_for_the_framework_itself(app):
    assert get_openapi(title="x", version="1", routes=app.routes)["openapi"].startswith("3.")


def test_an_address_that_changes_something_without_the_guard_stops_the_start(app):
    @app.post("/open-door")
    def open_door() -> str:
        return "anything"

    with pytest.raises(RuntimeError, match="/open-door"):
        refuse_unguarded(app.routes)


@pytest.mark.parametrize("address", ["//elsewhere.example/", "http://elsewhere.example/", "/\\elsewhere.example", ""])
def test_a_form_never_leads_away_from_here(address):
    with pytest.raises(ValueError, match="no address of ours"):
        Done(address)


def test_the_first_page_lists_the_lines_with_the_last_one_changed_first(record, visitor):
    record.add_line("hone", "Honing", "a", "A. Weber", "first count")
    record.add_line("saw", "Sawing", "a", "M. Adler", "")
    record.revise("hone", "b", "M. Adler", "counted again", based_on=1)
    lines = visitor.get("/index.json").json()["lines"]
    assert [(line["key"], line["latest"]["number"]) for line in lines] == [("hone", 2), ("saw", 1)]
    assert "2 lines are kept here; M. Adler was the last to change one, Honing." in visitor.get("/").text


@pytest.mark.parametrize("address", ["/", "/patterns", "/patterns.json", "/openapi.json", "/nothing"])
def test_a_page_is_there_in_a_moment(app, serving, address):
    import httpx

    with serving(app) as server, httpx.Client(base_url=server.base, timeout=60) as client:
        client.get(address)
        with within(7 * 20):
            for _ in range(7):
                client.get(address)
