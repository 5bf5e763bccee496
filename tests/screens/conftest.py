"""A server of the app and a browser for it, started once (see tests/browser.py)."""

from __future__ import annotations

import contextlib
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser import launched
from tests.screens.visitor import Visitor

ROOT = Path(__file__).resolve().parents[2]


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@contextlib.contextmanager
def running_app() -> Iterator[str]:
    """Run the app as `twothirds app` does, on a free port; gives its address."""
    with app_process() as (address, _):
        yield address


@contextlib.contextmanager
def app_process(port: int | None = None) -> Iterator[tuple[str, int]]:
    """As `running_app`, perhaps on a given port, and gives also the server's process."""
    port = port or free_port()
    command = [sys.executable, "-m", "risk.screens.serve"]
    command += [f"--server.port={port}", "--server.headless=true"]
    server = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    url = f"http://127.0.0.1:{port}"
    try:
        for _ in range(300):
            try:
                with urllib.request.urlopen(f"{url}/_stcore/health", timeout=2) as answer:
                    if answer.read() == b"ok":
                        break
            except OSError:
                time.sleep(0.2)
        else:
            raise RuntimeError("the app did not start within a minute")
        yield url, server.pid
    finally:
        server.terminate()
        server.wait(20)


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """The address of a running app."""
    pytest.importorskip("streamlit", reason="the app's libraries are not installed")
    with running_app() as url:
        yield url


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """A browser, opened once."""
    with launched() as browser:
        yield browser


@pytest.fixture
def visitor(chromium, address: str) -> Iterator[Visitor]:  # type: ignore[no-untyped-def]
    """A person at a fresh browser, with the app open; leaves no error behind."""
    context = chromium.new_context(viewport={"width": 1280, "height": 1000}, accept_downloads=True)
    guest = Visitor(context.new_page(), address)
    guest.open()
    yield guest
    context.close()
    assert guest.errors == []
    assert guest.outside == []
