"""Hostile text in every field of text that a document has by its schema: it is refused, or it does nothing anywhere.

The fields are read out of the schemas, so that one that is added later is tried too. Which of them take any text is
listed here: a field that begins to refuse, or to take, what it did not is seen.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from typing import Any

import pytest

import slopewright as sw
from harmless import Job, all_is
from hostile import HOSTILE
from hostile_jobs import ALL_AT_ONCE, FREE, KEY, ORDER, SALVAGE, SURVEY, TEXTS, TIED, everywhere, job_of
from schemas import Path, text_fields, with_text
from slopewright.command import main

FIELDS = {
    "survey": text_fields(json.loads(sw.Survey.schema())),
    "salvage": text_fields(json.loads(sw.SalvageDocument.schema())),
    "order": text_fields(json.loads(sw.OrderDocument.schema())),
}


def attempt(make: Callable[[], Job]) -> Job | str:
    """The job, or what is wrong with its documents, which must be short enough to be read."""
    try:
        return make()
    except sw.SlopewrightError as error:
        said = str(error)
    assert len(said) < 20_000
    return said


def documents(kind: str, path: Path, text: str) -> dict[str, dict[str, Any]]:
    """The three documents, one of them with the text in a field."""
    whole = {"survey": SURVEY, "salvage": SALVAGE, "order": ORDER}
    return {**whole, kind: with_text(whole[kind], path, text)}


def test_the_job_itself_is_whole():
    all_is(job_of(SURVEY, SALVAGE, ORDER))
    assert sum(map(len, FIELDS.values())) > 60


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
@pytest.mark.parametrize(
    ("kind", "path"), [(kind, path) for kind, paths in FIELDS.items() for path in paths], ids=str
)
def test_it_is_refused_or_does_nothing(kind, path, text):
    job = attempt(lambda: job_of(**documents(kind, path, text)))
    if isinstance(job, Job):
        all_is(job)
    if text == ALL_AT_ONCE:
        assert isinstance(job, Job) == (path in FREE[kind] - TIED[kind]), (path, job)


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_every_field_at_once(text):
    """Its name and its source, and every other field that takes any text, all at the same time."""
    job = attempt(lambda: everywhere(text))
    if isinstance(job, Job):
        all_is(job)
    else:
        assert len(text) > 200, job


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_key_of_the_user_s_own(text):
    survey = copy.deepcopy(SURVEY)
    survey["catalogue"] = {"covering": [{"key": text, "like": KEY, "name": "own", "source": "user"}]}
    survey["covering"]["format"] = text
    read = sw.Survey.from_json(json.dumps(survey))
    job = attempt(lambda: Job(read, read.take_off()))
    if isinstance(job, Job):
        all_is(job)


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_the_fields_of_a_tally(text):
    entries = {"id": text, "who": text, "time": text}
    for name, value in entries.items():
        fields = {"id": "a", "unit": f"{KEY} whole", "count": 40, "time": "2024-05-02", name: value}
        try:
            tally = sw.Tally().add(sw.TallyEntry(**fields))
            salvaged = (
                sw.Salvage().counted_by(tally).reckon(sw.Survey.from_json(json.dumps(SURVEY)).take_off())
            )
        except sw.SlopewrightError:
            continue
        survey = sw.Survey.from_json(json.dumps(SURVEY))
        all_is(Job(survey, survey.take_off(), salvaged))
        assert "<script" not in tally._repr_html_()


def test_nothing_in_a_name_reaches_a_terminal(tmp_path, capsys):
    """A name may hold what moves a cursor, sets a title or turns what follows; none of it is printed."""
    name = "shed\u202e\u2066\x1b]0;owned\x07\x1b[2J"
    for kind in ("survey", "fault"):
        survey = {**SURVEY, "name": name, "measuring": name if kind == "fault" else "uk-nrm2"}
        path = tmp_path / f"{kind}.json"
        path.write_text(json.dumps(survey), encoding="utf-8")
        main(["takeoff", str(path), "--why"])
        main(["order", str(path)])
        said = capsys.readouterr()
        assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said.out + said.err)
