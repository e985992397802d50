"""Opens the workbench for browsers: on this machine only unless somebody says otherwise."""

from __future__ import annotations

import contextlib
import errno
import ipaddress
import logging
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import uvicorn

from pullwright.draw.charts import warm_in_background
from pullwright.examples import Example
from pullwright.forecast.warm import warm_up_in_background
from pullwright.record import Record, RecordError
from pullwright.web.app import HOSTS, create_app
from pullwright.web.certificate import BadCertificate, Certificate, read_certificate
from pullwright.web.logs import NoSecrets
from pullwright.web.patience import PatientConnection
from pullwright.web.seal import kept_secret

RECORD_FILE = "pullwright.db"
SECRET_FILE = "pullwright.secret"  # noqa: S105  (the name of the file, not what is in it)
NEXT_PORTS = 20
MOST_CONNECTIONS = 200
GRACE = 3
"""Seconds that requests under way get to finish after Ctrl-C."""
EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104  (recognised, so that people are warned)


class CannotServe(Exception):  # noqa: N818  (says what happened)
    """The workbench cannot be opened; the message says why and what to do."""


class _Server(uvicorn.Server):
    """Says when it is ready."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, and say so once people can come in."""
        await super().startup(sockets=sockets)
        if self.started:
            self._ready()


def serve(
    folder: str | Path,
    host: str = "127.0.0.1",
    port: int = 8480,
    open_browser: bool = True,
    *,
    hosts: Collection[str] = (),
    examples: Sequence[Example] = (),
    record: str | None = None,
    start_with: str = "",
    certificate: str | Path | None = None,
    key: str | Path | None = None,
    make_ready: bool = True,
    say: Callable[[str], None] = print,
) -> None:
    """Serve the workbench over the record in a folder until Ctrl-C.

    Parameters: `folder` exists and holds the record (made on first use) and the secret of this installation; `host` and
    `port` say where to listen (port 0: any free one); `hosts` are further names under which people open it; `record` is
    an address of a database to use instead of the file in the folder; `start_with` is the key of the example that becomes
    the first line of a record without any; `certificate` and `key` are PEM files, with which it is opened over https;
    `make_ready` says whether what runs a forecast is made ready beside, which takes half a minute once after an installation;
    `say` takes messages for people.
    Raises CannotServe with what was read, what is allowed and what to do.
    """
    place = Path(folder)
    if not place.is_dir():
        raise CannotServe(f"{place} is not a folder. Make it first, or name the folder that holds your record.")
    secured = _secured(certificate, key)
    listener = listen(host, port)
    with listener, _quiet_logs():
        bound = int(listener.getsockname()[1])
        names = names_of(host, (*hosts, *(secured.names if secured else ())))
        try:
            secret = kept_secret(place / SECRET_FILE)
            kept = Record.open(record or place / RECORD_FILE)
        except (RecordError, ValueError, OSError) as error:
            raise CannotServe(str(error)) from error
        with kept:
            begin_with(kept, examples, start_with)
            app = create_app(kept, hosts=names, examples=examples, secret=secret)
            scheme = "https" if secured else "http"
            address = f"{scheme}://{_in_address(shown_name(host))}:{bound}/"
            config = uvicorn.Config(
                app,
                http=PatientConnection,
                ws="none",
                lifespan="off",
                access_log=False,
                log_config=None,
                server_header=False,
                proxy_headers=False,
                limit_concurrency=MOST_CONNECTIONS,
                timeout_keep_alive=10,
                timeout_graceful_shutdown=GRACE,
                h11_max_incomplete_event_size=32_768,
                ssl_certfile=secured.file if secured else None,
                ssl_keyfile=secured.key if secured else None,
            )

            def ready() -> None:
                say(f"Pullwright is open at {address}")
                if host not in HOSTS and not _is_loopback(host):
                    say("Everybody who reaches this machine over the network can read and change what is kept here.")
                if secured and not _is_loopback(host):
                    others = [name for name in secured.names if name not in HOSTS]
                    if others:
                        say(
                            "Phones open it as "
                            + " or ".join(f"https://{_in_address(name)}:{bound}/" for name in others)
                        )
                say("Press Ctrl-C to close it.")
                warm_in_background()
                if make_ready:
                    warm_up_in_background()
                if open_browser:
                    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()

            try:
                _Server(config, ready).run(sockets=[listener])
            except KeyboardInterrupt:
                say("Closed. Everything that was saved is kept.")


