"""How much may be sent at once, and how slowly."""

from __future__ import annotations

import asyncio
import socket
import time
from collections.abc import AsyncIterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pullwright.web.bodies import LARGEST_BODY, LARGEST_ENCODED, BoundedBodies
from pullwright.web.guard import MOST_ENTRIES
from pullwright.web.problems import Problem
from tests.apart import run_apart
from tests.effort import within

FORM = {"content-type": "application/x-www-form-urlencoded", "origin": "http://127.0.0.1:8480"}
PARTS = {"content-type": "multipart/form-data; boundary=x", "origin": "http://127.0.0.1:8480"}
START = b'--x\r\nContent-Disposition: form-data; name="text"\r\n\r\n'


async def _swallow(scope, receive, send):
    while (await receive()).get("more_body"):
        pass


def _run(chunks, *, largest=100, headers=(), pause=0.05, whole=1.0, gap=0.0, path="/", data_files=None):
    async def receive():
        if not chunks:
            await asyncio.sleep(60)
        await asyncio.sleep(gap)
        body = chunks.pop(0)
        return {"type": "http.request", "body": body, "more_body": True}

    async def send(message):
        raise AssertionError("nothing is answered here")

    scope = {"type": "http", "method": "POST", "path": path, "headers": list(headers)}
    run_apart(
        BoundedBodies(_swallow, largest, pause, whole, drain=0.05, data_files=data_files or {})(scope, receive, send)
    )


def test_a_body_over_the_limit_is_stopped_though_its_length_was_not_announced():
    with pytest.raises(Problem) as told:
        _run([b"x" * 60, b"x" * 60], largest=100)
    assert told.value.status_code == 413


def test_a_body_that_announces_too_much_is_stopped_before_it_is_read():
    with pytest.raises(Problem) as told:
        _run([b"x"], largest=100, headers=[(b"content-length", b"101")])
    assert told.value.status_code == 413


@pytest.mark.parametrize(("size", "status"), [(150, 408), (201, 413)])
def test_an_address_for_data_files_takes_more_up_to_a_limit_of_its_own(size, status):
    # 408: all of it was taken, and then nothing more came.
    with pytest.raises(Problem) as told:
        _run([b"x" * size], path="/data", data_files={"/data": 200})
    assert told.value.status_code == status


@pytest.mark.parametrize("length", [b"-1", b"1e3", "٣".encode(), b"", b"9" * 5000])
def test_a_length_that_is_no_number_or_absurd_is_refused(length):
    with pytest.raises(Problem) as told:
        _run([b"x"], headers=[(b"content-length", length)])
    assert told.value.status_code in (400, 413)


def test_a_sender_that_falls_silent_is_not_waited_for():
    began = time.monotonic()
    with pytest.raises(Problem) as told:
        _run([b"x"], pause=0.05, whole=50.0)
    assert told.value.status_code == 408
    assert time.monotonic() - began < 2


def test_a_sender_that_drips_is_not_waited_for_either():
    began = time.monotonic()
    with pytest.raises(Problem) as told:
        _run([b"x"] * 1000, largest=10_000, pause=1.0, whole=0.2, gap=0.01)
    assert told.value.status_code == 408
    assert time.monotonic() - began < 3


def test_the_limit_is_told_to_a_person_on_a_page(visitor):
    answer = visitor.ask("POST", "/patterns", content=START + b"x" * LARGEST_BODY, headers=PARTS)
    assert answer.status_code == 413
    assert "2.5 megabytes" in answer.text


def test_a_stream_without_a_length_is_stopped_at_the_limit(visitor):
    sent = 0

    async def endless() -> AsyncIterator[bytes]:
        nonlocal sent
        yield START
        while sent < 100 * LARGEST_BODY:
            sent += 65_536
            yield b"x" * 65_536

    answer = visitor.ask("POST", "/patterns", content=endless(), headers=PARTS)
    assert answer.status_code == 413
    assert sent < 6 * LARGEST_BODY


