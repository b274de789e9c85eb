"""Tables: as records, as CSV, and through the Arrow interface in three readers."""

from __future__ import annotations

import csv
import io

import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

import slopewright as sw

TABLES = ("lines", "courses", "battens", "underlay", "edges", "findings", "measured")


@pytest.fixture(scope="module")
def take_off() -> sw.TakeOff:
    roof = sw.Roof(covering="plain-tile-265x165", rafter_spacing_mm=400, underlay="membrane-1x50")
    window = sw.Opening(from_left_m=1.5, from_eaves_m=1, width_mm=780, height_mm=1180, clearance_mm=30)
    return roof.rectangle("front", eaves_m=6, rafter_m=4.2, pitch_deg=40, openings=[window]).take_off()


@pytest.fixture(scope="module", params=[*TABLES, "cutting", "pieces"])
def table(request, take_off) -> sw.Table:
    holder = take_off if request.param in TABLES else take_off.cut_battens()
    return holder.table(request.param)


def test_records_have_every_column(table):
    records = table.records()
    assert len(records) == len(table)
    # Nothing is measured unless the survey names a tradition of measuring.
    assert (len(table) > 0) == (table.name != "measured")
    assert all(list(record) == table.column_names for record in records)


def test_pyarrow_reads_the_same_values(table):
    read = pa.table(table)
    assert read.column_names == table.column_names
    assert read.to_pylist() == table.records()


def test_polars_reads_the_same_values(table):
    assert pl.DataFrame(table).to_dicts() == table.records()


def test_pandas_reads_the_same_values(table):
    frame = pd.DataFrame.from_arrow(table)
    assert list(frame.columns) == table.column_names
    for name in table.column_names:
        read = [None if pd.isna(value) else value for value in frame[name]]
        assert read == [record[name] for record in table.records()], name


def test_columns_say_what_they_mean(table):
    schema = pa.table(table).schema
    for field in schema:
        assert field.metadata[b"meaning"].decode() == table.meanings[field.name] != ""


def test_types_of_columns(table):
    for field in pa.table(table).schema:
        whole = field.name in ("course", "row", "piece", "bar") or field.name.endswith("count")
        figure = field.name.endswith(("_mm", "_m", "_m2", "_kg"))
        expected = pa.uint64() if whole else pa.float64() if figure else pa.string()
        assert field.type == expected, field.name


def test_csv_reads_the_same_values(table):
    """As RFC 4180 has it: commas, quotes doubled, CR LF. Figures are rounded to four decimals."""
    text = table.to_csv()
    assert text.count("\r\n") >= len(table) + 1
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    for read, record in zip(rows, table.records(), strict=True):
        for name, value in record.items():
            if value is None:
                assert read[name] == ""
            elif isinstance(value, float):
                assert float(read[name]) == pytest.approx(value, abs=0.5001e-4)
            else:
                assert read[name].removeprefix("'") == str(value)


def test_a_take_off_is_read_as_its_lines(take_off):
    assert pa.table(take_off).to_pylist() == take_off.table().records()


def test_a_stream_can_be_taken_more_than_once(table):
    assert pa.table(table).equals(pa.table(table))


def test_a_requested_schema_is_not_needed(table):
    assert "arrow_array_stream" in repr(table.__arrow_c_stream__(requested_schema=None))


def test_empty_tables():
    """No underlay is stated: its table has columns and no rows, everywhere."""
    roof = sw.Roof(covering="plain-tile-265x165").rectangle("front", eaves_m=3, rafter_m=3, pitch_deg=40)
    empty = roof.take_off().table("underlay")
    assert (len(empty), empty.records()) == (0, [])
    assert empty.to_csv() == ",".join(empty.column_names) + "\r\n"
    assert pa.table(empty).shape == (0, len(empty.column_names))
    assert pl.DataFrame(empty).columns == empty.column_names
    assert list(pd.DataFrame.from_arrow(empty).columns) == empty.column_names


def test_absent_values_are_nulls(take_off):
    """Without stated rafters no crossings are known."""
    roof = sw.Roof(covering="plain-tile-265x165").rectangle("front", eaves_m=3, rafter_m=3, pitch_deg=40)
    crossings = pa.table(roof.take_off().table("battens")).column("crossing_count")
    assert crossings.null_count == len(crossings) > 0
    assert pa.table(take_off.table("battens")).column("crossing_count").null_count == 0


def test_a_table_that_is_not_there(take_off):
    with pytest.raises(sw.OutputError, match=", ".join(TABLES)):
        take_off.table("gutters")


def test_text_that_a_spreadsheet_would_run():
    """A name that starts like a formula is written with an apostrophe before it, in CSV alone."""
    roof = sw.Roof(covering="plain-tile-265x165").rectangle("=2+3", eaves_m=3, rafter_m=3, pitch_deg=40)
    courses = roof.take_off().table("courses")
    assert courses.records()[0]["slope"] == "=2+3"
    assert courses.to_csv().splitlines()[1].startswith("'=2+3,")
