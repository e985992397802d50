"""Opening the workbench over https: with a certificate that holds, for the names in it; and clear words for every other one."""

from __future__ import annotations

import os
import re
import shutil
import signal
import ssl
import subprocess
import threading
import urllib.error
import urllib.request

import pytest

from pullwright.web.certificate import BadCertificate, read_certificate
from pullwright.web.serve import CannotServe, serve

OPENSSL = shutil.which("openssl")


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    """A folder with two certificates and their keys, made here and worth nothing."""
    if OPENSSL is None:
        reason = "no openssl command here, with which the certificates of this test are made"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    folder = tmp_path_factory.mktemp("papers")

    def made(*words):
        subprocess.run([OPENSSL, *words], cwd=folder, check=True, capture_output=True)

    curve = ("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-noenc")
    for name in ("one", "two"):
        names = "subjectAltName=DNS:works.example,DNS:localhost,IP:127.0.0.1"
        made(
            "req",
            "-x509",
            *curve,
            "-keyout",
            f"{name}.key",
            "-out",
            f"{name}.pem",
            "-subj",
            "/CN=works",
            "-addext",
            names,
            "-days",
            "2",
        )
    made("x509", "-in", "one.pem", "-signkey", "one.key", "-days", "-1", "-out", "old.pem")
    made("pkey", "-in", "one.key", "-aes256", "-passout", "pass:works", "-out", "locked.key")
    (folder / "both.pem").write_text((folder / "one.pem").read_text() + (folder / "one.key").read_text())
    (folder / "words.pem").write_text("no certificate")
    return folder


def test_a_certificate_says_for_which_names_it_was_made(papers):
    read = read_certificate(papers / "one.pem", papers / "one.key")
    assert read.names == ("works.example", "localhost", "127.0.0.1")
    assert read_certificate(papers / "both.pem").names == read.names


@pytest.mark.parametrize(
    ("certificate", "key", "said"),
    [
        ("one.pem", "two.key", "two.key does not belong to the certificate"),
        ("old.pem", "one.key", "certificate has expired"),
        ("one.pem", "locked.key", "is locked with a password"),
        ("words.pem", "one.key", "hold no certificate and key in PEM form"),
        ("one.pem", None, "name that too: --key FILE"),
        ("nowhere.pem", None, "nowhere.pem cannot be read (No such file or directory)"),
        (".", None, "cannot be read"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_certificate_is_told_in_words(papers, certificate, key, said):
    with pytest.raises(BadCertificate) as told:
        read_certificate(papers / certificate, papers / key if key else None)
    assert said in str(told.value)


def test_a_key_alone_opens_nothing(papers, tmp_path):
    with pytest.raises(CannotServe, match="--certificate FILE"):
        serve(tmp_path, port=0, open_browser=False, key=papers / "one.key")
    assert list(tmp_path.iterdir()) == []


def test_it_opens_over_https_for_the_names_in_the_certificate(papers, tmp_path, monkeypatch):
    monkeypatch.setattr("pullwright.web.serve.warm_in_background", lambda: None)
    said, answers, asking = [], [], []
    trusting = ssl.create_default_context(cafile=papers / "one.pem")

    def ask(address):
        try:
            for host in ("127.0.0.1", "works.example", "elsewhere.example"):
                asked = urllib.request.Request(address + "new", headers={"host": host})
                try:
                    with urllib.request.urlopen(asked, timeout=10, context=trusting) as answer:
                        answers.append((answer.status, "Secure" in answer.headers["set-cookie"]))
                except urllib.error.HTTPError as refused:
                    answers.append((refused.code, None))
                    refused.close()
        finally:
            signal.raise_signal(signal.SIGINT)

    def say(words):
        said.append(words)
        if found := re.search(r"https://127\.0\.0\.1:\d+/", words):
            asking.append(threading.Thread(target=ask, args=(found[0],)))
            asking[0].start()

    serve(tmp_path, port=0, open_browser=False, certificate=papers / "both.pem", say=say)
    asking[0].join(timeout=20)
    assert answers == [(200, True), (200, True), (421, None)]
    assert said[-1] == "Closed. Everything that was saved is kept."
