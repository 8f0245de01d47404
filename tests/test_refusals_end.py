"""Refusals end once, with what would be right, and where an amount is told, that amount is right."""

import pytest

from plategen.cut.kerf import compensated
from plategen.cut.part import Cut, CutPart
from plategen.flat.loop import polygon
from plategen.ground.cure import Change
from plategen.ground.ended import ended
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.job.change import changed
from plategen.nearest import with_nearest
from plategen.rules.hole_size import clearance_hole
from tests.support.designs import built
from tests.support.every_example import work_of
from tests.support.style_jobs import clamp, job, pad, seat


@pytest.mark.parametrize(
    ("given", "on"),
    [({}, "tube"), ({"pad": pad()}, "pad"), ({"made": "forged", "hold": "clamp", "clamp": clamp()}, "clamp")],
)
def test_a_pin_too_near_is_told_what_its_plates_stand_on(given: dict, on: str) -> None:
    low = job("seat", seat=seat(across_mm=90.0, **given), thickness_mm=8.0, inline_offset_mm=180.0)
    bracket = low.bracket.replaced(nose_radius_mm=178.0)
    with pytest.raises(Refusal, match=f"the nose reaches the {on}: radius 178.0 mm") as refused:
        built(low.replaced(bracket=bracket))
    assert "rail" not in str(refused.value)


def test_the_amount_that_builds_takes_the_place_of_the_general_end_and_of_the_key() -> None:
    general = ended(
        message("the first toe, {} high, has no room", mm(3.0)), "bracket.corner_radius", "a smaller corner"
    )
    wanted = changed(work_of("quarry-straight-rail").design.job, (Change("bracket.toe", size(20.0)),))

    def builds(tried: object) -> None:
        if tried.bracket.toe_mm != 22.0:  # type: ignore[attr-defined]
            raise Refusal("not so", "bracket.toe")

    found = with_nearest(general, wanted, builds)
    told = "bracket.toe: the first toe, 3.0 mm high, has no room; a toe of 22.0 mm is the nearest that can be built"
    assert str(found) == told
    unbuilt = with_nearest(general, wanted, lambda tried: builds(wanted))
    assert str(unbuilt).endswith("has no room; a smaller corner is right")


def test_a_bolt_of_no_standard_size_is_told_its_neighbours() -> None:
    with pytest.raises(Refusal) as refused:
        clearance_hole(11 / 16 * 25.4)
    assert str(refused.value.in_units("in")).endswith("; 5/8 in or 3/4 in is right")


def test_a_kerf_that_no_part_has_room_for_is_told_the_widest_that_goes() -> None:
    slot = polygon([0j, 100 + 0j, 100 + 50j, 60 + 50j, 60 + 20j, 52 + 20j, 52 + 50j, 50j])  # 8 mm wide
    part = CutPart(name="ear", outside=Cut(slot))
    right = "ear is too narrow.* a kerf of .* or less, or compensate = false is right"
    with pytest.raises(Refusal, match=right) as refused:
        compensated(part, 12.0)
    most = refused.value.message.quantities[-1].value
    assert most == pytest.approx(8.0, abs=0.1)
    compensated(part, most)
    with pytest.raises(Refusal):
        compensated(part, most + 0.2)
