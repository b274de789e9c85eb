"""Old units in Python: the salvage document, built from keyword arguments, and the tally on the disk."""

from __future__ import annotations

import json
import os
import uuid
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from slopewright import tally_file
from slopewright._amounts import given, mm
from slopewright._native import Need, Salvaged, SalvageDocument, TakeOff, Tally, TallyEntry


def read_salvage(path: str | Path) -> SalvageDocument:
    """Read a salvage document from a file: JSON if it is called so, else TOML.

    Raises:
        OSError: The file cannot be read.
        SalvageError: Parts of the text cannot be read; `faults` lists all of them.

    """
    path = Path(path)
    text = path.read_text(encoding="utf-8")
    return (
        SalvageDocument.from_json(text) if path.suffix.lower() == ".json" else SalvageDocument.from_toml(text)
    )


def _percent(value: float) -> str:
    # Six decimals are the most that a part of a whole may have; more is the noise of a double.
    return f"{value:.6f}".rstrip("0").rstrip(".") + " %"


class Salvage:
    """Builds a salvage document heap by heap.

    Args:
        sureness: Count on what holds with this sureness, 0.95 being 95 %; by default on what is likely.
        lay_doubtful: Whether doubtful units are laid again; if not, they are set aside.
        handling_loss_percent: Part of the sound units that breaks in carrying, stacking and sorting [%].
        refixing_loss_percent: Part of the rest that breaks while it is fixed again [%].
        evenly: Whether every slope of a rank gets the same part of what it needs; by default slopes that can
            be served whole come first.

    A unit is written by its format and kind: "plain-tile-265x165 whole". Nothing is checked until
    `document()` or `reckon()`.

    Examples:
        >>> import slopewright as sw
        >>> salvage = sw.Salvage(handling_loss_percent=2).stacks(
        ...     "plain-tile-265x165 whole", stacks=12, per_stack=40, loose=15
        ... )
        >>> need = sw.Need(slope="north", unit="plain-tile-265x165 whole", count=600)
        >>> salvage.reckon_needs([need]).answer[0]
        'Have we enough? No: 115 of 600 must be bought, 0 held back.'

    """

    def __init__(
        self,
        *,
        sureness: float | None = None,
        lay_doubtful: bool = False,
        handling_loss_percent: float = 0.0,
        refixing_loss_percent: float = 0.0,
        evenly: bool = False,
    ) -> None:
        basis = {"on": "likely"} if sureness is None else {"on": "sure", "sureness": sureness}
        self._reckoning = {
            "basis": basis,
            "lay_doubtful": lay_doubtful,
            "handling_loss": _percent(handling_loss_percent),
            "refixing_loss": _percent(refixing_loss_percent),
        }
        self._manner = "evenly" if evenly else "whole-slopes"
        self._heaps: list[dict[str, Any]] = []
        self._old_coverings: list[dict[str, Any]] = []
        self._sharing: dict[str, list[dict[str, Any]]] = {}
        self._tallies: list[Tally] = []

    def _heap(self, unit: str, label: str, counted: dict[str, Any]) -> Salvage:
        self._heaps.append({"label": label, "unit": unit, "counted": counted})
        return self

    def graded(
        self, unit: str, *, sound: int, doubtful: int = 0, broken: int = 0, label: str = ""
    ) -> Salvage:
        """Add a heap of which every unit was looked at.

        Args:
            unit: The unit.
            sound: How many are fit to be laid again.
            doubtful: How many are to be looked at again.
            broken: How many are not fit.
            label: What the heap is called on the site.

        """
        return self._heap(
            unit, label, {"by": "grades", "sound": sound, "doubtful": doubtful, "broken": broken}
        )

    def stacks(
        self, unit: str, *, stacks: int, per_stack: int, loose: int = 0, grade: str = "sound", label: str = ""
    ) -> Salvage:
        """Add sorted stacks of one grade.

        Args:
            unit: The unit.
            stacks: How many full stacks.
            per_stack: How many in each.
            loose: How many beside them.
            grade: sound, doubtful or broken.
            label: What the stacks are called on the site.

        """
        counted = {"by": "stacks", "stacks": stacks, "per_stack": per_stack, "loose": loose, "grade": grade}
        return self._heap(unit, label, counted)

    def sampled(self, unit: str, *, lot: int, inspected: int, sound: int, label: str = "") -> Salvage:
        """Add a heap of which a sample was inspected, drawn from all over it.

        Args:
            unit: The unit.
            lot: How many there are.
            inspected: How many of them were inspected.
            sound: How many of those were sound.
            label: What the heap is called on the site.

        """
        return self._heap(unit, label, {"by": "sample", "lot": lot, "inspected": inspected, "sound": sound})

    def counted_by(self, tally: Tally) -> Salvage:
        """Add what a tally has counted."""
        self._tallies.append(tally)
        return self

    def came_off(
        self, unit: str, *, area_m2: float, gauge_mm: float, cover_width_mm: float, allowed_percent: float
    ) -> Salvage:
        """State the old covering as it was measured, to check the count against what should have come off.

        Args:
            unit: The unit it was laid with.
            area_m2: The area it covered, on the slope [m2].
            gauge_mm: Its gauge [mm].
            cover_width_mm: Its cover width: unit and joint [mm].
            allowed_percent: By how much the count may differ before it is worth a word [%].

        """
        self._old_coverings.append(
            {
                "unit": unit,
                "area": f"{area_m2!r} m2",
                "gauge": mm(gauge_mm),
                "cover_width": mm(cover_width_mm),
                "allowed": _percent(allowed_percent),
            }
        )
        return self

    def _share(self, field: str, row: dict[str, Any]) -> Salvage:
        self._sharing.setdefault(field, []).append(row)
        return self

    def serve_first(self, slope: str = "", *, rank: int = 1, roof: str = "") -> Salvage:
        """Give a slope, or a whole roof, a rank: lower ranks are served first, those without one last."""
        return self._share("ranks", {"slope": slope, "roof": roof, "rank": rank})

    def hold_back(self, unit: str, *, roof: str, count: int, only_what_is_left: bool = False) -> Salvage:
        """Hold a stated number back for the later repairs of a roof.

        Args:
            unit: The unit.
            roof: Which roof they are for.
            count: How many.
            only_what_is_left: Whether the slopes come before the reserve.

        """
        return self._reserve(unit, roof, {"by": "number", "count": count}, only_what_is_left)

    def hold_for_breakage(
        self,
        unit: str,
        *,
        roof: str,
        laid: int,
        per_thousand_a_year: float,
        years: float,
        sureness: float,
        only_what_is_left: bool = False,
    ) -> Salvage:
        """Hold enough back for the breakages of some years on a roof.

        Args:
            unit: The unit.
            roof: Which roof they are for.
            laid: How many units are laid on it.
            per_thousand_a_year: How many of a thousand break in a year.
            years: For how many years.
            sureness: The sureness that the reserve lasts; 0.95 is 95 %.
            only_what_is_left: Whether the slopes come before the reserve.

        """
        hold = {
            "by": "breakage",
            "laid": laid,
            "per_thousand_a_year": per_thousand_a_year,
            "years": years,
            "sureness": sureness,
        }
        return self._reserve(unit, roof, hold, only_what_is_left)

    def _reserve(self, unit: str, roof: str, hold: dict[str, Any], only_what_is_left: bool) -> Salvage:
        turn = "last" if only_what_is_left else "first"
        return self._share("reserves", {"roof": roof, "unit": unit, "hold": hold, "turn": turn})

    def cut_down(self, *, from_kind: str, to_kind: str, pieces: int = 1) -> Salvage:
        """Allow old units to be cut down for another need, such as from "whole" to "eaves"."""
        return self._share("cut_down", {"from": from_kind, "to": to_kind, "pieces": pieces})

    def size(self, fmt: str, *, length_mm: float, width_mm: float) -> Salvage:
        """State the dimensions of a format that the catalogue does not have."""
        return self._share("formats", {"format": fmt, "length": mm(length_mm), "width": mm(width_mm)})

    def substitute(self, *, old: str, new: str, length_within_mm: float, width_within_mm: float) -> Salvage:
        """Allow an old format to be laid for another if they differ by no more than this.

        Args:
            old: The format that came off.
            new: The format that is needed.
            length_within_mm: By how much the lengths may differ [mm].
            width_within_mm: By how much the widths may differ [mm].

        """
        row = {
            "old": old,
            "new": new,
            "length_within": mm(length_within_mm),
            "width_within": mm(width_within_mm),
        }
        return self._share("substitutes", row)

    def document(self) -> SalvageDocument:
        """Return the salvage document built so far.

        Raises:
            SalvageError: Parts of it cannot be read; `faults` lists all of them.

        """
        sharing: dict[str, Any] = {"manner": self._manner, **self._sharing}
        if "cut_down" in sharing:
            # What a cut unit is, as where no leave to cut is given.
            usual = {"from": "whole", "to": "cut", "pieces": 1}
            sharing["cut_down"] = [usual, *sharing["cut_down"]]
        fields = given(
            slopewright=1,
            heaps=self._heaps,
            reckoning=self._reckoning,
            old_coverings=self._old_coverings,
            sharing=sharing,
        )
        document = SalvageDocument.from_json(json.dumps(fields))
        for tally in self._tallies:
            document = document.with_tally(tally)
        return document

    def reckon(self, *take_offs: TakeOff) -> Salvaged:
        """Count, check and share out what came off among the take-offs of one job.

        Raises:
            SalvageError: The counts have faults; `faults` lists all of them.

        """
        return self.document().reckon(*take_offs)

    def reckon_needs(self, needs: Sequence[Need]) -> Salvaged:
        """Count, check and share out what came off among needs that are stated one by one.

        Raises:
            SalvageError: The counts have faults; `faults` lists all of them.

        """
        return self.document().reckon_needs(list(needs))

    def __repr__(self) -> str:
        return f"Salvage(heaps={len(self._heaps)}, tallies={len(self._tallies)})"


