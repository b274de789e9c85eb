"""Hostile text in every field that a user may fill: in a browser it does nothing."""

from __future__ import annotations

import pytest

from conftest import DESK, PHONE
from hostile import HOSTILE, hostile_page


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_it_does_nothing(open_page, tmp_path, text, size):
    path = tmp_path / "page.html"
    path.write_text(hostile_page(text), encoding="utf-8")
    # A dialog, a request or an error of a script fails the test where the page is closed.
    page = open_page(path, size)
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
