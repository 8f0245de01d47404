"""Pictures: exact path data, dimensions that say what the geometry is, and words that stand free of each other."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from plategen.bracket.model import Hole, Plate, Slot
from plategen.bracket.shape_mark import shape_mark
from plategen.draw.svg import element, number, path_data
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import Arc, Line
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter, alone, readable
from plategen.tell.picture.fit_words import pieces_in_words
from plategen.tell.picture.plate import plate_picture
from plategen.tell.picture.plate_features import Datum, clearance, datum_of, facing, tape
from plategen.tell.picture.plate_station import crossings, stations, step_mm
from plategen.tell.picture.trace import exaggeration, trace_picture
from plategen.tell.picture.weld import weld_maps
from plategen.tell.report.plate import weld_order
from tests.support.every_example import work_of
from tests.support.example_work import FOOT_MM, IN, PIN_U_MM, example_work, fitted

SVG = "{http://www.w3.org/2000/svg}"


def words_of(picture: str) -> list[str]:
    return [t.text for t in ET.fromstring(picture).iter(f"{SVG}text")]


def test_path_data_flips_v_and_keeps_arcs_exact():
    left = Arc(10 + 0j, 10 + 10j, 1.0)
    half = Loop((Line(0j, 10 + 0j), left, Line(10 + 10j, 0j)))
    assert path_data(half) == "M0 0L10 0A5 5 0 0 0 10 -10L0 0Z"
    assert path_data([left.reversed()]) == "M10 -10A5 5 0 0 1 10 0"
    assert " 0 1 0 " in path_data([Arc.about(0j, 3.0, 0.0, 4.0)]), "more than half a turn is the large arc"
    assert path_data(Circle(2 + 3j, 1.0)).count("A") == 2


def test_numbers_and_words_cannot_break_markup():
    assert [number(x) for x in (-0.0, 1e-9, 1.5, -2.25, 100.0)] == ["0", "0", "1.5", "-2.25", "100"]
    assert element("text", "a", title='"<&') == '<text title="&quot;&lt;&amp;">a</text>'


@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_plate_s_drawing_gives_what_a_tape_finds(units):
    work = example_work(units)
    plate = work.bracket.plates[0]
    words = words_of(plate_picture(work, plate))
    show = Show(units)
    u0, v0, u1, v1 = plate.outline.bounds
    for mm in (PIN_U_MM - FOOT_MM[0], FOOT_MM[1] - PIN_U_MM):
        assert tape(show, mm) in words
    for mm in (u1 - u0, v1 - v0):
        assert f"{tape(show, mm)} {units} over all" in words
    assert f"toe {tape(show, 0.75 * IN)}" in words
    assert f"pin hole {tape(show, 0.75 * IN)} dia." in words
    nose = next(s for s in plate.outline if isinstance(s, Arc) and abs(s.centre - plate.holes[0].circle.centre) < 1e-6)
    assert nose.radius == pytest.approx(1.25 * IN)
    assert f"nose R {tape(show, nose.radius)}" in words
    assert f"bend R {tape(show, 40.0)}" in words
    assert "W1 outside, W2 inside" in words
    assert f"mark {shape_mark(plate)}" in words


def test_what_a_hole_is_for_is_written_whatever_it_is_called():
    work = example_work("mm")
    plate = work.bracket.plates[0]
    renamed = replace(plate, holes=tuple(replace(hole, name="axle 7") for hole in plate.holes))
    words, before = words_of(plate_picture(work, renamed)), words_of(plate_picture(work, plate))
    assert [w for w in words if " hole " in w or w.startswith("nose R")] == [
        w for w in before if " hole " in w or w.startswith("nose R")
    ]
    other = replace(plate, holes=tuple(replace(hole, purpose="other") for hole in plate.holes))
    assert any(w.startswith("hole ") for w in words_of(plate_picture(work, other)))
    assert not any(w.startswith("nose R") for w in words_of(plate_picture(work, other)))


def test_station_strip_gives_the_notch_above_the_centre_line():
    work = example_work("in")
    words = words_of(plate_picture(work, work.bracket.plates[0]))
    # the first flat lies 35 + 95.25 mm above the centre line; the second rises 12 degrees from the bend's end
    assert words.count("5 1/8") >= 6
    at_ten = 130.25 + 40 * (1 - math.cos(math.radians(12)))
    at_ten += (10 * IN - (7 * IN + 40 * math.sin(math.radians(12)))) * math.tan(math.radians(12))
    assert f"{at_ten / IN:.3f}" in words
    assert [w for w in words if w in {str(n) for n in range(2, 12)}] == [str(n) for n in range(2, 12)]


def test_pictures_are_well_formed_named_and_told():
    work = example_work()
    pictures = [
        plate_picture(work, work.bracket.plates[0]), trace_picture(work.rail.traces[0], "in"), weld_maps(work)[0]
    ]  # fmt: skip
    for picture in pictures:
        root = ET.fromstring(picture)
        assert root.get("role") == "img"
        title, told = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title.get("id") == root.get("aria-labelledby")
        assert told.get("id") == root.get("aria-describedby")
        assert len(told.text) > 20
        assert "nan" not in picture
        standing = ET.fromstring(alone(picture))
        assert standing[0].tag == f"{SVG}style"
    assert len({ET.fromstring(p).get("aria-labelledby") for p in pictures}) == 3


def test_hole_and_radius_words_do_not_cover_each_other():
    for units in ("in", "mm"):
        for plate in example_work(units).bracket.plates:
            root = ET.fromstring(plate_picture(example_work(units), plate))
            boxes = []
            for text in root.iter(f"{SVG}text"):
                if text.get("transform") or not re.match(r"(pin hole|nose R|bend R|R |2 × R)", text.text):
                    continue
                size = float(text.get("font-size"))
                x, y, wide = float(text.get("x")), float(text.get("y")), 0.5 * size * len(text.text)
                left = x - (wide if text.get("text-anchor") == "end" else 0.0)
                boxes.append((left, y - size / 2, left + wide, y + size / 2))
            assert len(boxes) == 3
            for i, a in enumerate(boxes):
                for b in boxes[i + 1 :]:
                    assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def test_a_trace_s_drawing_names_bend_kick_and_the_doubtful_reading():
    picture = trace_picture(fitted(), "in")
    words = words_of(picture)
    assert "bend R 1 9/16 (1.575), kick 12.0°" in words
    assert "left out: off by 1 in" in words
    assert "off the fit, × 50" in words
    assert picture.count('class="ring"') == 1
    assert len(re.findall(r'class="reading(?: doubtful)?"', picture)) == 13 + 12, (
        "the wild one has an arrow in the strip"
    )


def test_pieces_are_said_as_the_trade_says_them():
    show = Show("mm")
    said = pieces_in_words(fitted(), show)
    assert said[0] == "flat, 177.8 mm long, in line with the straightedge"
    assert said[1] == "bend R 40.0 mm, kick 12.0° away from the straightedge"
    assert said[2] == "flat, 150.0 mm long, 12.0° away"
    corner = Chain((Line(0j, 50 + 0j), Line(50 + 0j, 90 - 40j)))
    assert pieces_in_words(replace(fitted(), chain=corner), show)[1] == "corner, kick 45.0° towards the straightedge"


def test_residuals_are_drawn_as_large_as_the_strip_allows():
    exact = replace(fitted(), residuals_mm=(0.0,) * 13, doubtful=())
    assert exaggeration(exact, 22.0) == 20
    assert exaggeration(replace(exact, residuals_mm=(11.0,) * 13), 22.0) == 2
    assert exaggeration(replace(exact, residuals_mm=(30.0,) * 13), 22.0) == 1


def test_stations_match_the_trace_and_lie_on_the_notch():
    plate = example_work().bracket.plates[0]
    found = stations(plate, IN)
    assert [round(s.along_mm / IN) for s in found] == list(range(2, 12))
    for station in found:
        assert station.point.real == pytest.approx(station.along_mm)
        assert plate.notch.distance(station.point) < 1e-6


def test_crossings_of_lines_and_arcs():
    half = Arc(-5 + 0j, 5 + 0j, -1.0)
    path = Chain((Line(-9 + 0j, -5 + 0j), half, Line(5 + 0j, 9 + 0j)))
    assert crossings(path, 1 + 0j, 3.0) == (pytest.approx(3 + 4j),)
    assert len(crossings(path, 1j, 4.0)) == 2
    assert crossings(path, 1j, 5.1) == ()
    assert crossings(path, 1 + 0j, -5.0) == (pytest.approx(-5 + 0j),), "a joint is crossed once"


def test_steps_are_round_and_few_enough():
    assert step_mm(9 * IN, "in", 10) == IN
    assert step_mm(9 * IN, "in", 8) == 2 * IN
    assert step_mm(300, "mm", 20) == 20.0


@pytest.mark.parametrize("degrees", range(-180, 181, 5))
def test_words_never_stand_on_their_heads(degrees):
    turn = math.degrees(readable(complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))))
    assert -75.0 - 1e-6 <= turn <= 105.0 + 1e-6
    assert math.isclose((turn - degrees) % 180.0 % 180.0, 0.0, abs_tol=1e-6) or math.isclose(
        (turn - degrees) % 180.0, 180.0, abs_tol=1e-6
    )


def test_a_dimension_too_short_for_its_words_puts_them_beside():
    drafter = Drafter(5.0)
    inside, beside = drafter.dimension(0j, 100 + 0j, -20j, "100"), drafter.dimension(0j, 10 + 0j, -20j, "10.000")
    assert 0 < float(re.search(r'<text x="([\d.]+)"', inside)[1]) < 100
    assert float(re.search(r'<text x="([\d.]+)"', beside)[1]) > 10


def test_each_ear_says_which_face_is_drawn():
    work = example_work()
    near, far = work.bracket.plates
    assert facing(work, near).startswith("THIS FACE IN")
    assert facing(work, far).startswith("THIS FACE OUT")


def test_the_shape_mark_follows_what_is_cut_and_nothing_else():
    plate = example_work().bracket.plates[0]
    mark = shape_mark(plate)
    assert re.fullmatch("[A-Z2-9]{6}", mark)
    assert shape_mark(replace(plate, name="other", steel="S355")) == mark
    assert shape_mark(replace(plate, thickness_mm=plate.thickness_mm + 0.01)) != mark
    hole = plate.holes[0]
    moved = replace(hole, circle=Circle(hole.circle.centre + 0.01, hole.circle.radius))
    assert shape_mark(replace(plate, holes=(moved,))) != mark


def test_runs_are_welded_outside_first_and_from_plate_to_plate():
    assert weld_order(example_work().bracket.welds) == {"W1": 1, "W3": 2, "W2": 3, "W4": 4}


def test_lengths_off_the_mark_carry_their_decimals():
    show = Show("in")
    assert tape(show, 34.925) == "1 3/8"
    assert tape(show, 40.0) == "1 9/16 (1.575)"
    assert tape(Show("mm"), 40.0) == "40.0"


def bolted(**changes) -> Plate:
    """A plate with two bolt holes and no pin, level in the plate frame, well away from the pin."""
    bolts = tuple(
        Hole(
            purpose="bolt",
            name=f"bolt {i + 1}",
            circle=Circle(complex(60 + 60 * i, 90), 7.0),
            bolt_mm=12.7,
            made="drill",
            edge_required_mm=19.0,
            edge_source="AISC 360-16 Table J3.4",
        )
        for i in range(2)
    )
    outline = Loop(
        (Line(20 + 60j, 160 + 60j), Line(160 + 60j, 160 + 140j), Line(160 + 140j, 20 + 140j), Line(20 + 140j, 20 + 60j))
    )
    plate = Plate(
        role="tab", name="tab", outline=outline, thickness_mm=10.0, steel="A36", placement=across_pin(0.0), holes=bolts
    )
    return replace(plate, notch=Chain(outline.segments[2:3]), **changes)


def test_a_plate_without_a_pin_is_measured_from_its_first_bolt():
    work = example_work("mm")
    plate = bolted()
    assert datum_of(work, plate) == Datum(60 + 90j, "level with bolt 1", "bolt 1")
    assert datum_of(work, work.bracket.plates[0]).line == "cylinder centre line"
    assert datum_of(work, replace(plate, holes=())) is None
    words = words_of(plate_picture(work, plate))
    assert words.count("40.0") == 2, "from the foot's ends to the bolts"
    assert words.count("60.0") == 1, "from bolt to bolt"
    assert words.count("50.0") >= 2, "from the bolts up to the notch"
    assert "2 × bolt hole 14.0 dia., punch and drill" in words


def test_slots_are_named_with_width_and_length():
    slot = Slot(
        name="bolt 3", ends=(80 + 110j, 100 + 110j), width_mm=9.0, bolt_mm=8.0, at=90 + 110j, edge_required_mm=12.0,
        edge_source="common practice, no source",
    )  # fmt: skip
    plate = bolted(slots=(slot,), openings=(slot.contour,))
    assert "slot 9.0 by 29.0" in words_of(plate_picture(example_work("mm"), plate))
    assert clearance(plate, 90 + 110j) == pytest.approx(-4.5), "there is no steel in a slot"
    assert clearance(replace(plate, openings=(slot.contour.reversed(),)), 90 + 110j) == pytest.approx(-4.5)
    assert clearance(plate, 90 + 124.5j) == pytest.approx(10.0)


def test_no_words_of_a_drawing_leave_the_picture():
    work = example_work()
    for plate in (*work.bracket.plates, bolted()):
        root = ET.fromstring(plate_picture(work, plate))
        x0, y0, wide, tall = (float(v) for v in root.get("viewBox").split())
        for text in root.iter(f"{SVG}text"):
            size, x, y = (float(text.get(k)) for k in ("font-size", "x", "y"))
            assert x0 <= x <= x0 + wide
            assert y0 + size / 2 <= y <= y0 + tall - size / 2
            if not text.get("transform"):
                reach = 0.5 * size * len(text.text)
                left = x - {"end": reach, "middle": reach / 2}.get(text.get("text-anchor"), 0.0)
                assert x0 <= left, text.text
                assert left + reach <= x0 + wide, text.text


def test_one_relief_of_several_arcs_is_named_once():
    work = work_of("quarry-screen-corner")
    ears = [plate for plate in work.bracket.plates if plate.role == "ear"]
    for picture in (plate_picture(work, ear) for ear in ears):
        assert "relief R 16.0" in picture
        assert "× relief" not in picture
