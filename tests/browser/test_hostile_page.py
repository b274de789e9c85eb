"""Hostile text in every field that a user may fill: in a browser it does nothing."""

from __future__ import annotations

import pytest

import slopewright as sw
from conftest import DESK, PHONE
from hostile import HOSTILE, hostile_page
from hostile_jobs import ALL_AT_ONCE, everywhere


def written(path, html: str):
    path.write_text(html, encoding="utf-8")
    return path


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_it_does_nothing(open_page, tmp_path, text, size):
    nothing_happens(open_page(written(tmp_path / "page.html", hostile_page(text)), size), size)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_in_every_field_of_every_document_it_does_nothing(open_page, tmp_path, size):
    job = everywhere(ALL_AT_ONCE)
    html = sw.page(job.take_off, salvaged=job.salvaged, order=job.order)
    nothing_happens(open_page(written(tmp_path / "page.html", html), size), size)


def nothing_happens(page, size) -> None:
    # A dialog, a request or an error of a script fails the test where the page is closed.
    assert page.evaluate("document.documentElement.dataset.ready") == "yes"
    assert page.evaluate("document.scripts.length") == 2
    assert page.evaluate("window.hit === undefined")
    assert (
        page.locator(
            "iframe, img, object, embed, form:not(#tally-form), [onerror], [onload], [onclick]"
        ).count()
        == 0
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
