"""Real connections to real servers on the loopback address, which is allowed here by name."""

from __future__ import annotations

import socket
import threading
import time
from ipaddress import ip_network
from pathlib import Path

import pytest
import requests
import requests_mock

from riskapi.integrations import outside
from riskapi.integrations.outside import Outside
from tests.integrations.receivers import certificate_for, receiver

HERE = (ip_network("127.0.0.0/8"),)


def to_loopback(_host: str, _port: int) -> list[str]:
    return ["127.0.0.1"]


def test_the_connection_goes_to_the_checked_address_and_the_name_stays_in_host() -> None:
    """A name that would resolve to nothing: only the address that was checked can have been used."""
    with receiver() as kept:
        answer = Outside(HERE, to_loopback).post(f"http://hook.invalid:{kept.port}/a?b=1", b"{}", {"webhook-id": "m"})
    assert answer.taken
    (got,) = kept.received
    assert (got.path, got.body) == ("/a?b=1", b"{}")
    assert got.headers["host"] == f"hook.invalid:{kept.port}"
    assert got.headers["webhook-id"] == "m"


def test_tls_is_checked_against_the_name(tmp_path: Path) -> None:
    certificate = certificate_for("hook.invalid", tmp_path)
    with receiver(certificate) as kept:
        right = Outside(HERE, to_loopback, str(certificate)).post(f"https://hook.invalid:{kept.port}/", b"x", {})
        wrong = Outside(HERE, to_loopback, str(certificate)).post(f"https://other.invalid:{kept.port}/", b"x", {})
        unknown = Outside(HERE, to_loopback).post(f"https://hook.invalid:{kept.port}/", b"x", {})
    assert right.taken
    assert (wrong.status, unknown.status) == (None, None)
    assert len(kept.received) == 1


def test_a_name_is_looked_up_once_so_that_it_cannot_change_in_between() -> None:
    """DNS rebinding: the second answer would be an inner address, but nobody asks twice."""
    asked: list[str] = []

    def look(host: str, _port: int) -> list[str]:
        asked.append(host)
        return ["127.0.0.1"] if len(asked) == 1 else ["10.0.0.1"]

    with receiver() as kept:
        assert Outside(HERE, look).post(f"http://hook.invalid:{kept.port}/", b"", {}).taken
    assert asked == ["hook.invalid"]


def test_a_redirect_is_not_followed() -> None:
    with receiver() as kept, receiver() as inner:
        kept.answers = [(307, {"Location": f"http://127.0.0.1:{inner.port}/secret"})]
        answer = Outside(HERE, to_loopback).post(f"http://hook.invalid:{kept.port}/", b"x", {})
    assert (answer.status, answer.taken) == (307, False)
    assert inner.received == []


def test_without_leave_nothing_is_sent_to_this_machine() -> None:
    with receiver() as kept:
        answer = Outside().post(f"https://localhost:{kept.port}/", b"x", {})
    assert answer.status is None
    assert "not public" in answer.told
    assert kept.received == []


def test_a_proxy_of_the_environment_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    with receiver() as kept, receiver() as proxy:
        monkeypatch.setenv("HTTP_PROXY", f"http://127.0.0.1:{proxy.port}")
        monkeypatch.setenv("http_proxy", f"http://127.0.0.1:{proxy.port}")
        assert Outside(HERE, to_loopback).post(f"http://hook.invalid:{kept.port}/", b"x", {}).taken
    assert proxy.received == []


def test_a_receiver_that_drips_is_hung_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each byte comes in time, the whole never does."""
    monkeypatch.setattr(outside, "WHOLE_LIMIT", 0.5)
    listening = socket.create_server(("127.0.0.1", 0))
    stop = threading.Event()

    def drip() -> None:
        connection, _ = listening.accept()
        with connection:
            while not stop.wait(0.05):
                try:
                    connection.send(b"H")
                except OSError:
                    return

    thread = threading.Thread(target=drip, daemon=True)
    thread.start()
    start = time.monotonic()
    answer = Outside(HERE, to_loopback).post(f"http://hook.invalid:{listening.getsockname()[1]}/", b"x", {})
    stop.set()
    listening.close()
    assert answer.status is None
    assert time.monotonic() - start < 5


def test_nothing_listens() -> None:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        port = probe.getsockname()[1]
    assert Outside(HERE, to_loopback).post(f"http://hook.invalid:{port}/", b"", {}).told.startswith("No connection")
    assert Outside().post("https://hook.invalid/", b"", {}).told == "The host name has no address."


@pytest.mark.parametrize(
    ("fault", "told"),
    [
        (requests.ConnectTimeout, "No answer in time."),
        (requests.ReadTimeout, "No answer in time."),
        (requests.exceptions.SSLError, "No connection (SSLError)."),
        (requests.ConnectionError("reset"), "No connection (ConnectionError)."),
        (OSError("reset"), "No connection (OSError)."),
    ],
)
def test_faults_of_the_network_are_told_not_raised(fault: Exception, told: str) -> None:
    with requests_mock.Mocker() as mock:
        mock.post("http://hook.invalid/", exc=fault)
        assert Outside(HERE, to_loopback).post("http://hook.invalid/", b"", {}).told == told


def test_a_long_answer_is_not_read_to_its_end() -> None:
    sent = threading.Event()
    listening = socket.create_server(("127.0.0.1", 0))

    def flood() -> None:
        connection, _ = listening.accept()
        with connection:
            connection.recv(10_000)
            try:
                connection.sendall(b"HTTP/1.1 200 OK\r\nContent-Length: 100000000\r\n\r\n" + 100_000_000 * b"x")
            except OSError:
                sent.set()

    threading.Thread(target=flood, daemon=True).start()
    answer = Outside(HERE, to_loopback).post(f"http://hook.invalid:{listening.getsockname()[1]}/", b"x", {})
    assert answer.taken
    assert sent.wait(10)
    listening.close()