def _secured(certificate: str | Path | None, key: str | Path | None) -> Certificate | None:
    """Return the certificate with which pages are opened over https; None where none is given."""
    if certificate is None:
        if key is not None:
            raise CannotServe(f"The key {key} was given without a certificate. Name that too: --certificate FILE")
        return None
    try:
        return read_certificate(certificate, key)
    except BadCertificate as error:
        raise CannotServe(str(error)) from error


def begin_with(record: Record, examples: Sequence[Example], key: str) -> None:
    """Add the example of this key as the first line of a record that has none; CannotServe when there is no such example."""
    if not key or record.lines(away=True):
        return
    example = next((example for example in examples if example.key == key), None)
    if example is None:
        known = ", ".join(example.key for example in examples) or "none"
        raise CannotServe(f"There is no example {key!r} to start with. The examples are: {known}.")
    record.add_line(example.key, example.title, example.text, "Pullwright", "the demo: invented data to look around")


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens; CannotServe names a free port when this one is taken."""
    if not 0 <= port <= 65535:
        raise CannotServe(f"The port {port} was read; ports run from 1 to 65535 (0 takes any free one).")
    try:
        return _bound(host, port)
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise CannotServe(_in_use(host, port)) from error
        if error.errno == errno.EACCES:
            raise CannotServe(
                f"This machine does not let you use port {port}. Ports from 1024 up are free to take: --port 8480"
            ) from error
        raise CannotServe(
            f"{host!r} is no address of this machine ({error.strerror or error}). Use 127.0.0.1 for this machine only."
        ) from error


def _in_use(host: str, port: int) -> str:
    message = (
        f"Port {port} is in use already. Perhaps the workbench is open: http://{_in_address(shown_name(host))}:{port}/"
    )
    for other in range(port + 1, min(port + 1 + NEXT_PORTS, 65536)):
        try:
            _bound(host, other).close()
        except OSError:
            continue
        return f"{message}\nOr use another, which is free: --port {other}"
    return f"{message}\nOr let the machine choose one: --port 0"


def _bound(host: str, port: int) -> socket.socket:
    family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    made = socket.socket(family, kind, protocol)
    try:
        if sys.platform != "win32":
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(address)
        # Listening here already, and not later in the server, is what finds out that the port is taken.
        made.listen(128)
    except OSError:
        made.close()
        raise
    return made


def names_of(host: str, hosts: Collection[str]) -> tuple[str, ...]:
    """Return the names under which the workbench may be opened.

    >>> names_of("127.0.0.1", ["valves.example"])
    ('127.0.0.1', 'localhost', 'valves.example')
    """
    own: list[str] = [] if host in EVERYWHERE else [host]
    if host in EVERYWHERE:
        name = socket.gethostname()
        own.append(name)
        with contextlib.suppress(OSError):
            own += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, type=socket.SOCK_STREAM)]
    return tuple(dict.fromkeys((*HOSTS, *own, *hosts)))


def shown_name(host: str) -> str:
    """Return the name to open in a browser on this machine.

    >>> shown_name("0.0.0.0"), shown_name("127.0.0.1")
    ('127.0.0.1', '127.0.0.1')
    """
    return "127.0.0.1" if host in EVERYWHERE else host


def _in_address(name: str) -> str:
    return f"[{name}]" if ":" in name else name


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


@contextmanager
def _quiet_logs() -> Iterator[None]:
    """Write warnings and failures to the terminal, without secrets; who opened which page is of no interest there.

    Afterwards the loggers are as they were: the program that called may log in its own way.
    """
    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(levelname)s %(message)s"))
    handler.addFilter(NoSecrets())
    loggers = [logging.getLogger(name) for name in ("pullwright.web", "uvicorn", "python_multipart")]
    before = [(logger, logger.handlers, logger.level, logger.propagate) for logger in loggers]
    try:
        for logger in loggers[:2]:
            logger.handlers = [handler]
            logger.setLevel(logging.WARNING)
            logger.propagate = False
        # It would put pieces of what was sent into the terminal.
        loggers[2].setLevel(logging.CRITICAL)
        yield
    finally:
        for logger, handlers, level, propagate in before:
            logger.handlers, logger.propagate = handlers, propagate
            logger.setLevel(level)
