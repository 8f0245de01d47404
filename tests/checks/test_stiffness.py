"""The give of a plate at its pin, against the textbook's cantilever."""

import math

import numpy as np
import pytest

from plategen.checks.stiffness import HOLE_GIVES, SHEAR_FACTOR, SHEAR_MPA, along_mm, aside_mm
from plategen.checks.swept import Span, Stresses, Swept
from plategen.flat.segment import Line
from plategen.rules.material import YOUNG_MPA, steel
from plategen.rules.plate_section import Edges, cut_sections
from tests.checks.bench import Bench

LONG, DEEP, THICK, FORCE = 300.0, 60.0, 10.0, 5000.0


def bar() -> Swept:
    """A plain bar, held at one end and loaded at the middle of the other."""
    corners = [-30j, LONG - 30j, LONG + 30j, 30j]
    edges = Edges.of([Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)])
    cuts = cut_sections(edges, THICK, 0j, 1 + 0j, np.linspace(0.0, LONG - 1e-5, 400))
    none = np.zeros((1, len(cuts.at_mm)))
    return Swept(
        plate="bar",
        steel=steel("S355", THICK),
        thickness_mm=THICK,
        span=Span(0j, 1 + 0j, LONG, LONG, math.inf),
        cuts=cuts,
        stresses=Stresses(none, none, none, none, none, none),
        cases=[""],
    )


def test_a_bar_across_its_length_is_the_textbooks_cantilever_with_shear() -> None:
    inertia = THICK * DEEP**3 / 12.0
    bent = FORCE * LONG**3 / (3.0 * YOUNG_MPA * inertia)
    sheared = SHEAR_FACTOR * FORCE * LONG / (SHEAR_MPA * THICK * DEEP)
    hole = HOLE_GIVES * FORCE / (YOUNG_MPA * THICK)
    assert along_mm(bar(), np.array([FORCE * 1j]))[0] == pytest.approx(bent + sheared + hole, rel=1e-4)


def test_a_bar_along_its_length_is_a_rod() -> None:
    stretched = FORCE * LONG / (YOUNG_MPA * THICK * DEEP)
    hole = HOLE_GIVES * FORCE / (YOUNG_MPA * THICK)
    assert along_mm(bar(), np.array([complex(FORCE)]))[0] == pytest.approx(stretched + hole, rel=1e-4)


def test_a_bar_out_of_its_plane_is_a_cantilever() -> None:
    inertia = DEEP * THICK**3 / 12.0
    assert aside_mm(bar(), 100.0) == pytest.approx(100.0 * LONG**3 / (3.0 * YOUNG_MPA * inertia), rel=1e-4)


def test_twice_the_push_moves_twice_as_far_and_a_shock_moves_nothing() -> None:
    def moves(**given: object) -> list[float]:
        return [f.demand for f in Bench(**given).findings() if f.of.subject == "stiffness"]  # type: ignore[arg-type]

    assert moves(pressure=20.0) == pytest.approx([2.0 * mm for mm in moves(pressure=10.0)], rel=1e-9)
    assert moves(rules={"shock_factor": 3.0}) == pytest.approx(moves(), rel=1e-9)


def test_a_tie_between_the_ears_stiffens_them_sideways() -> None:
    free, tied = (
        max(f.demand for f in Bench(tie=tie).findings() if f.check == "movement at the pin, sideways")
        for tie in (False, True)
    )
    assert tied < 0.6 * free
