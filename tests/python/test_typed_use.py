"""What the type checkers read also runs; every public name is used there."""

from __future__ import annotations

import re
from pathlib import Path

import slopewright as sw
import typed_use


def test_typed_use_runs(tmp_path):
    roof = typed_use.build([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)])
    take_off = typed_use.survey(roof, tmp_path).take_off()
    assert len(typed_use.results(take_off)) > 1000
    assert typed_use.tables(take_off) > 100
    assert typed_use.salvage(take_off, tmp_path).table().name
    assert typed_use.orders(tmp_path) > 0
    assert typed_use.cutting(take_off) > 100
    assert typed_use.drawings(take_off) > 10_000
    assert [fault.kind for fault in typed_use.faults()] == ["unit-missing"]
    # One slope, its two cases, no fault, four edges.
    assert typed_use.estates(sw.Roof(covering="plain-tile-265x165").survey()) == 7
    assert typed_use.rest() == 1040.0


def test_typed_use_uses_every_public_name():
    text = Path(typed_use.__file__).read_text(encoding="utf-8")
    assert set(re.findall(r"\bsw\.(\w+)", text)) == set(sw.__all__)
