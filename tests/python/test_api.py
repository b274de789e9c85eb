"""The surface of the package: names, keyword-only arguments, repr, notebooks, frozen things, faults, threads."""

from __future__ import annotations

import dataclasses
import inspect
import json
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

import slopewright as sw

PLAIN = "plain-tile-265x165"


@pytest.fixture(scope="module")
def roof() -> sw.Roof:
    made = sw.Roof(covering=PLAIN, name="shed", rafter_spacing_mm=400, underlay="membrane-1x50")
    window = sw.Opening(from_left_m=1.5, from_eaves_m=1, width_mm=780, height_mm=1180, clearance_mm=30)
    made.rectangle("front", eaves_m=6, rafter_m=4.2, pitch_deg=40, openings=[window])
    return made.hip_end("end", eaves_m=5, rafter_m=3.4, pitch_deg=45)


@pytest.fixture(scope="module")
def take_off(roof) -> sw.TakeOff:
    return roof.take_off()


def test_public_names_are_there_documented_and_in_order():
    assert list(sw.__all__) == sorted(sw.__all__)
    for name in sw.__all__:
        thing = getattr(sw, name)
        assert isinstance(thing, str) or inspect.getdoc(thing), name
    public = {
        name for name, thing in vars(sw).items() if not (name.startswith("_") or inspect.ismodule(thing))
    }
    assert public == set(sw.__all__) - {"__version__"}


def test_public_things_say_that_they_are_of_this_package():
    for name in sw.__all__:
        thing = getattr(sw, name)
        if inspect.isclass(thing):
            assert thing.__module__.split(".")[0] == "slopewright", name
            assert "_native" not in thing.__module__, name


def test_figures_go_by_keyword_alone():
    for kind in (sw.Opening, sw.Edge, sw.Roof):
        parameters = inspect.signature(kind).parameters.values()
        assert all(parameter.kind is parameter.KEYWORD_ONLY for parameter in parameters), kind
    shapes = ("rectangle", "trapezoid", "hip_end", "outline", "gable", "hipped", "lean_to")
    for name in shapes:
        own, *others = list(inspect.signature(getattr(sw.Roof, name)).parameters.values())[1:]
        assert own.name == "name", name
        assert all(parameter.kind is parameter.KEYWORD_ONLY for parameter in others), name
    with pytest.raises(TypeError, match="positional"):
        sw.Roof(covering=PLAIN).rectangle("front", 6, 4.2, 40)
    with pytest.raises(TypeError, match="positional"):
        sw.Opening(1, 1, 780, 1180)


def test_every_shape_and_form():
    """One of each; true areas by hand: a rectangle 6 x 4, a triangle, a plan of 4 x 3 at 60 degrees (cos = 1/2) ..."""
    flush = {side: sw.Edge(overhang_mm=0) for side in ("eaves", "right", "top", "left")}
    no_top = {side: edge for side, edge in flush.items() if side != "top"}
    numbers = {str(number): sw.Edge(overhang_mm=0) for number in range(1, 5)}
    roof = sw.Roof(covering=PLAIN)
    roof.rectangle("rectangle", eaves_m=6, rafter_m=4, pitch_deg=40, edges=flush)
    roof.trapezoid("trapezoid", eaves_m=6, ridge_m=2, rafter_m=4, pitch_deg=40, offset_m=1, edges=flush)
    roof.hip_end("hip end", eaves_m=6, rafter_m=4, pitch_deg=40, offset_m=3, edges=no_top)
    corners = [(0, 0), (4, 0), (4, 3), (0, 3)]
    roof.outline("outline", corners_m=corners, pitch_deg=60, edges=numbers)
    roof.outline("plan", corners_m=corners, pitch_deg=60, in_plan=True, edges=numbers)
    roof.gable("gable", length_m=8, span_m=6, pitch_deg=45)
    roof.hipped("hipped", length_m=8, span_m=6, pitch_deg=45, hip_pitch_deg=50, hips="left")
    roof.lean_to("lean-to", length_m=4, span_m=2, pitch_deg=30)
    areas = {layout.slope: layout.covered_area_m2 for layout in roof.take_off().slopes}
    by_hand = {"rectangle": 24, "trapezoid": 16, "hip end": 12, "outline": 12, "plan": 24}
    assert {name: areas[name] for name in by_hand} == pytest.approx(by_hand)
    forms = ["gable front", "gable rear", "hipped front", "hipped rear", "hipped left", "lean-to front"]
    assert [name for name in areas if name not in by_hand] == forms
    assert repr(roof) == "Roof('roof', slopes=5, forms=3)"


