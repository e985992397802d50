"""Changes come only from a form that this workbench showed to this browser."""

from __future__ import annotations

import stat

import pytest

from pullwright.web import create_app
from pullwright.web.forms import Field, Form
from pullwright.web.guard import GuardedRoute
from pullwright.web.pages import Done, FormPage
from pullwright.web.pieces import Found
from pullwright.web.seal import Seal, kept_secret, same_origin

TYPED = {"who": "A. Weber", "reason": "", "shift": "late", "text": "title: Valves\n"}


def test_a_form_of_ours_is_taken(visitor):
    answer = visitor.send("/patterns", TYPED)
    assert (answer.status_code, answer.headers["location"]) == (303, "/patterns")


def test_the_cookie_is_out_of_reach_for_scripts_and_for_other_sites(visitor):
    cookie = visitor.get("/patterns").headers["set-cookie"]
    assert cookie.startswith("pullwright_seat=")
    assert {"HttpOnly", "SameSite=strict", "Path=/"} <= set(cookie.split("; "))


def test_a_page_without_a_form_gives_no_cookie_and_a_known_browser_keeps_its_own(visitor):
    assert "set-cookie" not in visitor.get("/").headers
    assert "set-cookie" in visitor.get("/patterns").headers
    assert "set-cookie" not in visitor.get("/patterns").headers


def test_a_cookie_that_is_none_of_ours_is_replaced(visitor):
    visitor.cookies.set("pullwright_seat", "me", domain="127.0.0.1")
    assert "set-cookie" in visitor.get("/patterns").headers


@pytest.mark.parametrize("seal", ["", "x", "ä", "A" * 43, "A" * 100_000])
def test_a_form_without_its_seal_comes_back_with_what_was_typed_and_changes_nothing(visitor, seal):
    visitor.seal("/patterns")
    answer = visitor.send("/patterns", TYPED, seal=seal)
    assert answer.status_code == 403
    assert "Nothing was changed yet" in answer.text
    assert 'value="A. Weber"' in answer.text
    assert "title: Valves" in answer.text


def test_the_form_that_came_back_can_be_sent_again(visitor):
    refused = visitor.send("/patterns", TYPED, seal="old")
    seal = refused.text.split('name="seal" value="')[1].split('"')[0]
    assert visitor.send("/patterns", TYPED, seal=seal).status_code == 303


def test_the_seal_of_one_browser_does_not_hold_for_another(app, visitor_of):
    mine, theirs = visitor_of(app), visitor_of(app)
    theirs.seal("/patterns")
    assert theirs.send("/patterns", TYPED, seal=mine.seal("/patterns")).status_code == 403


def test_the_seal_holds_after_a_restart_with_the_same_secret_and_not_with_another(record, visitor_of):
    before = visitor_of(create_app(record, secret=b"a" * 32))
    seal = before.seal("/patterns")
    for secret, status in ((b"a" * 32, 303), (b"b" * 32, 403)):
        after = visitor_of(create_app(record, secret=secret))
        after.cookies = before.cookies
        assert after.send("/patterns", TYPED, seal=seal).status_code == status


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.example", "sec-fetch-site": "cross-site"},
        {"origin": "http://127.0.0.1:9999", "sec-fetch-site": "same-site"},
        {"origin": "null", "sec-fetch-site": "same-origin"},
        {"origin": "http://127.0.0.1:8480", "sec-fetch-site": "cross-site"},
        {"origin": "http://127.0.0.1:8480.elsewhere.example"},
        {"origin": "http://127.0.0.1:x"},
    ],
)
def test_a_form_from_another_site_is_refused_even_with_its_seal(visitor, headers):
    answer = visitor.send("/patterns", TYPED, headers=headers)
    assert answer.status_code == 403
    assert "did not come from one of our own pages" in answer.text
    assert "A. Weber" not in answer.text


def test_a_program_that_names_no_origin_still_needs_the_seal():
    assert same_origin("http", "127.0.0.1:8480", None, None)
    assert same_origin("http", "valves.example", "https://valves.example", "same-origin")
    assert not same_origin("http", "valves.example", "https://valves.example:8443", "same-origin")


def test_the_act_behind_a_form_is_never_reached_without_the_seal(app, visitor):
    reached = []
    form = Form("count", Field("number", "Number"))

    def counting() -> FormPage:
        return FormPage(name="Counting", found=Found(text="Nothing was counted yet."))

    def count(page, filled, desk):
        reached.append(filled.typed["number"])
        return Done("/")

    app.state.pages.form("/counting", counting, "patterns.html", form=form, act=count)
    visitor.seal("/patterns")
    for how, status in (({"data": {"number": "1", "seal": "no"}}, 403), ({"json": {"number": "1"}}, 415)):
        answer = visitor.ask("POST", "/counting", headers={"origin": visitor.base, "accept": "application/json"}, **how)
        assert answer.status_code == status
    assert reached == []
    seal = app.state.seal.token(visitor.cookies["pullwright_seat"])
    answer = visitor.ask("POST", "/counting", headers={"origin": visitor.base}, data={"number": "7", "seal": seal})
    assert (answer.status_code, reached) == (303, ["7"])


def test_an_address_that_cannot_hand_a_form_back_refuses_it_without_the_seal(app, visitor):
    reached = []

    def tick() -> str:
        reached.append("tick")
        return "done"

    app.router.add_api_route("/tick", tick, methods=["POST"], route_class_override=GuardedRoute)
    headers = {"origin": visitor.base}
    assert visitor.ask("POST", "/tick", headers=headers, data={"seal": "no"}).status_code == 403
    assert reached == []
    data = {"seal": visitor.seal("/patterns")}
    assert visitor.ask("POST", "/tick", headers=headers, data=data).status_code == 200
    assert reached == ["tick"]


@pytest.mark.parametrize("kind", ["text/plain", "application/json", "", "multipart/mixed"])
def test_content_of_another_kind_is_refused_in_words(visitor, kind):
    answer = visitor.ask("POST", "/patterns", content=b"who=x", headers={"content-type": kind, "origin": visitor.base})
    assert answer.status_code == 415
    assert "multipart/form-data" in answer.text


def test_the_secret_is_made_once_in_a_file_that_only_its_owner_reads(tmp_path):
    file = tmp_path / "secret"
    first = kept_secret(file)
    assert len(first) == 32
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.chmod(0o644)
    assert kept_secret(file) == first
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_a_broken_secret_is_named_and_not_repeated(tmp_path):
    file = tmp_path / "secret"
    file.write_text("half of it")
    with pytest.raises(ValueError, match="64 hexadecimal digits") as told:
        kept_secret(file)
    assert "half of it" not in str(told.value)


def test_a_secret_that_is_too_short_is_refused():
    with pytest.raises(ValueError, match="at least 32"):
        Seal(b"short")
