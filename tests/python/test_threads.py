"""A hundred threads over the same objects: every one gets what a lone one gets, and none an error.

CPython with its lock runs here. The classes are frozen and hold no state that changes, and long work lets the lock go,
so threads do overlap inside the library; a build without the lock is not among the interpreters of these checks.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import polars as pl

import slopewright as sw

THREADS = 100
EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"


def together(work: Callable[[int], object]) -> list[object]:
    """The results of so many threads that begin at the same time."""
    results: list[object] = [None] * THREADS
    errors: list[BaseException] = []
    start = threading.Barrier(THREADS)

    def run(number: int) -> None:
        try:
            start.wait()
            results[number] = work(number)
        except BaseException as error:  # whatever it is, the test must see it
            errors.append(error)

    threads = [threading.Thread(target=run, args=(number,)) for number in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not errors, errors[:3]
    return results


def test_threads_over_one_survey_and_its_take_off():
    survey = sw.read_survey(EXAMPLES / "reading-room.toml")
    shared = survey.take_off()
    alone = shared.to_json()

    def work(number: int) -> tuple[str, str, int]:
        # Some take off anew, the others read what is there; each asks for things that are made on demand.
        take_off = survey.take_off() if number % 5 == 0 else shared
        slope = take_off.slopes[number % len(take_off.slopes)].slope
        return take_off.to_json(), take_off.drawing(slope).svg, len(take_off.table("lines").records())

    pages: dict[str, set[str]] = {}
    lines = set()
    for number, (text, drawing, count) in enumerate(together(work)):
        assert text == alone
        pages.setdefault(shared.slopes[number % len(shared.slopes)].slope, set()).add(drawing)
        lines.add(count)
    assert len(lines) == 1
    assert all(len(drawings) == 1 for drawings in pages.values())


def test_threads_over_one_table_of_slopes():
    rows = pl.DataFrame(
        {
            "id": range(300),
            "shape": ["rectangle"] * 300,
            "eaves_m": [3 + at / 40 for at in range(300)],
            "rafter_m": [2 + at / 90 for at in range(300)],
            # A few walls, so that faults are among the results.
            "pitch_deg": [95.0 if at % 50 == 0 else 30.0 + at / 10 for at in range(300)],
        }
    )

    def work(_: int) -> tuple[bytes, int]:
        batch = sw.take_off_batch(rows, covering="plain-tile-265x165")
        totals = pl.DataFrame(batch.totals)
        return totals.write_csv().encode(), pl.DataFrame(batch.errors).height

    alone = work(0)
    assert alone[1] == 6
    assert all(result == alone for result in together(work))


def test_threads_with_faults_of_their_own():
    """A fault of one thread is never another's."""

    def work(number: int) -> str:
        roof = sw.Roof(covering=f"tile-{number}")
        try:
            roof.rectangle("a", eaves_m=4, rafter_m=3, pitch_deg=45).take_off()
        except sw.SurveyError as error:
            return error.faults[0].given
        return ""

    assert together(work) == [f'"tile-{number}"' for number in range(THREADS)]
