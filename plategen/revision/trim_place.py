"""The places of a job's bracket that an existing plate could take, and the bracket with the plate in one of them."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from plategen.bracket.model import STOOD_ON, Hole, Plate
from plategen.flat.chain import Chain
from plategen.flat.clip import between, extended
from plategen.flat.loop import Circle, Contour, Loop
from plategen.ground.in_words import in_words
from plategen.ground.message import joined, message, mm
from plategen.ground.refusal import Refusal
from plategen.make import standing
from plategen.revision.change import SAME_MM, same_contour, same_run
from plategen.revision.dxf_open import OpenedPlate
from plategen.revision.plate_on_rail import Seat
from plategen.work import Work

FOOT_ENDS = 0.05
"""Share of the foot at each end over which a gap does not decide: turning moves the plate's ends by a little."""

PIN_PLAY_MM = 1.6
"""A hole up to 1/16 in over the pin can be the pin's."""

PIN_UNDER_MM = 0.3
"""A hole drawn so much smaller than the pin can be the pin's as well, where none is large enough: a photograph, and a
calliper in a worn bore, tell a diameter no nearer."""

LEAST_RUN_MM = 1.0
"""A run that is left shorter is none."""

_RUN_OUT_MM = 150.0
_STEEPEST = 0.2
"""Least share of an edge's length by which its station grows, along a rail that only runs along."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place that a drawn plate could take: the job's plate and its pin hole there, and what is drawn.

    The drawn ``hole`` takes the pin; ``others`` are the drawn plate's other holes and openings.
    """

    plate: Plate
    bored: Hole
    outline: Loop
    hole: Circle
    others: tuple[Contour, ...]

    @property
    def rail_line(self) -> Chain:
        """The line that the plate's edge shall follow, towards growing stations, carried on beyond the foot."""
        return extended(along_stations(self.edge), _RUN_OUT_MM, _RUN_OUT_MM)

    @property
    def foot_mm(self) -> tuple[float, float]:
        """The stations between which the plate stands on the rail."""
        low, high = sorted((self.edge.start.real, self.edge.end.real))
        return low, high

    @property
    def deciding_foot_mm(self) -> tuple[float, float]:
        """The stations between which a gap decides."""
        low, high = self.foot_mm
        return low + FOOT_ENDS * (high - low), high - FOOT_ENDS * (high - low)

    @property
    def goes_round(self) -> bool:
        """True when the plate stands round the rail's corner, where no station tells what lies above what."""
        edges = along_stations(self.edge).segments
        return any(edge.end.real - edge.start.real < _STEEPEST * edge.length for edge in edges)

    @property
    def made_for_it(self) -> bool:
        """True when the drawn plate is the job's own, outline, holes and openings, as it is drawn."""
        shift = self.bored.circle.centre - self.hole.centre
        if not same_run(self.outline.moved(shift=shift).segments, self.plate.outline.segments):
            return False
        return _cut_alike(self.plate, (self.bored,), [contour.moved(shift=shift) for contour in self.others])

    def seated(self, contour: Contour, seat: Seat) -> Contour:
        """A contour of the drawing as it sits on the rail."""
        turn = complex(math.cos(seat.turn_rad), math.sin(seat.turn_rad))
        shift = self.bored.circle.centre + seat.slide_mm
        about = contour.moved(shift=-self.hole.centre)
        if seat.over:
            about = Circle(about.centre.conjugate(), about.radius) if isinstance(about, Circle) else about.mirrored()
        return about.moved(turn, shift)

    @property
    def edge(self) -> Chain:
        """The edge of the job's plate that meets the rail, or what it stands on."""
        assert self.plate.notch is not None  # chosen so
        return self.plate.notch


def places(work: Work, opened: OpenedPlate, name: str = "") -> tuple[Place, ...]:
    """The places that the plate could take with any of its holes on the pin, of the job's plate of that name or of all.

    Raises:
        Refusal: No hole of it takes the pin, or the job has no plate of that name.
    """
    if work.bracket.folded is not None:
        raise Refusal(
            "no edge of a bracket bent of one plate meets the rail, so none is trimmed to it; `plategen revise` is "
            "right: it says whether the plate that stands can stay"
        )
    own = [in_words(p.name) for p in work.cut_plates if p.pin_hole is None and _is_drawn(p, opened)]
    if own:
        raise Refusal(
            f"is the job's own {' or '.join(own)}, which holds no pin and is not trimmed; a plate with a pin hole is "
            "right"
        )
    return tuple(
        Place(plate, bored, opened.outline, hole, (*(c for c in opened.holes if c != hole), *opened.openings))
        for plate, bored in _wanted(work, name)
        for hole in _pin_holes(opened, work)
    )


def takes_pin(hole: Circle, pin_mm: float) -> bool:
    """True when a hole as drawn can be the pin's."""
    return pin_mm - SAME_MM <= 2 * hole.radius <= pin_mm + PIN_PLAY_MM


def along_stations(chain: Chain) -> Chain:
    """The chain towards growing stations."""
    return chain if chain.start.real < chain.end.real else chain.reversed()