@pytest.mark.parametrize("count", [MOST_ENTRIES + 1, 20 * MOST_ENTRIES])
def test_more_fields_than_any_form_has_are_refused(visitor, count):
    body = "&".join(f"f{number}=x" for number in range(count))
    answer = visitor.ask("POST", "/patterns", content=body.encode(), headers=FORM)
    assert answer.status_code == 400


@pytest.mark.parametrize(
    ("headers", "body"),
    [
        (FORM, b"&" * LARGEST_ENCODED),
        (FORM, b"%" * LARGEST_ENCODED),
        (FORM, b"a=" + b"%zz" * 33_000),
        (PARTS, START + b"\r\n" * 1_200_000),
        (PARTS, START + b"\r\n--" * 600_000),
        (PARTS, b"--x\r\n" + b"a: b\r\n" * 400_000),
    ],
)
def test_a_full_body_of_nonsense_keeps_nobody_waiting(visitor, headers, body):
    visitor.ask("POST", "/patterns", content=b"", headers=headers)  # the first answer pays for the program's beginning
    with within(150):
        answer = visitor.ask("POST", "/patterns", content=body, headers=headers)
    assert answer.status_code in (400, 403)


def test_a_percent_encoded_form_may_be_small_only_and_says_so(visitor):
    answer = visitor.ask("POST", "/patterns", content=b"a=" + b"x" * LARGEST_ENCODED, headers=FORM)
    assert answer.status_code == 413
    assert "100,000 bytes" in answer.text
    assert "multipart/form-data" in answer.text


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    body=st.binary(max_size=400),
    kind=st.sampled_from(
        [
            "application/x-www-form-urlencoded",
            "multipart/form-data",
            "multipart/form-data; boundary=x",
            "multipart/form-data; boundary=x; charset=utf-16",
            "multipart/form-data; boundary=x; charset=unicode_escape",
            "multipart/form-data; boundary=x; charset=utf-8",
        ]
    ),
    framed=st.booleans(),
)
def test_whatever_bytes_are_sent_the_answer_is_a_problem_in_words(patient_visitor, body, kind, framed):
    visitor = patient_visitor
    if framed:
        body = b'--x\r\nContent-Disposition: form-data; name="text"\r\n\r\n' + body + b"\r\n--x--\r\n"
    headers = {"content-type": kind, "origin": visitor.base, "accept": "application/json"}
    answer = visitor.ask("POST", "/patterns", content=body, headers=headers)
    assert answer.status_code in (400, 403, 415)
    assert answer.json()["todo"]


@pytest.mark.parametrize("charset", ["unicode_escape", "utf-16", "zlib", "latin-1", "utf-8*0", '""', "x" * 300])
def test_a_form_in_another_encoding_than_ours_is_refused_in_words(visitor, charset):
    kind = f"multipart/form-data; boundary=x; charset={charset}"
    body = START + b"\\ud800\r\n--x--\r\n"
    answer = visitor.ask("POST", "/patterns", content=body, headers={"content-type": kind, "origin": visitor.base})
    assert answer.status_code == 415
    assert "UTF-8" in answer.text


@pytest.mark.parametrize(
    "start", [b"", b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ", b"POST /nothing HTTP/1.1\r\nHost: 127.0.0.1\r\n"]
)
def test_a_connection_that_never_asks_is_closed(app, serving, start):
    with serving(app, silence=0.3) as server, socket.create_connection(("127.0.0.1", server.port)) as caller:
        caller.settimeout(10)
        began = time.monotonic()
        if start:
            caller.sendall(start)
        assert caller.recv(1000) == b""
        assert time.monotonic() - began < 5


def test_what_is_still_sent_after_the_answer_is_not_read_for_ever(app, serving):
    with serving(app, silence=0.3) as server, socket.create_connection(("127.0.0.1", server.port)) as caller:
        caller.settimeout(10)
        caller.sendall(b"POST /nothing HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000000\r\n\r\nx")
        answer = b""
        began = time.monotonic()
        while True:
            try:
                caller.sendall(b"x")
                piece = caller.recv(65_536)
            except OSError:
                break
            if not piece:
                break
            answer += piece
        assert answer.startswith(b"HTTP/1.1 404")
        assert time.monotonic() - began < 5
