"""A browser and the demo's page. Where there is no browser, every test here is skipped and says so."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "docs" / "examples"
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 800}


def browser_path() -> str | None:
    """The browser that `CHROMIUM` names, or the first that is installed."""
    named = os.environ.get("CHROMIUM")
    names = ("chromium", "chromium-browser", "google-chrome")
    return named or next((found for name in names if (found := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser():
    sync_api = pytest.importorskip("playwright.sync_api", reason="no browser: playwright is not installed")
    path = browser_path()
    if path is None:
        pytest.skip("no browser: neither CHROMIUM nor chromium on the path")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def page_file(tmp_path_factory) -> Path:
    """The page of the demo roof, as the command writes it."""
    path = tmp_path_factory.mktemp("page") / "reading-room.html"
    command = [sys.executable, "-m", "slopewright", "page", str(EXAMPLES / "reading-room.toml")]
    command += ["--salvage", str(EXAMPLES / "reading-room-salvage.toml")]
    command += ["--prices", str(EXAMPLES / "reading-room-order.toml"), "--to", str(path)]
    subprocess.run(command, check=True, capture_output=True)
    return path


@pytest.fixture
def open_page(browser):
    """Opens a file in a window of its own; scripts that fail and requests that leave the file fail the test."""
    contexts, wrong = [], []

    def opened(path: Path, size: dict[str, int] | None = None, **options):
        context = browser.new_context(viewport=size or PHONE, accept_downloads=True, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(f"script: {error}"))
        page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
        page.on("request", lambda asked: _only(asked.url, path, wrong))
        page.on("dialog", lambda dialog: (wrong.append(f"dialog: {dialog.message}"), dialog.dismiss()))
        page.goto(path.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not wrong, wrong


def _only(url: str, path: Path, wrong: list[str]) -> None:
    if not url.startswith((path.as_uri(), "blob:")):
        wrong.append(f"request: {url}")
