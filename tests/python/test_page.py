"""The page, its markup and its policy, without a browser; and hostile text in pages, drawings, CSV and Markdown."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pytest

import slopewright as sw
from hostile import HOSTILE, hostile_page, hostile_parts
from slopewright.command import main

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
TEXTS = pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))


class Reader(HTMLParser):
    """An HTML reader of Python's own: elements, attributes, and what stands in scripts."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self._open: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag in ("script", "style", "title"):
            self._open.append(tag)

    def handle_endtag(self, tag):
        if self._open and self._open[-1] == tag:
            self._open.pop()

    def handle_data(self, data):
        self.texts.append((self._open[-1] if self._open else "", data))

    def inside(self, tag: str) -> list[str]:
        return [data for within, data in self.texts if within == tag]


@pytest.fixture(scope="module")
def job() -> tuple[sw.TakeOff, sw.Salvaged, sw.Order]:
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    salvaged = sw.read_salvage(EXAMPLES / "reading-room-salvage.toml").reckon(take_off)
    return take_off, salvaged, sw.read_order(EXAMPLES / "reading-room-order.toml").order_for(salvaged)


@pytest.fixture(scope="module")
def html(job) -> str:
    take_off, salvaged, order = job
    return sw.page(take_off, salvaged=salvaged, order=order)


def test_the_policy_knows_the_page_s_script_and_no_other(html):
    """Independent: SHA-256 of hashlib. If it fails, put the number that it names into SCRIPT_HASH (page/mod.rs)."""
    policy = next(
        a["content"] for tag, a in Reader(html).elements if a.get("http-equiv") == "Content-Security-Policy"
    )
    script = html.rsplit("<script>", 1)[1].split("</script>", 1)[0]
    print_of = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{print_of}'" in policy
    assert "default-src 'none'" in policy


def test_it_needs_nothing_from_outside(html):
    for tag, attributes in Reader(html).elements:
        assert tag not in ("link", "iframe", "img", "object", "embed", "base")
        for name in ("src", "href", "srcset", "action", "data"):
            value = attributes.get(name)
            assert value is None or value.startswith("#"), (tag, value)
    assert "@import" not in html
    assert not re.search(r"url\((?!#)", html)


def test_the_answer_comes_first_and_is_the_job_s(job, html):
    _, salvaged, order = job
    body = html.split("<body>", 1)[1]
    assert body.index(salvaged.answer[0]) < body.index("<nav")
    assert body.index(str(order.gross)) < body.index("<nav")