def _wanted(work: Work, name: str) -> list[tuple[Plate, Hole]]:
    """The plates of the job that stand on the rail and hold the pin."""
    pairs = [
        (plate, plate.pin_hole)
        for plate in work.bracket.plates
        if plate.notch is not None and plate.pin_hole is not None and abs(plate.placement.normal[2]) > 1 - 1e-9
    ]
    chosen = [pair for pair in pairs if name in ("", pair[0].name)]
    if not chosen:
        names = ", ".join(plate.name for plate, _ in pairs)
        raise Refusal(f'no plate named "{name}" holds the pin on the rail; {names or "none of this style does"}')
    return chosen


def _pin_holes(opened: OpenedPlate, work: Work) -> tuple[Circle, ...]:
    pin_mm = work.bracket.pin.diameter_mm
    fits = tuple(circle for circle in opened.holes if takes_pin(circle, pin_mm))
    tight = tuple(circle for circle in opened.holes if pin_mm - PIN_UNDER_MM <= 2 * circle.radius < pin_mm)
    holes = fits or tight or tuple(Circle(centre, pin_mm / 2) for centre in opened.punched)
    if holes:
        return holes
    sizes = joined(", ", (message("{}", mm(2 * c.radius)) for c in opened.holes)) or "none at all"
    raise Refusal(message("has no hole for the pin of {}; its holes: {}; check the drawing's unit", mm(pin_mm), sizes))


def _is_drawn(plate: Plate, drawn: OpenedPlate) -> bool:
    """True when a plate is drawn as it is cut, wherever on the sheet."""
    shift = complex(*plate.outline.bounds[:2]) - complex(*drawn.outline.bounds[:2])
    inner: list[Contour] = [hole.moved(shift=shift) for hole in drawn.holes]
    inner += [opening.moved(shift=shift) for opening in drawn.openings]
    return same_run(drawn.outline.moved(shift=shift).segments, plate.outline.segments) and _cut_alike(plate, (), inner)


def _cut_alike(plate: Plate, but: Collection[Hole], drawn: Sequence[Contour]) -> bool:
    """True when the holes and openings that are cut in a plate, but for some, are those that are drawn."""
    holes = [hole.circle for hole in plate.holes if hole.made == "cut" and hole not in but]
    cut: list[Contour] = [*holes, *plate.openings]
    return len(drawn) == len(cut) and all(any(same_contour(one, other) for other in drawn) for one in cut)


def with_plate(
    work: Work,
    place: Place,
    outline: Loop,
    bore: Circle,
    others: tuple[Contour, ...],
    *,
    welded_mm: tuple[float, float],
    gap_mm: float,
    leg_mm: float,
) -> Work:
    """The job with the plate in that place, judged.

    Its outline, its pin hole and its other holes and openings are given as they then lie in the plate frame;
    ``welded_mm`` are the stations between which it can be welded, with a leg of ``leg_mm`` over at most ``gap_mm``.
    """
    used = plate_as_it_is(place, outline, bore, others)
    stands_on = {plate.name for plate in work.bracket.plates if plate.role in STOOD_ON}
    runs = []
    for run in work.bracket.welds:
        if run.plate != used.name or (run.joint == "tie" and run.other not in stands_on):
            runs.append(run)
        elif path := _part(run.path, welded_mm):
            runs.append(replace(run, path=path, gap_mm=max(gap_mm, run.gap_mm), leg_mm=leg_mm))
    # where it is welded its edge lies along the job's within the gap: it is judged as it stands there
    used = replace(used, notch=_part(place.edge, welded_mm))
    plates = tuple(used if plate.name == used.name else plate for plate in work.bracket.plates)
    bracket = replace(work.bracket, plates=plates, welds=tuple(runs))
    return standing(work.design, work.rail, bracket)


def plate_as_it_is(place: Place, outline: Loop, bore: Circle, others: tuple[Contour, ...]) -> Plate:
    """The plate with its own outline, holes and openings, in the place of the job's; its edge is no notch."""
    circles = (c for c in others if isinstance(c, Circle))
    holes = tuple(
        Hole(
            name=f"hole {i}", purpose="other", circle=c, bolt_mm=2 * c.radius, made="cut", edge_required_mm=0.0,
            edge_source="as drawn",
        )
        for i, c in enumerate(circles, 1)
    )  # fmt: skip
    openings = tuple(c for c in others if isinstance(c, Loop))
    return replace(
        place.plate, outline=outline, holes=(replace(place.bored, circle=bore), *holes), openings=openings, slots=(),
        notch=None, fit=None, legs=(), marks=(),
    )  # fmt: skip


def _part(edge: Chain, welded_mm: tuple[float, float]) -> Chain | None:
    """What is left of a run, or of an edge, between two stations; None if next to nothing is."""
    path = along_stations(edge)
    low, high = max(path.start.real, welded_mm[0]), min(path.end.real, welded_mm[1])
    if high - low < LEAST_RUN_MM:
        return None
    part = between(path, low, high)
    return part if path is edge else part.reversed()
