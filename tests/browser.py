"""The browser of the tests: Chromium, where there is one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run")


@contextmanager
def launched() -> Iterator[Any]:
    """A browser; without one the test that asks is skipped by name, in CI it fails."""
    in_ci = os.environ.get("CI") == "true"
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError:
        if in_ci:
            raise
        pytest.skip("playwright is not installed")
    with sync_playwright() as playwright:
        try:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        except Error:
            if in_ci:
                raise
            pytest.skip("no Chromium found; set CHROMIUM to its path")
        yield browser
        browser.close()
