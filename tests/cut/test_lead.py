"""Leads: tangent, in the scrap, away from corners and notch, pierced clear of every edge."""

import math

import pytest
import shapely

from plategen.bracket.model import Plate
from plategen.cut.dxf_read import read_dxf
from plategen.cut.kerf import compensated
from plategen.cut.lead import LeadRule, led, pierce
from plategen.cut.part import Cut, CutPart, cut_part
from plategen.cut.proof import proved_dxf
from plategen.cut.table.cutting import APART_MM, side_by_side
from plategen.cut.table.notes import cut_time
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.ground.refusal import Refusal
from plategen.rules.cutting_feed import feed
from tests.support.cut_examples import hole, keyhole_plate, rectangle, slotted_plate
from tests.support.example_work import example_work

RULE = LeadRule(radius_mm=6.0, pierce_clear_mm=5.0, corner_clear_mm=10.0)
PLATES = [slotted_plate(), keyhole_plate(), *example_work().bracket.plates]
plates = pytest.mark.parametrize("plate", PLATES, ids=lambda p: p.name)


def polygon(contour) -> shapely.Polygon:
    return shapely.Polygon([(p.real, p.imag) for s in contour.segments for p in (s.point(k / 90) for k in range(90))])


@plates
@pytest.mark.parametrize("kerf", [0.0, 1.5])
def test_leads_are_tangent_and_lie_in_the_scrap(plate: Plate, kerf: float) -> None:
    part = led(compensated(cut_part(plate), kerf), RULE, plate.notch)
    steel = polygon(part.outside.contour)
    for cut in part.inside:
        steel = steel.difference(polygon(cut.contour))
    for cut in part.cuts:
        assert cut.lead_in is not None
        assert cut.lead_out is not None
        at = cut.lead_in.end
        assert cut.lead_out.start == pytest.approx(at)
        ahead = cut.lead_in.segments[-1].end_tangent
        assert cut.lead_out.segments[0].start_tangent == pytest.approx(ahead)
        if isinstance(cut.contour, Loop):
            assert cut.contour.segments[0].start == pytest.approx(at)
            assert cut.contour.segments[0].start_tangent == pytest.approx(ahead)
            assert cut.contour.segments[-1].end_tangent == pytest.approx(ahead), "met in the middle of an edge"
        else:
            assert abs(at - cut.contour.centre) == pytest.approx(cut.contour.radius)
            # anticlockwise round a hole: the part stays on the right of the torch
            assert ahead == pytest.approx(1j * (at - cut.contour.centre) / cut.contour.radius)
        for chain in (cut.lead_in, cut.lead_out):
            for k in range(1, 20):
                share = k / 20
                p = chain.point(chain.length * share)
                assert steel.distance(shapely.Point(p.real, p.imag)) > 0.0 or abs(p - at) < 2.0
                assert not steel.buffer(-0.02).contains(shapely.Point(p.real, p.imag))
    area = part.outside.contour.area
    assert area < 0.0, "outside runs clockwise"


@plates
def test_pierces_keep_clear_and_leads_keep_off_the_notch(plate: Plate) -> None:
    part = led(cut_part(plate), RULE, plate.notch)
    for cut in part.cuts:
        p = pierce(cut)
        clear = min(min(abs(s.point(s.nearest(p)) - p) for s in other.contour.segments) for other in part.cuts)
        assert clear >= RULE.pierce_clear_mm * 0.2
    if plate.notch:
        at = part.outside.lead_in.end
        assert plate.notch.distance(at) >= RULE.corner_clear_mm
        corners = [s.start for s in plate.outline]
        assert min(abs(c - at) for c in corners) >= RULE.corner_clear_mm


def test_a_small_hole_is_pierced_at_its_centre() -> None:
    part = CutPart(name="p", outside=Cut(rectangle(60, 60)), inside=(Cut(Circle(30 + 30j, 5.0)),))
    (cut,) = led(part, RULE).inside
    assert pierce(cut) == pytest.approx(30 + 30j)
    assert abs(cut.lead_in.end - (30 + 30j)) == pytest.approx(5.0)


def test_no_room_is_refused() -> None:
    part = CutPart(name="p", outside=Cut(rectangle(60, 60)), inside=(Cut(rectangle(30, 2, 10 + 10j)),))
    with pytest.raises(Refusal, match="no room for a lead"):
        led(part, RULE)


def test_leads_go_to_their_own_layer_and_outlines_stay_closed() -> None:
    part = led(compensated(cut_part(slotted_plate()), 1.5), RULE)
    drawn = read_dxf(proved_dxf([part], "in"))
    assert len(drawn.on("CUT-OUTSIDE")) == 1
    assert len(drawn.on("CUT-INSIDE")) == 2
    assert [layer for layer, _ in drawn.chains if layer != "SCRIBE"].count("LEAD") == 3, "in and out meet"


def test_path_pierces_and_time() -> None:
    plate = Plate(
        role="ear", name="p", outline=rectangle(100, 50), thickness_mm=10.0, steel="A36", placement=across_pin(0.0),
        holes=(hole("pin", 50 + 25j, 20.0),),
    )  # fmt: skip
    part = cut_part(plate)
    told = cut_time([part], "plasma", 10.0)
    assert told.length_mm == pytest.approx(300 + math.pi * 20)
    assert told.pierces == 2
    cutting = told.length_mm / 1500 + 2 * 0.7 / 60
    assert told.minutes == pytest.approx(cutting + told.rapid_mm / 10000)
    assert told.source == "common practice, no source"
    assert cut_time([part], "plasma", 200.0).minutes is None
    assert feed("plasma", 11.0).feed_mm_per_min == pytest.approx(1350.0)
    with pytest.raises(Refusal, match=r"tabulated up to 25\.0 mm, not 30\.0 mm"):
        feed("laser", 30.0)


def test_parts_in_a_row_keep_their_leads_apart() -> None:
    part = led(cut_part(slotted_plate()), LeadRule(radius_mm=25.0, pierce_clear_mm=20.0, corner_clear_mm=20.0))
    sideways = part.moved(1j)
    first, second = side_by_side([sideways, sideways.moved(-1 + 0j)])
    for one, other in ((first, second), (second, first)):
        pierced = pierce(one.outside)
        assert polygon(other.outside.contour).distance(shapely.Point(pierced.real, pierced.imag)) >= APART_MM - 1e-6