def test_openings_by_their_corners_take_their_area():
    """A triangle of 0.8 x 0.6 m takes 0.24 m2; one with corners and sides is refused."""
    flush = {side: sw.Edge(overhang_mm=0) for side in ("eaves", "right", "top", "left")}
    triangle = [(1, 1), (1.8, 1), (1, 1.6)]

    def take_off(opening: sw.Opening) -> sw.TakeOff:
        roof = sw.Roof(covering=PLAIN)
        roof.rectangle("front", eaves_m=6, rafter_m=4, pitch_deg=40, edges=flush, openings=[opening])
        return roof.take_off()

    assert take_off(sw.Opening(corners_m=triangle)).slopes[0].covered_area_m2 == pytest.approx(24 - 0.24)
    with pytest.raises(sw.SurveyError) as raised:
        take_off(sw.Opening(corners_m=triangle, width_mm=800))
    assert [fault.kind for fault in raised.value.faults] == ["opening-stated-twice"]
    with pytest.raises(sw.SurveyError) as raised:
        take_off(sw.Opening(from_left_m=1, width_mm=800))
    assert [fault.kind for fault in raised.value.faults] == ["field-missing", "field-missing"]


def test_openings_and_edges_are_frozen():
    with pytest.raises(dataclasses.FrozenInstanceError):
        sw.Edge(role="eaves").role = "ridge"
    with pytest.raises(dataclasses.FrozenInstanceError):
        sw.Opening(from_left_m=1).from_left_m = 2
    assert sw.Edge(role="eaves") == sw.Edge(role="eaves")


def test_results_are_frozen_and_not_made_by_hand(take_off):
    things = [take_off, take_off.table(), take_off.lines[0], take_off.findings[0], take_off.slopes[0]]
    things += [take_off.lines[0].working, sw.Survey.from_json("{}")]
    for thing in things:
        name = next(name for name in vars(type(thing)) if not name.startswith("_"))
        with pytest.raises(AttributeError):
            setattr(thing, name, 1)
        with pytest.raises(AttributeError):
            thing.something_else = 1
        with pytest.raises(TypeError, match="cannot create"):
            type(thing)()


def test_reprs_say_what_a_thing_is(roof, take_off):
    assert repr(roof) == "Roof('shed', slopes=2, forms=0)"
    assert repr(roof.survey()) == 'Survey("shed", forms=0, slopes=2)'
    units = sum(
        row[name]
        for row in take_off.table("courses").records()
        for name in ("whole_count", "cut_count", "tile_and_half_count")
    )
    assert repr(take_off) == f'TakeOff("shed", slopes=2, units={units})'
    rows = len(take_off.table("battens"))
    assert repr(take_off.table("battens")) == f'Table("battens", rows={rows}, columns=7)'
    assert repr(take_off.slopes[0]).startswith('SlopeLayout("front", "plain-tile-265x165", gauge_mm=')
    line = next(line for line in take_off.lines if line.item == "whole units")
    assert (
        repr(line) == f'Line("{line.slope}", "whole units", count={line.count}, mass_kg={line.mass_kg:.1f})'
    )
    assert repr(line.working).startswith('Working("')
    assert repr(take_off.findings[0]).startswith(f'Finding("{take_off.findings[0].severity}"')


def test_texts_hold_all_that_a_thing_says(take_off):
    for thing in (*take_off.findings, *(line.working for line in take_off.lines)):
        assert str(thing) == thing.text
    finding = take_off.findings[0]
    assert finding.message in str(finding)
    assert finding.severity in str(finding)


def test_results_of_the_same_survey_are_equal(roof, take_off):
    other = roof.take_off()
    assert roof.survey() == roof.survey()
    assert other.findings == take_off.findings
    assert len(set(take_off.findings)) == len(take_off.findings)
    assert [line.working for line in other.lines] == [line.working for line in take_off.lines]
    assert other.to_json() == take_off.to_json()


NASTY = "<script>alert('1') & \"2\"</script>"


def test_html_of_notebooks_is_escaped():
    roof = sw.Roof(covering=PLAIN).rectangle(NASTY, eaves_m=3, rafter_m=3, pitch_deg=40)
    take_off = roof.take_off()
    for html in (take_off._repr_html_(), take_off.table("courses")._repr_html_()):
        assert "<script" not in html
        assert "&lt;script&gt;alert('1') &amp; &quot;2&quot;&lt;/script&gt;" in html
        assert html.startswith("<table>")


def test_html_of_a_long_table_stops_and_says_so(take_off):
    roof = sw.Roof(covering=PLAIN).rectangle("long", eaves_m=1, rafter_m=30, pitch_deg=40)
    courses = roof.take_off().table("courses")
    html = courses._repr_html_()
    assert len(courses) > 200
    assert html.count("<tr>") == 201
    assert html.endswith(f"<p>{len(courses)} rows in all</p>")
    assert "rows in all" not in take_off.table("lines")._repr_html_()


def test_exceptions_have_a_common_base_and_are_value_errors():
    kinds = [getattr(sw, name) for name in sw.__all__ if name.endswith("Error")]
    assert len(kinds) == 9
    for kind in kinds:
        assert issubclass(kind, sw.SlopewrightError)
        assert issubclass(kind, ValueError)
        # Also on one that nobody filled.
        assert kind("").faults == ()


