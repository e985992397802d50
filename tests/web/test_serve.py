"""Opening the workbench from a terminal: clear words when it cannot be, and a clean end."""

from __future__ import annotations

import logging
import re
import signal
import socket
import subprocess
import sys
import urllib.request

import pytest

from pullwright.web.serve import EVERYWHERE, CannotServe, listen, names_of, serve

RUN = (
    "from pullwright.web.serve import serve; import sys; "
    "serve(sys.argv[1], port=int(sys.argv[2]), open_browser=False, make_ready=False)"
)


@pytest.fixture
def taken():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        yield other.getsockname()[1]


def test_it_opens_answers_and_closes_with_ctrl_c(tmp_path):
    command = [sys.executable, "-u", "-W", "error", "-c", RUN, str(tmp_path), "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        try:
            first = running.stdout.readline()
            address = re.search(r"http://127\.0\.0\.1:\d+/", first)[0]
            with urllib.request.urlopen(address, timeout=10) as answer:
                assert answer.status == 200
                assert "server" not in answer.headers
            running.send_signal(signal.SIGINT)
            said, complained = running.communicate(timeout=20)
        finally:
            running.kill()
    assert running.returncode == 0
    assert "Closed. Everything that was saved is kept." in said
    assert complained == ""
    assert (tmp_path / "pullwright.secret").stat().st_mode & 0o777 == 0o600


def test_a_port_in_use_is_named_with_one_that_is_free(tmp_path, taken):
    with pytest.raises(CannotServe) as told:
        serve(tmp_path, port=taken, open_browser=False)
    assert f"Port {taken} is in use already" in str(told.value)
    free = int(re.search(r"--port (\d+)", str(told.value))[1])
    listen("127.0.0.1", free).close()


def test_a_port_that_is_taken_leaves_nothing_behind(tmp_path, taken):
    with pytest.raises(CannotServe):
        serve(tmp_path, port=taken, open_browser=False)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("host", "port", "said"),
    [("127.0.0.1", 70_000, "65535"), ("192.0.2.1", 0, "192.0.2.1"), ("no such host", 0, "no such")],
)
def test_a_place_where_it_cannot_listen_is_told_in_words(tmp_path, host, port, said):
    with pytest.raises(CannotServe, match=re.escape(said)):
        serve(tmp_path, host=host, port=port, open_browser=False)


def test_a_folder_that_is_not_there_is_told_in_words(tmp_path):
    with pytest.raises(CannotServe, match="is not a folder"):
        serve(tmp_path / "nowhere", open_browser=False)


def test_a_broken_secret_or_record_is_told_in_words(tmp_path):
    (tmp_path / "pullwright.secret").write_text("half")
    with pytest.raises(CannotServe, match="Remove the file"):
        serve(tmp_path, port=0, open_browser=False)
    (tmp_path / "pullwright.secret").unlink()
    (tmp_path / "pullwright.db").write_text("this is no record at all")
    with pytest.raises(CannotServe, match=r"pullwright\.db"):
        serve(tmp_path, port=0, open_browser=False)


def test_the_logs_of_the_program_that_called_are_left_as_they_were(tmp_path):
    names = ("pullwright.web", "uvicorn", "python_multipart")

    def state():
        return [(log.handlers, log.level, log.propagate) for log in map(logging.getLogger, names)]

    before = state()
    (tmp_path / "pullwright.secret").write_text("half")
    with pytest.raises(CannotServe):
        serve(tmp_path, port=0, open_browser=False)
    assert state() == before


def test_open_to_the_network_it_answers_under_its_own_names_only():
    names = names_of(EVERYWHERE[0], [])
    assert socket.gethostname() in names
    assert EVERYWHERE[0] not in names
