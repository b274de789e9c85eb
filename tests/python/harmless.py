"""What must hold of everything that is handed over, whatever texts the user's documents hold.

Independent readers look at the results: Python's HTML and CSV readers, expat for the drawings, openpyxl for
workbooks.
"""

from __future__ import annotations

import contextlib
import csv
import io
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field
from html.parser import HTMLParser

import openpyxl

import slopewright as sw

SVG = {"svg", "g", "path", "rect", "line", "circle", "polygon", "text", "title", "desc", "defs", "pattern"}
SHOWN = {"table", "thead", "tbody", "tr", "th", "td", "p", "strong"}
#: Marks that turn the direction of what follows, controls, and breaks that no editor shows.
UNSEEN = re.compile("[\u2028\u2029\u202a-\u202e\u2066\u2067\x00-\x08\x0b-\x1f\x7f-\x9f]")
TABLES = ("lines", "courses", "battens", "underlay", "edges", "findings", "measured")
SALVAGE_TABLES = (
    "shortages",
    "supplies",
    "needs",
    "reserves",
    "checks",
    "fits",
    "alternatives",
    "findings",
    "load",
)


@dataclass
class Job:
    """What a job was made of, as far as it came."""

    survey: sw.Survey
    take_off: sw.TakeOff
    salvaged: sw.Salvaged | None = None
    order: sw.Order | None = None
    prices: sw.OrderDocument | None = None
    tables: list[sw.Table] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.tables = [self.take_off.table(name) for name in TABLES]
        if self.salvaged is not None:
            self.tables += [self.salvaged.table(name) for name in SALVAGE_TABLES]
        if self.order is not None:
            self.tables += [self.order.table(name) for name in ("order", "totals", "findings")]


class Elements(HTMLParser):
    """The elements of a piece of HTML with their attributes."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))


def _no_handlers(elements: Elements) -> None:
    for tag, attributes in elements.found:
        for name, value in attributes.items():
            assert not name.startswith("on"), (tag, name)
            if name == "xmlns":
                continue
            assert not (value or "").strip().lower().startswith(("javascript:", "http", "//")), (tag, value)


def page_is(job: Job) -> None:
    html = sw.page(job.take_off, salvaged=job.salvaged, order=job.order)
    elements = Elements(html)
    tags = [tag for tag, _ in elements.found]
    assert not set(tags) & {"img", "iframe", "object", "embed", "link", "base", "b"}
    # The tally's data and the page's own script, which is there where a tally is.
    assert tags.count("script") <= 2
    _no_handlers(elements)
    assert not UNSEEN.search(html)
    assert "W" * 2_001 not in html


def drawings_are(job: Job) -> None:
    drawings = [job.take_off.plan_drawing()]
    drawings += [job.take_off.drawing(of.slope, layers=sw.drawing_layers()) for of in job.take_off.slopes]
    drawings.append(job.take_off.cut_battens().drawing())
    for drawing in drawings:
        root = ET.fromstring(drawing.svg)
        assert {one.tag.split("}")[1] for one in root.iter()} <= SVG
        assert not any(name.startswith("on") or "href" in name for one in root.iter() for name in one.attrib)
        assert not UNSEEN.search(drawing.svg)
        assert max(len(one.text or "") for one in root.iter()) < 600


def displays_are(job: Job) -> None:
    shown = [job.survey, job.take_off, *job.tables]
    shown += [one for one in (job.salvaged, job.order) if one is not None]
    for thing in shown:
        html = thing._repr_html_()
        elements = Elements(html)
        assert {tag for tag, _ in elements.found} <= SHOWN
        _no_handlers(elements)
        assert not UNSEEN.search(html)
        assert "W" * 2_001 not in html
    for layout in job.take_off.slopes:
        assert {one.tag.split("}")[1] for one in ET.fromstring(layout._repr_svg_()).iter()} <= SVG


def csv_is(job: Job) -> None:
    """A cell that a spreadsheet takes for a formula begins with = + - @ or a control (common practice, no source)."""
    for table in job.tables:
        rows = list(csv.reader(io.StringIO(table.to_csv(), newline="")))
        assert len(rows) == len(table) + 1
        assert {len(row) for row in rows} == {len(table.column_names)}
        for cell in (cell for row in rows[1:] for cell in row):
            assert not cell.startswith(("=", "+", "@", "\t", "\r")), (table.name, cell[:40])
            assert not cell.startswith("-") or re.fullmatch(r"-\d+(\.\d+)?", cell), (table.name, cell[:40])


def markdown_is(job: Job) -> None:
    for table in job.tables:
        rows = table.to_markdown().splitlines()
        assert len(rows) == len(table) + 2
        assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} == {len(table.column_names) + 1}
        assert not re.search(r"(?<!\\)<", "".join(rows))


def workbooks_are(job: Job) -> None:
    books = []
    # What tables cannot say is refused, not mangled.
    with contextlib.suppress(sw.SurveyError):
        books.append(job.survey.to_workbook())
    if job.prices is not None and job.salvaged is not None:
        books.append(job.prices.workbook(job.salvaged))
    for data in books:
        for sheet in openpyxl.load_workbook(io.BytesIO(data)):
            for cell in (cell for row in sheet.iter_rows() for cell in row):
                assert cell.hyperlink is None
                if cell.data_type == "f":
                    assert "HYPERLINK" not in cell.value, cell.coordinate
                    assert "script" not in cell.value, cell.coordinate


def all_is(job: Job) -> None:
    """Look at everything that a job is handed over as."""
    for look in (page_is, drawings_are, displays_are, csv_is, markdown_is, workbooks_are):
        look(job)
