"""The book as it was built (`python docs/book/build.py`): every link of every page resolves, and nothing is fetched."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

ROOT = Path(__file__).resolve().parents[2]
SITE = ROOT / "target" / "book" / "site"
PAGES = sorted(SITE.rglob("*.html"))
#: Attributes whose address a browser fetches by itself.
FETCHED = {"src", "srcset", "poster", "data"}


class Reader(HTMLParser):
    """Ids, links, and what a browser fetches."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.fetched: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if value is None:
                continue
            if name == "id" or (name == "name" and tag == "a"):
                self.ids.add(value)
            elif name in FETCHED or (name == "href" and tag == "link"):
                self.fetched.append(value)
            elif name == "href":
                self.links.append(value)


@pytest.fixture(scope="module")
def pages() -> dict[Path, Reader]:
    return {path: Reader(path.read_text(encoding="utf-8")) for path in PAGES}


def test_the_book_was_built():
    names = {path.relative_to(SITE).as_posix() for path in PAGES}
    assert {"index.html", "docs/trade.html", "docs/validation.html", "docs/reference.html"} <= names
    assert len([name for name in names if name.startswith("docs/notebooks/")]) == 3


def test_nothing_is_fetched_from_elsewhere(pages):
    for path, page in pages.items():
        for address in page.fetched:
            assert not urlsplit(address).netloc, (path, address)
    for path in SITE.rglob("*.css"):
        text = path.read_text(encoding="utf-8")
        for fetching in ("@import", "url(http", "url(//"):
            assert fetching not in text, path


def test_every_link_resolves(pages):
    looked_at = 0
    for path, page in pages.items():
        # The page for what is not there is shown anywhere, and its links begin at the root of the site.
        base = SITE if path.name == "404.html" else path.parent
        for link in [*page.links, *page.fetched]:
            parts = urlsplit(link)
            if parts.scheme in ("https", "data", "mailto") or parts.netloc:
                assert parts.scheme != "https" or "." in parts.netloc, (path, link)
                continue
            looked_at += 1
            place = unquote(parts.path)
            target = (
                path
                if not place
                else ((SITE / place[1:]) if place.startswith("/") else (base / place)).resolve()
            )
            if target.is_dir():
                target /= "index.html"
            assert target.exists(), (path, link)
            if parts.fragment and target in pages and not parts.fragment.startswith("__"):
                assert unquote(parts.fragment) in pages[target].ids, (path, link)
    assert looked_at > 500


def test_the_table_of_figures_is_the_one_of_the_test_run():
    table = (SITE.parents[1] / "validation.tsv").read_text(encoding="utf-8").splitlines()
    page = (SITE / "docs" / "validation.html").read_text(encoding="utf-8")
    # The page has tables of its own too: each line of one but the heading and the rule under it is a row.
    text = (ROOT / "docs" / "validation.md").read_text(encoding="utf-8")
    own = text.count("\n|") - 2 * text.count("\n|---")
    rows = page.count("<tr>") - page.count("<thead>")
    assert rows == len(table) - 1 + own
    assert page.count("<strong>misprint</strong>") == sum(line.split("\t")[7] == "yes" for line in table[1:])
