"""Salvage from Python: counts against scipy, the join with the take-off, tables, tallies."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import scipy.stats

import slopewright as sw

WHOLE = "plain-tile-265x165 whole"


def barn() -> sw.TakeOff:
    roof = sw.Roof(name="barn", covering="plain-tile-265x165", rafter_spacing_mm=400)
    roof.rectangle("north", eaves_m=6.0, rafter_m=4.0, pitch_deg=45)
    roof.rectangle("south", eaves_m=6.0, rafter_m=4.0, pitch_deg=45)
    return roof.take_off()


def test_needs_are_the_units_of_the_take_off() -> None:
    take_off = barn()
    needs = take_off.needs
    # A second way: the lines of the slopes, unit by unit.
    names = ("whole units", "units to be cut", "tile-and-a-half units", "under-eaves units", "top units")
    lines = [line for line in take_off.lines if line.slope and line.item.startswith(names)]
    assert sum(need.count for need in needs) == sum(line.count or 0 for line in lines)
    assert {need.slope for need in needs} == {"north", "south"}
    assert {need.roof for need in needs} == {"barn"}
    assert all(need.mass_each_kg for need in needs)


def test_inspected_heaps_against_scipy() -> None:
    choose = random.Random(11)
    for _ in range(60):
        lot = choose.randint(20, 3000)
        inspected = choose.randint(1, min(lot, 200))
        sound = choose.randint(0, inspected)
        sureness = choose.choice([0.5, 0.8, 0.9, 0.95, 0.99])
        seen = sw.inspect_heap(lot=lot, inspected=inspected, sound=sound, sureness=sureness)

        # Independent: the least K for which a sample with `sound` or more has a chance over 1 - sureness.
        def chance(good: int, lot: int = lot, inspected: int = inspected, sound: int = sound) -> float:
            return float(scipy.stats.hypergeom(lot, good, inspected).sf(sound - 1))

        # What was seen is there, and what was seen to be unsound is not.
        assert sound <= seen.at_least <= lot - (inspected - sound)
        assert chance(seen.at_least) > 1 - sureness - 1e-12
        if seen.at_least > sound:
            assert chance(seen.at_least - 1) <= 1 - sureness + 1e-12
        assert seen.likely == lot * sound // inspected


def test_more_to_inspect() -> None:
    seen = sw.inspect_heap(lot=1200, inspected=80, sound=70)
    more = seen.more_for_need(need=1000)
    assert more is not None
    grown = sw.inspect_heap(lot=1200, inspected=80 + more, sound=(80 + more) * 70 // 80)
    assert grown.at_least >= 1000
    assert seen.more_for_need(need=1199) is None
    assert seen.more_for_gap(gap=0) <= 1120
    assert "hypergeometric" in seen.working.formula


def test_losses_and_reserves_against_scipy() -> None:
    salvage = sw.Salvage(sureness=0.9, handling_loss_percent=2, refixing_loss_percent=1.5).graded(
        WHOLE, sound=943
    )
    salvage.hold_for_breakage(WHOLE, roof="annex", laid=900, per_thousand_a_year=1.0, years=20, sureness=0.9)
    result = salvage.reckon(barn())
    row = result.table("supplies").records()[0]
    # Independent: scipy; the losses one after the other are 1 - 0.98 * 0.985 = 3.47 %.
    assert row["lost_count"] == scipy.stats.binom(943, 0.0347).ppf(0.9)
    assert row["reserve_count"] == scipy.stats.poisson(18).ppf(0.9)
    assert (
        row["salvaged_count"]
        == row["used_count"] + row["reserve_count"] + row["left_count"] + row["lost_count"]
    )


def test_the_chain_conserves_for_random_roofs() -> None:
    choose = random.Random(7)
    for _ in range(40):
        roof = sw.Roof(covering=choose.choice(["plain-tile-265x165", "interlocking-420x330"]))
        for name in ("a", "b", "c"):
            pitch = choose.uniform(40, 60)
            eaves, rafter = choose.uniform(2, 12), choose.uniform(1.5, 7)
            if choose.random() < 0.5:
                roof.rectangle(name, eaves_m=eaves, rafter_m=rafter, pitch_deg=pitch)
            else:
                roof.hip_end(name, eaves_m=eaves, rafter_m=rafter, pitch_deg=pitch)
        take_off = roof.take_off()
        salvage = sw.Salvage(evenly=choose.random() < 0.5, handling_loss_percent=3)
        for need in take_off.needs:
            if "cut" not in need.unit:
                salvage.sampled(need.unit, lot=need.count + 5, inspected=5, sound=choose.randint(0, 5))
        salvage.hold_back(take_off.needs[0].unit, roof="annex", count=choose.randint(0, 50))
        result = salvage.reckon(take_off)
        rows = result.table("needs").records()
        assert [row["needed_count"] for row in rows] == [need.count for need in take_off.needs]
        assert all(row["needed_count"] == row["met_count"] + row["bought_count"] for row in rows)
        assert sum(result.to_buy.values()) == sum(row["bought_count"] for row in rows)
        for row in result.table("supplies").records():
            where = ("used_count", "reserve_count", "left_count", "lost_count")
            assert row["salvaged_count"] == sum(row[name] for name in where)


def test_several_roofs_and_ranks() -> None:
    other = sw.Roof(name="annex", covering="plain-tile-265x165")
    other.rectangle("front", eaves_m=3.0, rafter_m=2.0, pitch_deg=45)
    salvage = sw.Salvage().graded(WHOLE, sound=300).serve_first(roof="annex")
    result = salvage.reckon(barn(), other.take_off())
    met = {
        (row["roof"], row["unit"]): row["met_count"]
        for row in result.table("needs").records()
        if row["met_count"]
    }
    # The annex alone takes all of them: 300 are fewer than its 6 m2 at some 60 to the square metre.
    assert {roof for roof, _ in met} == {"annex"}
    assert sum(met.values()) == 300
    assert not result.is_enough
    assert result.answer[0].startswith("Have we enough? No: ")


def test_old_imperial_tiles_are_laid_only_by_leave() -> None:
    old = "plain-tile-10.5x6.5in"
    salvage = sw.Salvage().graded(f"{old} whole", sound=5000)
    refused = salvage.reckon(barn())
    # Both sizes come from the catalogue: 10 1/2 x 6 1/2 in is 266.7 x 165.1 mm.
    assert any("266.7 x 165.1 mm" in finding.message for finding in refused.findings)
    assert refused.table("fits").records()[0]["allowed"] == "no"
    salvage.substitute(old=old, new="plain-tile-265x165", length_within_mm=2, width_within_mm=0.5)
    allowed = salvage.reckon(barn())
    assert WHOLE not in allowed.to_buy
    assert allowed.table("fits").records()[0]["allowed"] == "yes"


def test_count_against_what_should_have_come_off() -> None:
    # By hand: 24 m2 / (0.1 m x 0.165 m) = 1454.5.
    salvage = sw.Salvage().graded(WHOLE, sound=1000)
    salvage.came_off(WHOLE, area_m2=24.0, gauge_mm=100, cover_width_mm=165, allowed_percent=5)
    result = salvage.reckon(barn())
    row = result.table("checks").records()[0]
    assert (row["expected_count"], row["came_off_count"], row["differs"]) == (1455, 1000, "yes")
    assert any("1455 should have come off" in finding.message for finding in result.findings)


def test_faults_come_all_at_once_as_salvage_errors() -> None:
    salvage = sw.Salvage(sureness=1.5).sampled(WHOLE, lot=10, inspected=20, sound=5)
    with pytest.raises(sw.SalvageError) as raised:
        salvage.reckon(barn())
    assert {fault.kind for fault in raised.value.faults} == {"count-uneven", "sureness-out-of-range"}
    with pytest.raises(sw.SalvageError) as raised:
        sw.Salvage().graded("plain wole", sound=1).graded("plain hole", sound=1).document()
    assert [fault.place for fault in raised.value.faults] == ["heaps 1, unit", "heaps 2, unit"]
    with pytest.raises(sw.OutputError, match="shortages"):
        sw.Salvage().reckon(barn()).table("nothing")


def test_documents_go_out_and_come_back(tmp_path: Path) -> None:
    salvage = (
        sw.Salvage(sureness=0.95)
        .stacks(WHOLE, stacks=3, per_stack=40)
        .cut_down(from_kind="whole", to_kind="eaves")
    )
    document = salvage.document()
    path = tmp_path / "salvage.toml"
    path.write_text(document.to_toml())
    assert sw.read_salvage(path) == document
    assert sw.SalvageDocument.from_json(document.to_json()) == document
    assert "slopewright" in sw.SalvageDocument.schema()


def test_tally_in_a_file(tmp_path: Path) -> None:
    path, other = tmp_path / "north.tally", tmp_path / "south.tally"
    first = sw.add_count(path, WHOLE, count=120, who="stack 1", time="2024-05-02T10:00")
    sw.add_count(path, WHOLE, count=118, corrects=first.id, time="2024-05-02T10:05")
    sw.add_count(other, WHOLE, count=7, grade="broken", time="2024-05-03")
    sw.add_count(other, WHOLE, count=40, time="2024-05-03")
    merged = sw.merge_tallies(path, other)
    assert merged == sw.read_tally(path)
    assert sw.merge_tallies(path, other) == merged
    days = merged.by_day().records()
    assert [(row["day"], row["sound_count"], row["broken_count"]) for row in days] == [
        ("2024-05-02", 118, 0),
        ("2024-05-03", 40, 7),
    ]
    result = sw.Salvage().counted_by(merged).reckon(barn())
    assert result.table("supplies").records()[0]["salvaged_count"] == 158
    with pytest.raises(sw.SalvageError):
        sw.add_count(path, "plain", count=1)
    with pytest.raises(sw.SalvageError):
        sw.add_count(path, WHOLE, count=1, grade="good")
    assert sw.read_tally(path) == merged


def test_tallies_merge_whichever_way() -> None:
    def entry(name: str, count: int) -> sw.TallyEntry:
        return sw.TallyEntry(id=name, unit=WHOLE, count=count)

    one = sw.Tally().add(entry("a", 1)).add(entry("b", 2))
    two = sw.Tally().add(entry("b", 2)).add(entry("c", 3))
    assert one.merge(two) == two.merge(one) == one.merge(two).merge(two)
    assert len(one.merge(two)) == 3
    torn, faults = sw.Tally.recover(one.text() + '{"id":"d","cou')
    assert torn == one
    assert [fault.kind for fault in faults] == ["tally-torn"]
