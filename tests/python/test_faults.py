"""Every kind of fault that a survey, a length or a pitch can have, as Python and the command tell it.

The rows are the data of tests/faults, which the Rust tests run too.
"""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

import slopewright
from faults_as_data import Row, many, rows, sound_surveys, workbook_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from typing import Any

    from slopewright import Fault, SlopewrightError

# What a row's text is given to. Catalogues, and needs or wants beside a document, are not read by one call in Python.
READERS: dict[str, Callable[[str], object]] = {
    "length": slopewright.length_mm,
    "pitch": slopewright.pitch_deg,
    "survey": lambda text: slopewright.Survey.from_toml(text).take_off(),
    "survey-json": lambda text: slopewright.Survey.from_json(text).take_off(),
    "salvage-document": slopewright.SalvageDocument.from_toml,
    "order-document": slopewright.OrderDocument.from_toml,
    "survey-tables": lambda text: slopewright.Survey.from_workbook(workbook_of(text)).take_off(),
    "city-model": slopewright.CityModel.from_text,
    "survey-workbook": lambda text: slopewright.Survey.from_workbook(text.encode()).take_off(),
    "json-to-toml": lambda text: slopewright.Survey.from_json(text).to_toml(),
}
ROWS = rows()
SURVEY_ROWS = [row for row in ROWS if row.entry == "survey"]


def raised(row: Row) -> SlopewrightError:
    """The exception that the row's text raises."""
    with pytest.raises(slopewright.SlopewrightError) as caught:
        READERS[row.entry](row.text)
    return caught.value


# What a document raises where an amount or a format in it is wrong.
OF_DOCUMENT = {
    "survey": "SurveyError",
    "survey-json": "SurveyError",
    "survey-tables": "SurveyError",
    "salvage-document": "SalvageError",
    "order-document": "OrderError",
    "json-to-toml": "SurveyError",
}


def exception_of(row: Row) -> type[Exception]:
    """The class that the table of kinds names for a kind, or that of the document for what stands in one."""
    names = {code: exception for code, exception, _ in slopewright.fault_kinds()}
    name = names[row.kind]
    if name in {"QuantityError", "CatalogueError"}:
        name = OF_DOCUMENT.get(row.entry, name)
    found = getattr(slopewright, name)
    assert issubclass(found, slopewright.SlopewrightError)
    assert issubclass(found, ValueError)
    return found


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_mistake_raises_the_exception_of_its_room_or_document_with_its_fault(row: Row) -> None:
    if row.entry not in READERS:
        pytest.skip(f"Python has no call that reads a {row.entry} by itself; the Rust tests run this row")
    error = raised(row)
    assert type(error) is exception_of(row)
    faults: list[Fault] = error.faults
    *_, fault = faults
    assert len(faults) == row.of
    assert (fault.kind, fault.place, fault.given) == (row.kind, row.place, row.given)
    assert row.says in fault.problem
    assert row.allowed in fault.allowed
    assert row.advice in fault.advice
    assert str(error) == str(fault) or row.of > 1
    for part in (fault.place, fault.problem, fault.given, fault.allowed, fault.advice):
        assert part in str(error)


def test_the_rows_that_python_reads_are_most_of_them() -> None:
    read = {row.kind for row in ROWS if row.entry in READERS}
    assert len(read) >= 60
    of_surveys = {kind for kind, exception, _ in slopewright.fault_kinds() if exception == "SurveyError"}
    # Outlines as bytes are read by the batch alone; the tests of estates have theirs.
    assert of_surveys - {"wkb-unreadable"} <= read
    assert {row.kind for row in ROWS} == {kind for kind, _, _ in slopewright.fault_kinds()}


@pytest.mark.parametrize("name", sound_surveys())
def test_the_surveys_that_the_mistakes_are_made_in_are_sound(name: str) -> None:
    take_off = slopewright.Survey.from_toml(sound_surveys()[name]).take_off()
    assert len(take_off.lines) > 0


@pytest.mark.parametrize("document", many(), ids=lambda document: document["text"].splitlines()[-1])
def test_many_faults_come_in_one_exception(document: dict[str, Any]) -> None:
    with pytest.raises(slopewright.SlopewrightError) as caught:
        slopewright.Survey.from_toml(document["text"]).take_off()
    came = [(fault.kind, fault.place) for fault in caught.value.faults]
    assert came == [(fault["kind"], fault.get("place", "")) for fault in document["faults"]]


def test_a_document_has_many_kinds_of_fault() -> None:
    assert max(len({fault["kind"] for fault in document["faults"]}) for document in many()) >= 12


# --- The command


def survey_file(folder: Path, row: Row) -> Path:
    """The row's survey as a file."""
    path = folder / "survey.toml"
    path.write_text(row.text, "utf-8")
    return path


@pytest.mark.parametrize("row", SURVEY_ROWS, ids=str)
def test_the_command_ends_with_2_and_writes_nothing(
    row: Row, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    command = pytest.importorskip("slopewright.command", reason="the package has no command yet")
    survey, out = survey_file(tmp_path, row), tmp_path / "result.json"
    assert command.main(["takeoff", str(survey), "--json", str(out)]) == 2
    printed = capsys.readouterr()
    for part in (row.place, row.says, row.given, row.allowed, row.advice):
        assert part in printed.err
    assert "Traceback" not in printed.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["survey.toml"]


@pytest.mark.parametrize("row", SURVEY_ROWS[:: max(1, len(SURVEY_ROWS) // 3)][:3], ids=str)
def test_the_command_as_a_process_of_its_own(row: Row, tmp_path: Path) -> None:
    pytest.importorskip("slopewright.command", reason="the package has no command yet")
    survey, out = survey_file(tmp_path, row), tmp_path / "result.json"
    ended = subprocess.run(
        [sys.executable, "-m", "slopewright", "takeoff", str(survey), "--json", str(out)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
        check=False,
    )
    assert ended.returncode == 2
    assert row.says in ended.stderr
    assert row.place in ended.stderr
    assert "Traceback" not in ended.stderr
    assert not out.exists()


def test_a_faulty_survey_leaves_an_older_result_as_it_was(tmp_path: Path) -> None:
    command = pytest.importorskip("slopewright.command", reason="the package has no command yet")
    survey, out = survey_file(tmp_path, SURVEY_ROWS[0]), tmp_path / "result.json"
    out.write_text("of an earlier day", "utf-8")
    assert command.main(["takeoff", str(survey), "--json", str(out)]) == 2
    assert out.read_text("utf-8") == "of an earlier day"