def test_every_fault_at_once_each_with_its_place():
    roof = sw.Roof(covering=PLAIN)
    outside = sw.Opening(from_left_m=5.5, from_eaves_m=1, width_mm=800, height_mm=1000, name="light")
    roof.rectangle("north", eaves_m=6, rafter_m=4, pitch_deg=40, openings=[outside])
    roof.rectangle("south", eaves_m=-6, rafter_m=4, pitch_deg=95)
    with pytest.raises(sw.SurveyError) as raised:
        roof.take_off()
    faults = raised.value.faults
    assert isinstance(faults, tuple)
    assert len(faults) == 3
    first = faults[0]
    assert (first.kind, first.place) == ("opening-outside", "slope 'north', opening 'light'")
    # 5.5 + 0.8 m from the left of 6 m.
    assert "0.30 m outside the right verge" in first.problem
    assert first.given
    assert first.allowed
    assert str(first) == first.text
    assert repr(first).startswith('Fault("opening-outside", ')
    assert {fault.place.split(",")[0] for fault in faults[1:]} == {"slope 'south'"}
    for fault in faults:
        assert fault.text in str(raised.value)


def test_faults_are_told_by_kind():
    kinds = sw.fault_kinds()
    codes = [code for code, _, _ in kinds]
    assert len(set(codes)) == len(codes) >= 60
    for code, exception, meaning in kinds:
        assert code == code.lower().replace(" ", "-")
        assert issubclass(getattr(sw, exception), sw.SlopewrightError)
        assert meaning


@pytest.mark.parametrize(
    ("call", "text", "exception", "kind"),
    [
        (sw.length_mm, "4150", sw.QuantityError, "unit-missing"),
        (sw.length_mm, "", sw.QuantityError, "quantity-empty"),
        (sw.pitch_deg, "95 deg", sw.QuantityError, "pitch-out-of-range"),
        (sw.Survey.from_toml, "= =", sw.SurveyError, "document-unreadable"),
        (sw.Survey.from_json, "{", sw.SurveyError, "document-unreadable"),
    ],
)
def test_texts_that_cannot_be_read(call, text, exception, kind):
    with pytest.raises(exception) as raised:
        call(text)
    assert [fault.kind for fault in raised.value.faults] == [kind]


def test_texts_that_can():
    """One inch is 25.4 mm; 9 in 12 is atan(0.75)."""
    assert sw.length_mm("13 ft 7 1/2 in") == pytest.approx(163.5 * 25.4)
    assert sw.pitch_deg("9 in 12") == pytest.approx(36.8698976458)


def test_wrong_types_are_type_errors():
    with pytest.raises(TypeError):
        sw.length_mm(4150)
    with pytest.raises(TypeError):
        sw.Survey.from_json(b"{}")


def test_documents_go_round(roof, tmp_path):
    survey = roof.survey()
    assert sw.Survey.from_json(survey.to_json()) == survey
    assert sw.Survey.from_toml(survey.to_toml()) == survey
    for name, text in (("roof.toml", survey.to_toml()), ("roof.json", survey.to_json())):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert sw.read_survey(tmp_path / name) == survey
        assert sw.read_survey(str(tmp_path / name)) == survey
    with pytest.raises(FileNotFoundError):
        sw.read_survey(tmp_path / "none.toml")


def test_documents_say_their_schema(take_off):
    for schema in (sw.Survey.schema(), sw.TakeOff.schema()):
        assert json.loads(schema)["type"] == "object"
    document = json.loads(take_off.to_json())
    required = json.loads(sw.TakeOff.schema()).get("required", [])
    assert required
    assert set(required) <= set(document)


def test_the_builder_hands_out_copies():
    """A survey that was handed out does not change with the builder."""
    builder = sw.Roof(covering=PLAIN).rectangle("front", eaves_m=3, rafter_m=3, pitch_deg=40)
    before = builder.survey()
    builder.rectangle("rear", eaves_m=3, rafter_m=3, pitch_deg=40)
    assert repr(before) == 'Survey("roof", forms=0, slopes=1)'


def test_eight_threads_over_one_survey_and_one_take_off(roof, take_off):
    """Every thread gets what one alone gets."""
    survey = roof.survey()
    expected = (survey.to_json(), take_off.to_json(), take_off.table("courses").records())
    start = threading.Barrier(8)

    def work(_: int) -> list[tuple]:
        start.wait()
        found = []
        for _ in range(5):
            own = survey.take_off()
            survey.check()
            found.append((survey.to_json(), own.to_json(), take_off.table("courses").records()))
            assert own.table("battens").to_csv() == take_off.table("battens").to_csv()
            assert [line.item for line in take_off.lines] == [line.item for line in own.lines]
        return found

    with ThreadPoolExecutor(8) as pool:
        results = [found for thread in pool.map(work, range(8)) for found in thread]
    assert len(results) == 40
    assert all(found == expected for found in results)


def test_faults_in_threads_stay_apart():
    surveys = [
        sw.Roof(covering=PLAIN).rectangle("front", eaves_m=-number, rafter_m=3, pitch_deg=40).survey()
        for number in range(1, 9)
    ]

    def given(survey: sw.Survey) -> str:
        with pytest.raises(sw.SurveyError) as raised:
            survey.check()
        return raised.value.faults[0].given

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(given, surveys))
    assert len(set(found)) == 8
