"""The steel about a plate's pin hole, measured on its outline, openings and other holes in every way of the force."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from plategen.checks.load_path import Carrier
from plategen.checks.setting import REMEMBERED, Setting
from plategen.design.motion import LoadCase
from plategen.flat.segment import Segment
from plategen.ground.message import Message
from plategen.ground.space import dot
from plategen.rules.plate_section import Edges, reaches

_TURNS = (1 + 0j, 1j, -1j, complex(1, 1) / math.sqrt(2), complex(1, -1) / math.sqrt(2))


@dataclass(frozen=True, slots=True)
class Steelwork:
    """Steel about the hole in one direction of the force, distances from the hole's EDGE, mm."""

    way: complex  # Unit vector of the force in the plate's plane.
    force_n: float  # Force on this plate in its plane, shock included, load factor not.
    case: Message | str  # The load case.
    beyond_mm: float  # Beyond the hole, along the force (a).
    corner_mm: float  # The least of that and of 45 degrees to each side (c of AISC D5).
    beside_mm: float  # The least beside the hole, across the force (be; c of EN).
    edge_radius_mm: float  # Radius of the edge met by the force; infinite when straight.

    def with_nose(self, steel_mm: float, fixed_mm: tuple[float, float, float]) -> "Steelwork":
        """The steel with a nose that leaves so much all round the hole's edge.

        ``fixed_mm`` is what no nose gives of these three: the steel up to notch, openings and other holes.
        """
        ahead, corner, beside = fixed_mm
        return replace(
            self,
            beyond_mm=min(ahead, max(self.beyond_mm, steel_mm)),
            corner_mm=min(corner, max(self.corner_mm, steel_mm)),
            beside_mm=min(beside, max(self.beside_mm, steel_mm)),
        )

    def with_no_more(self, steel_mm: float) -> "Steelwork":
        """The steel with a smaller nose, which leaves so much all round the hole's edge."""
        beyond, corner, beside = (min(mm, steel_mm) for mm in (self.beyond_mm, self.corner_mm, self.beside_mm))
        return replace(self, beyond_mm=beyond, corner_mm=corner, beside_mm=beside)


def steelwork(setting: Setting, carrier: Carrier) -> tuple[Steelwork, ...]:
    """The steel about a plate's pin hole in the direction of each load case, those alike once."""
    return setting.once(("steelwork", carrier.plate.name), lambda: _steelwork(carrier, setting.cases))


@lru_cache(maxsize=REMEMBERED)
def _steelwork(carrier: Carrier, cases: tuple[LoadCase, ...]) -> tuple[Steelwork, ...]:
    plate = carrier.plate
    forces: dict[complex, Message | str] = {}
    for case in cases:
        f, u, v = case.force_n, plate.placement.u, plate.placement.v
        flat = complex(dot(f, u), dot(f, v))
        if abs(flat) > 1e-6:
            forces.setdefault(complex(round(flat.real, 6), round(flat.imag, 6)), case.name)
    ways = [force / abs(force) for force in forces]
    openings = [segment for opening in plate.openings for segment in opening]
    steel = _steel(carrier, [*plate.outline, *openings], ways)
    return tuple(
        Steelwork(way, abs(force) * carrier.share, name, *far)
        for way, (force, name), far in zip(ways, forces.items(), steel, strict=True)
    )


def fixed(carrier: Carrier, ways: tuple[Steelwork, ...]) -> list[tuple[float, float, float]]:
    """The steel up to notch, openings and other holes in each direction: ahead, corner and beside."""
    plate = carrier.plate
    segments = [*(plate.notch or ()), *(segment for opening in plate.openings for segment in opening)]
    return [far[:3] for far in _steel(carrier, segments, [way.way for way in ways])]


def _steel(carrier: Carrier, segments: list[Segment], ways: list[complex]) -> list[tuple[float, float, float, float]]:
    """From the hole's edge to the first of some edges or other holes, for each way of the force.

    Ahead, the least of that and of 45 degrees to each side, and the least across; then the radius of the edge ahead.
    """
    hole = carrier.hole
    edges = Edges.of(segments, [other.circle for other in carrier.plate.holes if other is not hole])
    distance, radius = reaches(edges, hole.circle.centre, [way * turn for way in ways for turn in _TURNS])
    rows = zip((distance - hole.circle.radius).reshape(-1, 5).tolist(), radius[::5].tolist(), strict=True)
    return [(ahead, min(ahead, one, other), min(left, right), r) for (ahead, left, right, one, other), r in rows]
