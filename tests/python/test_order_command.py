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


def test_what_needs_prices_says_so(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    workbook = tmp_path / "order.xlsx"
    assert main(["order", SURVEY, "--workbook", str(workbook), "--second-delivery", "250"]) == 2
    said = capsys.readouterr()
    assert said.err.startswith("--workbook, --second-delivery: ")
    assert "--prices" in said.err
    assert said.out == ""
    assert not workbook.exists()


@pytest.mark.parametrize("amount", ["nan", "inf", "-1", "a lot"])
def test_a_second_delivery_costs_an_amount(amount: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["order", SURVEY, "--prices", ORDER, f"--second-delivery={amount}"])
    assert left.value.code == 2
    assert f"'{amount}' is not an amount of money" in capsys.readouterr().err


def test_the_list_for_the_saw_has_the_bars_that_are_ordered(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["order", SURVEY, "--prices", ORDER, "--cutting", "--csv", str(tmp_path)]) == 0
    out = capsys.readouterr().out.splitlines()
    brought: dict[str, int] = {}
    of_battens = False
    for line in out:
        # A slope's list begins with its name: "main roof front: battens", then "bring 21 x 3.6 m" for each length.
        if line.startswith("  ") and not line.startswith("   "):
            of_battens = line.endswith(": battens")
        elif of_battens and line.startswith("    bring "):
            count, length = line.split()[1], line.split()[3]
            brought[length] = brought.get(length, 0) + int(count)
    with (tmp_path / "order.csv").open(newline="") as file:
        rows = {row["item"]: int(row["needed_count"]) for row in csv.DictReader(file)}
    bars = {item.split(", ")[1].split()[0]: n for item, n in rows.items() if item.startswith("battens, ")}
    assert bars == brought
    assert len(bars) == 3


def test_a_workbook_that_is_there_is_not_lost(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    filled_in = tmp_path / "survey.xlsx"
    filled_in.write_bytes(b"what somebody filled in")
    assert main(["blank", str(filled_in)]) == 3
    assert "is there already" in capsys.readouterr().err
    assert filled_in.read_bytes() == b"what somebody filled in"
    assert main(["blank", str(filled_in), "--replace"]) == 0
    assert filled_in.read_bytes().startswith(b"PK")


def test_without_a_command_it_says_what_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    for given, said in ([], "required: what"), (["takeof"], "invalid choice: 'takeof'"):
        with pytest.raises(SystemExit):
            main(given)
        assert said in capsys.readouterr().err
