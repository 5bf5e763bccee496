"""The browser of the tests: Chromium, where there is one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import pytest

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run")


@contextmanager
def launched() -> Iterator[Any]:
    """A browser; without one the test that asks is skipped by name, in CI it fails."""
    in_ci = os.environ.get("CI") == "true"
    with ExitStack() as open_still:
        try:
            from playwright.sync_api import sync_playwright

            playwright = open_still.enter_context(sync_playwright())
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        except Exception as error:  # its driver, too, may lack a library of the system
            if in_ci:
                raise
            pytest.skip(f"no Chromium can be driven (set CHROMIUM to its path): {error}")
        yield browser
        browser.close()
