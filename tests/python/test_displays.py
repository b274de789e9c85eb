"""What notebooks show: every result has a display, the answer comes first, and it says what the result says."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import polars as pl
import pytest

import slopewright as sw

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
KEY = "plain-tile-265x165"


class Cells(HTMLParser):
    """The cells of a piece of HTML, row by row, and the text of its paragraphs."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.paragraphs: list[str] = []
        self._in = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs):  # noqa: ARG002
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
        if tag == "p":
            self.paragraphs.append("")
        if tag in ("td", "th", "p"):
            self._in = tag

    def handle_data(self, data):
        if self._in == "p":
            self.paragraphs[-1] += data
        elif self._in:
            self.rows[-1][-1] += data


@pytest.fixture(scope="module")
def survey() -> sw.Survey:
    return sw.read_survey(EXAMPLES / "reading-room.toml")


@pytest.fixture(scope="module")
def take_off(survey) -> sw.TakeOff:
    return survey.take_off()


@pytest.fixture(scope="module")
def salvaged(take_off) -> sw.Salvaged:
    return sw.read_salvage(EXAMPLES / "reading-room-salvage.toml").reckon(take_off)


def test_a_survey_shows_its_slopes(survey, take_off):
    shown = Cells(survey._repr_html_())
    assert shown.paragraphs == ["Reading room"]
    head, *rows = shown.rows
    assert head == ["slope", "covering", "pitch_deg", "gross_area_m2", "edges", "openings"]
    assert [row[0] for row in rows] == [layout.slope for layout in take_off.slopes]
    assert [float(row[3]) for row in rows] == [round(of.gross_area_m2, 3) for of in take_off.slopes]
    assert rows[0][5] == "west window, east window"
    assert rows[0][4].split(", ")[0] == "eaves 11.6 m"


def test_a_roof_shows_what_its_survey_shows():
    roof = sw.Roof(name="shed", covering=KEY).rectangle("front", eaves_m=4, rafter_m=3, pitch_deg=40)
    assert roof._repr_html_() == roof.survey()._repr_html_()


def test_a_survey_with_faults_shows_all_of_them():
    roof = sw.Roof(name="shed", covering="<b>none</b>")
    roof.rectangle("front", eaves_m=-4, rafter_m=3, pitch_deg=140)
    html = roof._repr_html_()
    with pytest.raises(sw.SurveyError) as caught:
        roof.take_off()
    assert len(Cells(html).paragraphs) == len(caught.value.faults) >= 3
    assert "<b>" not in html


def test_a_slope_shows_itself_to_scale(take_off):
    for layout in take_off.slopes:
        svg = layout._repr_svg_()
        assert svg == take_off.drawing(layout.slope).svg
        assert ET.fromstring(svg).tag.endswith("svg")


def test_a_take_off_shows_lines_with_their_working_and_what_must_be_known(take_off):
    shown = Cells(take_off._repr_html_())
    assert len(shown.rows) == len(take_off.lines) + 1
    assert shown.rows[0] == ["slope", "edge", "item", "count", "length_m", "area_m2", "mass_kg", "working"]
    assert [row[2] for row in shown.rows[1:]] == [line.item for line in take_off.lines]
    assert len(shown.paragraphs) == len(take_off.findings)


def test_salvage_and_order_begin_with_their_answer(salvaged):
    assert Cells(salvaged._repr_html_()).paragraphs == salvaged.answer
    order = sw.read_order(EXAMPLES / "reading-room-order.toml").order_for(salvaged)
    shown = Cells(order._repr_html_())
    assert shown.paragraphs[0].startswith(f"To pay {order.gross} EUR: net {order.net}, tax {order.tax}.")
    assert [row[0] for row in shown.rows[1:]] == [line.item for line in order.lines]


def test_the_other_tables_of_rows(survey):
    taped = survey.tape_range(10)
    assert len(Cells(taped._repr_html_()).rows) == len(taped.table()) + 1
    rows = pl.DataFrame(
        {"id": ["<i>a", "b"], "shape": "rectangle", "eaves_m": 5.0, "rafter_m": 3.0, "pitch_deg": [40, 95]}
    )
    batch = sw.take_off_batch(rows, covering=KEY)
    shown = Cells(batch._repr_html_())
    assert shown.paragraphs == ["2 rows, 1 faulty"]
    assert [row[1] for row in shown.rows if row[0] in ("0", "1")] == ["<i>a", "b"]
    assert "<i>" not in batch._repr_html_()
    totals = Cells(batch.totals._repr_html_())
    assert totals.rows[0] == batch.totals.column_names


def test_a_tally_shows_its_counts_or_what_contradicts():
    entry = sw.TallyEntry(id="a", unit=f"{KEY} whole", count=40, time="2024-05-02")
    tally = sw.Tally().add(entry)
    assert len(Cells(tally._repr_html_()).rows) == len(tally.by_day()) + 1
    other = sw.TallyEntry(id="a", unit=f"{KEY} whole", count=41, time="2024-05-02")
    html = tally.add(other)._repr_html_()
    assert Cells(html).rows == []
    assert re.search("a", "".join(Cells(html).paragraphs))


def test_batches_joined_are_the_batch_as_a_whole():
    rows = pl.DataFrame(
        {
            "id": range(25),
            "shape": "rectangle",
            "eaves_m": [3 + n / 4 for n in range(25)],
            "rafter_m": 3.0,
            "pitch_deg": 40.0,
        }
    ).with_columns(
        pl.when(pl.col("id") % 7 == 3).then(95.0).otherwise(pl.col("pitch_deg")).alias("pitch_deg")
    )
    whole = sw.take_off_batch(rows, covering=KEY, lines=True)
    joined = sw.Batch.joined(list(sw.take_off_batches(rows, covering=KEY, lines=True, rows_at_once=4)))
    assert (joined.row_count, joined.faulty_count) == (whole.row_count, whole.faulty_count) == (25, 4)
    for name in ("totals", "lines", "errors"):
        assert pl.DataFrame(getattr(joined, name)).equals(pl.DataFrame(getattr(whole, name)))


def test_batches_of_different_columns_are_not_joined():
    rows = pl.DataFrame({"shape": ["rectangle"], "eaves_m": 5.0, "rafter_m": 3.0, "pitch_deg": 40.0})
    one, other = sw.take_off_batch(rows, covering=KEY), sw.take_off_batch(rows, covering=KEY, units_only=True)
    for batches in ([], [one, other]):
        with pytest.raises(ValueError, match="cannot be joined"):
            sw.Batch.joined(batches)
