"""The door: names under which the workbench answers, and how long an address may be."""

from __future__ import annotations

import pytest

from pullwright.web import create_app


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8480", "localhost:9999", "LOCALHOST", "localhost."])
def test_a_known_name_is_let_in_with_any_port(visitor, host):
    assert visitor.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "localhost.elsewhere.example:8480", "[::1]"]
)
def test_another_name_is_told_which_names_to_use(visitor, host):
    answer = visitor.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "127.0.0.1" in answer.text
    assert "localhost" in answer.text


@pytest.mark.parametrize("host", ["", "two words", "a:b:c", "127.0.0.1:8480/path", "user@127.0.0.1", "127.0.0.1:port"])
def test_a_header_that_is_no_name_is_refused_in_words(visitor, host):
    answer = visitor.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert "Host header" in answer.text


def test_a_name_of_the_factory_is_let_in_when_it_was_started_with_it(record, visitor_of):
    visitor = visitor_of(create_app(record, hosts=["valves.example", "[2001:db8::1]"]))
    assert visitor.get("/", headers={"host": "valves.example"}).status_code == 200
    assert visitor.get("/", headers={"host": "[2001:DB8::1]:8480"}).status_code == 200
    assert visitor.get("/", headers={"host": "127.0.0.1"}).status_code == 421


def test_no_name_at_all_is_refused_at_the_start(record, visitor_of):
    with pytest.raises(ValueError, match="no host is allowed"):
        visitor_of(create_app(record, hosts=[])).get("/")


@pytest.mark.parametrize("address", ["/" + "a" * 1024, "/?" + "a" * 2049])
def test_an_address_that_is_too_long_is_refused_in_words(visitor, address):
    answer = visitor.get(address)
    assert answer.status_code == 414
    assert "too long" in answer.text


@pytest.mark.parametrize("address", ["/" + "a" * 1023, "/?" + "a" * 2048])
def test_an_address_up_to_the_limit_is_read(visitor, address):
    assert visitor.get(address).status_code in (200, 404)


@pytest.mark.parametrize("address", ["/a%00b", "/a%0d%0ab", "/%7f"])
def test_a_control_character_in_an_address_is_refused(visitor, address):
    assert visitor.get(address).status_code == 400
