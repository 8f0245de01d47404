"""The surface ruled between traces, and carried on beyond them."""

import math

import pytest

from plategen.bracket.notch import fit_notch
from plategen.flat.chain import Chain
from plategen.flat.segment import Line, dot
from plategen.ground.refusal import Refusal
from plategen.rail.surface import Rail
from tests.rail.fit_rails import chain_of
from tests.support.corners import corner_profile, exact_rail

DRIFT = 0.2 + 0.1j
"""How far the corner wanders for each mm along the pin."""


def sharp_to_round(turn_deg: float, radius_mm: float) -> Rail:
    """Sharp in plane 0, bent in plane 60, as two traces of one rail may be fitted; the flats run on alike."""
    sections = [
        (w, corner_profile(200.0, 160.0, math.radians(turn_deg), radius, 0.02, 220 + 40j + w * DRIFT))
        for w, radius in ((0.0, 0.0), (60.0, radius_mm))
    ]
    return exact_rail(sections, 0.0)


@pytest.mark.parametrize("turn_deg", [-20.0, 20.0, 85.0])
@pytest.mark.parametrize("w_mm", [-15.0, -2.0, 0.0])
def test_a_corner_stays_a_corner_beyond_its_plane(turn_deg: float, w_mm: float) -> None:
    rail = sharp_to_round(turn_deg, 50.0 if turn_deg > 0.0 else -50.0)
    section = rail.section(w_mm)
    assert [type(edge) for edge in section] == [Line, Line]
    assert abs(section.segments[0].end - (220 + 40j + w_mm * DRIFT)) < 1e-9
    assert len(rail.ruled_edges(w_mm)) == len(rail.ruled_edges(30.0))


@pytest.mark.parametrize("turn_deg", [-20.0, 20.0])
def test_a_plate_beyond_a_corners_plane_is_cut_to_it(turn_deg: float) -> None:
    rail = sharp_to_round(turn_deg, math.copysign(50.0, turn_deg))
    notch = fit_notch(rail, (-10.0, 5.0), (60.0, 340.0), 0.0)
    assert notch.fit.overlap_mm < 0.02
    # over the plate's thickness the corner wanders by 3 mm along the rail and the flats by 1.5 mm across
    assert notch.fit.gap_near_mm < 15.0 * abs(DRIFT)
    assert all(dot(edge.start_tangent, 1 + 0j) > 0.8 for edge in notch.path)


def test_a_bend_that_shrinks_runs_out_where_its_radius_would_be_none() -> None:
    sections = [
        (w, corner_profile(200.0, 160.0, 0.35, radius, 0.0, 220 + 40j)) for w, radius in ((0.0, 20.0), (60.0, 80.0))
    ]
    rail = exact_rail(sections, 0.0)
    assert rail.planes_between(-40.0, 90.0) == pytest.approx((-40.0, -20.0, 90.0))
    assert len(rail.section(-19.0)) == 3
    assert len(rail.section(-21.0)) == 2


def test_a_flat_that_runs_out_between_its_bends_is_refused() -> None:
    def joggle(flat_mm: float) -> Chain:
        return chain_of(40j, 0.0, (150.0, 0.0), (20.0, 0.3), (flat_mm, 0.0), (20.0, -0.3), (150.0, 0.0))

    rail = exact_rail([(0.0, joggle(5.0)), (60.0, joggle(60.0))], 0.0)
    assert len(rail.section(-5.0)) == 5
    with pytest.raises(Refusal, match=r"beyond w0\.csv the flat near station .* runs out between its bends"):
        rail.section(-10.0)
