"""Whatever is sent to any address that the description names, the answer is one that the description names too.

Left out of the description, and so of this test: /static (files under the hash of their content, asked for one by one in
test_headers.py) and /openapi.json itself. One check of schemathesis is left out: that everything which fits the description is
accepted. A key or a number that fits need not be that of a line or a revision, and a text that fits need not be a line file.
"""

from __future__ import annotations

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from pullwright.examples import EXAMPLES
from pullwright.record import Record
from pullwright.web import create_app
from pullwright.web.desk import Desk
from pullwright.web.pace import Pace
from pullwright.web.seal import SEAL_FIELD, SEAT_COOKIE, Seal
from tests.web.small_line import VALVES

SECRET = b"k" * 32
SEAT = "s" * 43
HERE = {"host": "127.0.0.1:8480", "origin": "http://127.0.0.1:8480"}
CHECKS = [
    not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance,
    response_headers_conformance,
]  # fmt: skip
WRONG_KEYS = ("Hone", "a b", "h\u00f6nen", "x" * 200, "-", "a%b", "\U0001f3ed")
QUIET = settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)

APP = create_app(None, secret=SECRET, pace=Pace(burst=10_000_000))  # type: ignore[arg-type]
"""Described once, for the list of places and for what is asked of them."""
PLACES = [(method, path) for path, operations in APP.openapi()["paths"].items() for method in operations]


@pytest.fixture(scope="module")
def description(tmp_path_factory):
    with Record.open(tmp_path_factory.mktemp("described") / "shop.db") as record:
        record.add_line("valves", "Valve line", VALVES, "A. Weber", "first count")
        record.revise("valves", VALVES.replace("counted: 160", "counted: 60"), "M. Adler", "counted again", 1)
        APP.state.desk = Desk(record, EXAMPLES)
        yield schemathesis.openapi.from_asgi("/openapi.json", APP, headers=HERE)


def _asked(operation, ask):
    """Ask with entries that fit the description, and with some that do not."""
    QUIET(given(case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE))(ask))()
    keys = [one.name for one in operation.path_parameters if one.definition["schema"]["type"] == "string"]
    if operation.body or operation.query or len(keys) < len(operation.path_parameters):
        QUIET(given(case=operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))(ask))()
    # Whatever is wrong with a key is still a text, and schemathesis makes none of those that does not fit: see WRONG_KEYS.


def _as_it_was_made_up(case):
    response = case.call(headers=HERE)
    # The check knows many refusals, but not those of an address or a body that is too long.
    refused = () if response.status_code in (413, 414) else (negative_data_rejection,)
    case.validate_response(response, checks=[*CHECKS, *refused])


def _to_a_line_that_is_there_from_a_form_of_ours(case):
    known = {"key": "hand-pump" if case.path.startswith("/examples") else "valves", "number": 1}
    case.path_parameters = {name: known.get(name, value) for name, value in (case.path_parameters or {}).items()}
    if isinstance(case.body, dict):
        case.body = {**case.body, SEAL_FIELD: Seal(SECRET).token(SEAT)}
    case.call_and_validate(checks=CHECKS, headers=HERE, cookies={SEAT_COOKIE: SEAT})


@pytest.mark.parametrize(("method", "path"), PLACES)
def test_what_is_made_up_is_answered_as_described_also_where_a_line_is_there_and_a_form_is_ours(
    description, method, path
):
    # To make something up takes longer than to send it: each is sent both ways.
    def ask(case):
        _as_it_was_made_up(case)
        _to_a_line_that_is_there_from_a_form_of_ours(case)

    _asked(description[path][method], ask)


@pytest.mark.parametrize(("method", "path"), [place for place in PLACES if "{" in place[1]])
def test_a_key_that_nothing_can_have_is_refused_as_described(description, method, path):
    operation = description[path][method]
    for wrong in WRONG_KEYS:
        case = operation.Case(path_parameters={one.name: wrong for one in operation.path_parameters})
        response = case.call_and_validate(checks=CHECKS, headers=HERE)
        assert 400 <= response.status_code < 500
