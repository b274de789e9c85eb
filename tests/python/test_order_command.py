"""The commands `order` and `tally`: first lines, files, exit codes."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from slopewright.command import main

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
SURVEY = str(EXAMPLES / "reading-room.toml")
SALVAGE = str(EXAMPLES / "reading-room-salvage.toml")
ORDER = str(EXAMPLES / "reading-room-order.toml")
WHOLE = "plain-tile-265x165 whole"


def test_the_first_five_lines_answer(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code = main(["order", SURVEY, "--salvage", SALVAGE, "--prices", ORDER, "--csv", str(tmp_path)])
    assert code == 0
    out = capsys.readouterr().out.splitlines()
    assert out[0].startswith("Have we enough? No: ")
    with (tmp_path / "shortages.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert sum(int(row["bought_count"]) for row in rows) == int(out[0].split()[4])
    for row, line in zip(rows, out[1:5], strict=True):
        counts = f"{row['needed_count']} needed, {row['met_count']} met, {row['bought_count']} to buy"
        assert line == f"{row['unit']}: {counts}"


def test_files_and_working(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    result, folder = tmp_path / "out" / "job.json", tmp_path / "tables"
    files = ["--json", str(result), "--csv", str(folder)]
    assert main(["order", SURVEY, "--salvage", SALVAGE, "--prices", ORDER, "--why", *files]) == 0
    out = capsys.readouterr().out
    assert "hypergeometric" in out
    assert "Poisson" in out
    job = json.loads(result.read_text())
    assert job["slopewright_job"] == 1
    assert job["order"]["total"]["gross"] in out
    names = "shortages supplies needs reserves checks fits alternatives load order totals"
    assert {path.stem for path in folder.iterdir()} == set(names.split())


def test_without_salvage_all_is_bought(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["order", SURVEY]) == 0
    first = capsys.readouterr().out.splitlines()[0].split()
    assert first[4] == first[6]
    assert main(["order", SURVEY, "--quiet"]) == 0
    assert capsys.readouterr().out == ""


def test_faults_name_their_file_and_nothing_is_written(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text(Path(SALVAGE).read_text().replace("sound = 98", "sound = 980"))
    out = tmp_path / "out"
    assert main(["order", SURVEY, "--salvage", str(bad), "--csv", str(out)]) == 2
    message = capsys.readouterr().err
    assert message.startswith(f"{bad}: ")
    assert "more were sound than were inspected" in message
    assert not out.exists()
    assert main(["order", SURVEY, "--prices", str(bad), "--csv", str(out)]) == 2
    assert capsys.readouterr().err.startswith(f"{bad}: ")
    assert main(["order", SURVEY, "--salvage", str(tmp_path / "none.toml")]) == 3
    assert "none.toml" in capsys.readouterr().err
    blocked = tmp_path / "file"
    blocked.write_text("")
    assert main(["order", SURVEY, "--json", str(tmp_path / "job.json"), "--csv", str(blocked)]) == 3
    assert not (tmp_path / "job.json").exists()
    with pytest.raises(SystemExit) as stopped:
        main(["order"])
    assert stopped.value.code == 2


def test_the_tally_command(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    tally = str(tmp_path / "north.tally")
    assert main(["tally", tally, "show"]) == 3
    assert main(["tally", tally, "add", WHOLE, "120", "--who", "stack 1"]) == 0
    name = capsys.readouterr().out.split()[1].rstrip(":")
    assert main(["tally", tally, "add", WHOLE, "118", "--corrects", name]) == 0
    assert main(["tally", tally, "add", WHOLE, "3", "--grade", "broken"]) == 0
    assert main(["tally", tally, "add", "nothing", "3"]) == 2
    assert main(["tally", tally, "add", WHOLE, "-3"]) == 2
    capsys.readouterr()
    assert main(["tally", tally, "show"]) == 0
    assert capsys.readouterr().out.splitlines()[-1].split() == ["in", "all", *WHOLE.split(), "118", "0", "3"]
    other = str(tmp_path / "south.tally")
    assert main(["tally", other, "add", WHOLE, "40"]) == 0
    assert main(["tally", tally, "merge", other]) == 0
    capsys.readouterr()
    assert main(["tally", tally, "show", "--entries"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 4
    assert main(["order", SURVEY, "--tally", tally]) == 0
    # By hand: 118 and 40 sound, all of them wanted.
    assert "needed, 158 met" in capsys.readouterr().out.splitlines()[1]
    # A torn line is reported and hides nothing.
    with Path(tally).open("a") as file:
        file.write('{"id":"x","cou')
    assert main(["tally", tally, "show"]) == 2
    shown = capsys.readouterr()
    assert "158" in shown.out
    assert "tally-torn" in shown.err or "was not written to its end" in shown.err
