"""``twothirds app``: where it listens, and what it says before it does."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from risk import cli
from risk.commands import app
from risk.console.options import Usage
from risk.problems import RiskError

pytest.importorskip("streamlit", reason="the app's libraries are not installed")

ROOT = Path(__file__).resolve().parents[2]


def test_without_its_libraries_it_says_what_to_install_and_no_address(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(app, "find_spec", lambda name: None)
    assert cli.main(["app", "--no-browser"]) == 1
    assert capsys.readouterr().err == (
        "twothirds app needs Streamlit; install it with: pip install 'twothirds-risk[app]'\n"
    )


@contextmanager
def taken() -> Iterator[int]:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        yield int(held.getsockname()[1])


def a_free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@contextmanager
def started(*options: str, folder: Path = ROOT) -> Iterator[subprocess.Popen[str]]:
    """The command in another process, which is ended as Ctrl-C would."""
    process = subprocess.Popen(
        [sys.executable, "-m", "risk", "app", "--no-browser", *options],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield process
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        process.wait(20)


def answers(url: str) -> bool:
    """Whether the app comes up at an address within a while."""
    for _ in range(150):
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=2) as answer:
                return bool(answer.read() == b"ok")
        except OSError:
            time.sleep(0.2)
    return False


def test_a_taken_port_is_named_and_another_asked_for() -> None:
    with taken() as port, pytest.raises(RiskError) as raised:
        app.free_port("127.0.0.1", port)
    assert raised.value.status == 1
    assert str(raised.value) == f"--port: port {port} is taken by another program; choose another"


def test_without_a_wish_the_next_free_port_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with taken() as port:
        free = a_free_port()
        monkeypatch.setattr(app, "_USUAL", (port, free))
        assert app.free_port("127.0.0.1", None) == free
        monkeypatch.setattr(app, "_USUAL", (port,))
        with pytest.raises(RiskError, match="all taken"):
            app.free_port("127.0.0.1", None)


@pytest.mark.parametrize("address", ["nowhere.invalid", "192.0.2.7", "a b", "x" * 300])
def test_an_address_that_is_not_this_machines_is_wrong_input(address: str) -> None:
    """192.0.2.0/24 is kept for documentation (RFC 5737), .invalid for nothing (RFC 2606)."""
    with pytest.raises(Usage, match="--address"):
        app.free_port(address, 8601)


def test_on_this_machine_it_says_where_and_nothing_else() -> None:
    port = a_free_port()
    with started("--port", str(port)) as process:
        assert answers(f"http://127.0.0.1:{port}")
    out, said = process.communicate()
    assert out.strip() in ("", "Stopping...")
    assert said == f"twothirds: the app is at http://127.0.0.1:{port} (Ctrl-C stops it)\n"


def test_in_a_network_it_warns_that_there_is_no_log_in() -> None:
    port = a_free_port()
    with started("--port", str(port), "--address", "0.0.0.0") as process:
        assert answers(f"http://127.0.0.1:{port}")
    _, said = process.communicate()
    assert "there is no log-in and no encryption. Enter no real people." in said
    assert f"http://{socket.gethostname()}:{port}" in said
    assert not re.search(r"amazonaws|external", said)  # nobody outside is asked for an address


def test_in_a_folder_that_cannot_be_written_it_runs_all_the_same(tmp_path: Path) -> None:
    port = a_free_port()
    folder = tmp_path / "closed"
    folder.mkdir()
    folder.chmod(0o500)
    with started("--port", str(port), folder=folder):
        assert answers(f"http://127.0.0.1:{port}")
    assert list(folder.iterdir()) == []


def test_a_taken_port_ends_the_command_with_a_line() -> None:
    with taken() as port, started("--port", str(port)) as process:
        assert process.wait(60) == 1
        _, said = process.communicate()
    assert said.count("\n") == 1
    assert f"port {port} is taken" in said