def read_tally(path: str | os.PathLike[str]) -> Tally:
    """Read a tally from its file; an empty one if there is no file yet.

    Raises:
        OSError: The file cannot be read.
        SalvageError: Lines of it cannot be read; `faults` lists all of them, and `Tally.recover`
            reads the others.

    """
    return Tally.read(tally_file.read_text(path))


def add_count(
    path: str | os.PathLike[str],
    unit: str,
    *,
    count: int,
    grade: str = "sound",
    who: str = "",
    corrects: str | None = None,
    entry_id: str | None = None,
    time: str | None = None,
) -> TallyEntry:
    """Add one count to the tally in a file, and return when it is on the disk.

    What is in the file already is never changed: a count is corrected by a later line that names its id.

    Args:
        path: The file; it is made if it is not there.
        unit: The unit by its format and kind.
        count: How many.
        grade: sound, doubtful or broken.
        who: Who counted, or which stack.
        corrects: The id of the line in whose place this one stands.
        entry_id: Its own id; by default one that nobody else draws.
        time: When, year first; by default now.

    Raises:
        OSError: It could not be written; the file is as it was.
        SalvageError: It is not an entry of a tally.

    """
    entry = TallyEntry(
        id=uuid.uuid4().hex[:12] if entry_id is None else entry_id,
        unit=unit,
        count=count,
        grade=grade,
        who=who,
        time=datetime.now().isoformat(timespec="seconds") if time is None else time,
        corrects=corrects,
    )
    tally_file.add_line(path, entry.line())
    return entry


def merge_tallies(path: str | os.PathLike[str], *others: str | os.PathLike[str]) -> Tally:
    """Put the counts of other tally files into one file, and return what it then holds.

    The file is replaced in a single step.

    Raises:
        OSError: A file cannot be read or written; the tally is as it was.
        SalvageError: Lines of one of them cannot be read; nothing is written.

    """
    texts = [tally_file.read_text(other) for other in others]

    def merged(text: str) -> str:
        tally = Tally.read(text)
        for other in texts:
            tally = tally.merge(Tally.read(other))
        return tally.text()

    return Tally.read(tally_file.update_text(path, merged))