def test_ids_are_there_once_and_labels_point_to_something(html):
    elements = Reader(html).elements
    ids = [attributes["id"] for _, attributes in elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    for _, attributes in elements:
        wanted = [attributes.get("for"), *(attributes.get("aria-labelledby") or "").split()]
        wanted += [a[1:] for a in [attributes.get("href")] if a]
        assert {name for name in wanted if name} <= set(ids)


def test_a_job_without_salvage_or_order_has_a_page_too(job):
    take_off, _, _ = job
    html = sw.page(take_off)
    assert "units of covering are needed" in html
    assert 'href="#order"' not in html
    assert len(html) < 1_000_000


@TEXTS
def test_hostile_text_stays_text_in_the_page(text):
    html = hostile_page(text)
    reader = Reader(html)
    tags = {tag for tag, _ in reader.elements}
    assert not tags & {"img", "iframe", "object", "embed", "link", "base", "b"}
    assert sum(tag == "script" for tag, _ in reader.elements) == 2
    assert not any(name.startswith("on") for _, attributes in reader.elements for name in attributes)
    data = json.loads(next(inside for inside in reader.inside("script") if inside.startswith("{")))
    assert data["units"][0]["unit"] == "plain-tile-265x165 whole"
    assert not re.search("[\u2028\u2029\u202a-\u202e\x00-\x08\x0b-\x1f]", html)
    # No name is shown with all of ten thousand letters.
    assert "W" * 2_001 not in html


@TEXTS
def test_hostile_text_stays_text_in_drawings(text):
    """Independent: expat, which takes no element that is not closed and no character that XML forbids."""
    take_off, _, _ = hostile_parts(text)
    name = take_off.slopes[0].slope
    for drawing in (
        take_off.drawing(name, layers=sw.drawing_layers()),
        take_off.plan_drawing(),
        take_off.cut_battens().drawing(),
    ):
        root = ET.fromstring(drawing.svg)
        tags = {element.tag.split("}")[1] for element in root.iter()}
        allowed = {
            "svg",
            "g",
            "path",
            "rect",
            "line",
            "circle",
            "polygon",
            "text",
            "title",
            "desc",
            "defs",
            "pattern",
        }
        assert tags <= allowed
        assert not any(name.startswith("on") or "href" in name for one in root.iter() for name in one.attrib)
        assert max(len(one.text or "") for one in root.iter()) < 600
        shown = "".join(root.itertext())
        # Each name stands between isolates, as many opened as closed.
        assert shown.count("\u2068") == shown.count("\u2069") > 0
        assert not re.search("[\u202a-\u202e\u2066\u2067]", shown)


@TEXTS
def test_hostile_text_stays_text_in_csv(text):
    """Independent: Python's csv reader. A cell that a spreadsheet takes for a formula begins with = + - @ or a control
    character (common practice, no source)."""
    take_off, salvaged, order = hostile_parts(text)
    tables = [take_off.table(name) for name in ("lines", "edges", "findings", "battens")]
    tables += [salvaged.table(name) for name in ("needs", "supplies", "reserves")] + [order.table("order")]
    for table in tables:
        rows = list(csv.reader(io.StringIO(table.to_csv(), newline="")))
        assert len(rows) == len(table) + 1
        assert {len(row) for row in rows} == {len(table.column_names)}
        for row in rows[1:]:
            for cell in row:
                assert not cell.startswith(("=", "+", "@", "\t", "\r"))
                assert not (cell.startswith("-") and not re.fullmatch(r"-\d+(\.\d+)?", cell))


@TEXTS
def test_hostile_text_stays_text_in_markdown(text):
    take_off, salvaged, order = hostile_parts(text)
    for table in (take_off.table("lines"), salvaged.table("reserves"), order.table("order")):
        rows = table.to_markdown().splitlines()
        assert len(rows) == len(table) + 2
        # Bars that are not escaped are those between the cells.
        assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} == {len(table.column_names) + 1}
        assert not re.search(r"(?<!\\)<", "".join(rows))


def test_the_commands_write_files_whole_or_not_at_all(tmp_path, capsys):
    survey = str(EXAMPLES / "reading-room.toml")
    assert main(["draw", survey, str(tmp_path / "drawings"), "--layers", "units,battens"]) == 0
    names = sorted(path.name for path in (tmp_path / "drawings").iterdir())
    assert names == [
        "cutting.svg",
        "plan.svg",
        "slope-main-roof-front.svg",
        "slope-main-roof-rear.svg",
        "slope-main-roof-right.svg",
    ]
    for path in (tmp_path / "drawings").iterdir():
        ET.parse(path)
    assert main(["page", survey, "--to", str(tmp_path / "page.html"), "--quiet"]) == 0
    assert (tmp_path / "page.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    capsys.readouterr()
    # A fault: 2, and nothing is written. A folder that is a file: 3.
    assert main(["draw", survey, str(tmp_path / "none"), "--layers", "tiles"]) == 2
    assert main(["draw", survey, str(tmp_path / "none"), "--slope", "nowhere"]) == 2
    assert not (tmp_path / "none").exists()
    assert main(["page", survey, "--to", str(tmp_path / "page.html" / "inside.html")]) == 3
    assert main(["page", str(tmp_path / "missing.toml"), "--to", str(tmp_path / "x.html")]) == 3
    assert not (tmp_path / "x.html").exists()
    said = capsys.readouterr().err
    assert "is no layer of a drawing" in said
    assert "is no slope of this roof" in said


def test_tables_are_written_as_markdown(tmp_path):
    survey = str(EXAMPLES / "reading-room.toml")
    assert main(["takeoff", survey, "--markdown", str(tmp_path), "--quiet"]) == 0
    text = (tmp_path / "lines.md").read_text(encoding="utf-8")
    assert text.startswith("| slope | part | item |")
    assert main(["order", survey, "--markdown", str(tmp_path), "--quiet"]) == 0
    assert (tmp_path / "needs.md").exists()
