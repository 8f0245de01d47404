"""Can an existing plate serve the rail as it is traced now, with the pin where it must be?

The plate may turn about its pin hole, be turned over, and slide along the cylinder's line within a given play. What
stands beyond the rail is trimmed; what stays short of it is a gap, and the fit-up rule decides: to 1/16 in as it is,
to 3/16 in with the leg grown by the gap, more is refused (AWS D1.1 5.21, 7.21 in newer editions).
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from plategen.bracket.model import Bracket, Hole, Plate, WeldRun
from plategen.checks.finding import Finding
from plategen.checks.judge import judge
from plategen.flat.chain import Chain
from plategen.flat.clip import between, extended
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_open import OpenedPlate
from plategen.revision.trim_cut import kept_below
from plategen.revision.trim_search import Line2, PlateOnRail, Seat, best_seat, cost
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.work import Work

Verdict: TypeAlias = Literal["fits", "trim", "trim and larger leg", "cut new"]
"""What can be done with a plate."""

FOOT_ENDS = 0.05
"""Share of the foot at each end over which a gap does not decide: turning moves the plate's ends by a little."""

PROUD_MM = 0.25
"""Less than this beyond the rail is dressed with a file, and no trimming."""

PIN_PLAY_MM = 1.6
"""A hole up to 1/16 in over the pin can be the pin's."""

_RUN_OUT_MM = 150.0
_HAIRS_MM = (0.002, 0.02, 0.06, 0.1, 0.2)
_SPAN_STEP_MM = 0.5


@dataclass(frozen=True, slots=True)
class Short:
    """A span of stations over which the plate stays short of the rail by more than 1/16 in, and by how much at most."""

    from_mm: float
    to_mm: float
    gap_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trimmed:
    """The answer.

    Args:
        plate: The job's plate whose place it takes.
        verdict: What can be done with it.
        seat: How it sits; see :class:`~plategen.revision.trim_search.Seat`.
        before: Its outline as it sits, in the plate frame.
        after: Its outline once trimmed.
        hole: Its pin hole as it sits.
        inside: Its other holes and openings as they sit.
        cuts: The trim line, in the pieces that are cut.
        removed_mm2: Area trimmed away.
        gap_mm: Largest gap that stays.
        leg_mm: Weld leg then wanted.
        short: Where it is short.
        weld_mm: Length of the edge that can be welded, of ``weld_asked_mm`` on a new plate.
        weld_asked_mm: That.
        edge_mm: From the pin hole's centre to the nearest edge after trimming, and ``edge_required_mm`` by the rule.
        edge_required_mm: That.
        findings: The checks of the bracket with this plate in it.
        reasons: Why it cannot be used, or what to heed, a line each.
    """

    plate: Plate
    verdict: Verdict
    seat: Seat
    before: Loop
    after: Loop
    hole: Circle
    inside: tuple[Circle | Loop, ...]
    cuts: tuple[Chain, ...]
    removed_mm2: float
    gap_mm: float
    leg_mm: float
    short: tuple[Short, ...]
    weld_mm: float
    weld_asked_mm: float
    edge_mm: float
    edge_required_mm: float
    findings: tuple[Finding, ...]
    reasons: tuple[str, ...]


def trim(
    work: Work,
    opened: OpenedPlate,
    *,
    name: str = "",
    play_mm: float = 0.0,
    most_turn_rad: float = math.pi,
    may_turn_over: bool = True,
) -> Trimmed:
    """The best that can be made of an existing plate.

    Args:
        work: The job carried through on the rail as now traced.
        opened: The existing plate.
        name: The job's plate whose place it shall take; the one it fits best if left out.
        play_mm: How far the pin may slide along the cylinder's line either way.
        most_turn_rad: How far the plate may turn either way from how it is drawn.
        may_turn_over: True when its other face may be up.

    Raises:
        Refusal: No hole of it takes the pin, or the job has no plate of that name.
    """
    holes = _pin_holes(opened, work)
    tried: list[_Tried] = []
    for plate, bored in _wanted(work, name):
        rail = _rail_line(plate)
        for hole in holes:
            others: tuple[Circle | Loop, ...] = (*(c for c in opened.holes if c != hole), *opened.openings)
            on_rail = PlateOnRail(
                opened.outline, (hole, *others), hole.centre, Line2.of(rail), bored.circle.centre, deciding_foot(plate)
            )
            seat = best_seat(on_rail, most_turn_rad, play_mm, (False, True) if may_turn_over else (False,))
            tried.append(_Tried(plate, bored, hole, others, on_rail, seat))
    return _answer(work, opened.outline, min(tried, key=lambda one: cost(one.seat)))


def fit_verdict(gap_mm: float, proud_mm: float) -> Verdict:
    """What the fit-up rule says of a gap that stays after trimming.

    >>> fit_verdict(1.0, 0.0), fit_verdict(1.0, 3.0), fit_verdict(3.0, 0.0), fit_verdict(5.0, 0.0)
    ('fits', 'trim', 'trim and larger leg', 'cut new')
    """
    if gap_mm > GAP_LARGEST_MM:
        return "cut new"
    if gap_mm > GAP_AS_IS_MM:
        return "trim and larger leg"
    return "trim" if proud_mm > PROUD_MM else "fits"


def deciding_foot(plate: Plate) -> tuple[float, float]:
    """The stations between which a gap decides."""
    low, high = _foot(plate)
    return low + FOOT_ENDS * (high - low), high - FOOT_ENDS * (high - low)


def seated(contour: Loop | Circle, hole: complex, seat: Seat, pin: complex) -> Loop | Circle:
    """A contour of the drawing as it sits on the rail."""
    turn, shift = complex(math.cos(seat.turn_rad), math.sin(seat.turn_rad)), pin + seat.slide_mm
    if isinstance(contour, Circle):
        centre = contour.centre - hole
        return Circle((centre.conjugate() if seat.over else centre) * turn + shift, contour.radius)
    about = contour.moved(shift=-hole)
    return (about.mirrored() if seat.over else about).moved(turn, shift)


def _wanted(work: Work, name: str) -> list[tuple[Plate, Hole]]:
    """The plates of the job that stand on the rail and hold the pin."""
    pairs = [
        (plate, hole)
        for plate in work.bracket.plates
        for hole in plate.holes
        if plate.notch is not None and hole.purpose == "pin" and abs(plate.placement.normal[2]) > 1 - 1e-9
    ]
    chosen = [pair for pair in pairs if name in ("", pair[0].name)]
    if not chosen:
        names = ", ".join(plate.name for plate, _ in pairs)
        raise Refusal(f'no plate named "{name}" holds the pin on the rail; {names or "none of this style does"}')
    return chosen


def _pin_holes(opened: OpenedPlate, work: Work) -> tuple[Circle, ...]:
    pin = work.bracket.pin.diameter_mm
    fits = tuple(c for c in opened.holes if pin - 0.05 <= 2 * c.radius <= pin + PIN_PLAY_MM)
    if fits:
        return fits
    drilled = tuple(Circle(centre, pin / 2) for centre in opened.punched)
    if drilled:
        return drilled
    sizes = ", ".join(f"{2 * c.radius:.4g} mm" for c in opened.holes) or "none at all"
    raise Refusal(f"has no hole for the pin of {pin:.4g} mm; its holes: {sizes}; check the drawing's unit")


def _rail_line(plate: Plate) -> Chain:
    """The line that the plate's edge shall follow, towards growing stations, carried on straight beyond the foot."""
    assert plate.notch is not None  # chosen so
    line = plate.notch if plate.notch.start.real < plate.notch.end.real else plate.notch.reversed()
    return extended(line, _RUN_OUT_MM, _RUN_OUT_MM)


def _foot(plate: Plate) -> tuple[float, float]:
    assert plate.notch is not None
    ends = sorted((plate.notch.start.real, plate.notch.end.real))
    return ends[0], ends[1]


@dataclass(frozen=True, slots=True)
class _Tried:
    """One place that the plate could take, its pin hole in that case, and how it sits best."""

    plate: Plate
    bored: Hole
    hole: Circle
    others: tuple[Circle | Loop, ...]
    on_rail: PlateOnRail
    seat: Seat


def _answer(work: Work, outline: Loop, tried: _Tried) -> Trimmed:
    plate, bored, hole, seat, on_rail = tried.plate, tried.bored, tried.hole, tried.seat, tried.on_rail
    pin = bored.circle.centre
    before = seated(outline, hole.centre, seat, pin)
    bore = seated(hole, hole.centre, seat, pin)
    assert isinstance(before, Loop) and isinstance(bore, Circle)  # noqa: PT018
    others = tuple(seated(c, hole.centre, seat, pin) for c in tried.others)
    after, cuts = _cut(before, _rail_line(plate), bore.centre)
    short = tuple(_short(on_rail, seat))
    from_mm, to_mm = _welded(on_rail, seat, _foot(plate))
    line = _rail_line(plate)
    path = between(line, from_mm, to_mm) if to_mm - from_mm > 1.0 else None
    leg = work.job.weld.leg_mm + (seat.gap_mm if seat.gap_mm > GAP_AS_IS_MM else 0.0)
    edge = after.distance(bore.centre)
    verdict = fit_verdict(seat.gap_mm, seat.proud_mm)
    reasons: list[str] = []
    findings: tuple[Finding, ...] = ()
    if verdict != "cut new" and path is not None:
        findings = _judged(work, plate, bored, after, bore, path, seat.gap_mm, leg)
        stops = tuple(_new_stops(findings, work.findings))
        reasons += stops
        reasons += _broken(others, cuts)
        if stops or edge < bored.edge_required_mm - 0.01:
            verdict = "cut new"
    return Trimmed(
        plate=plate, verdict=verdict, seat=seat, before=before, after=after, hole=bore, inside=others, cuts=cuts,
        removed_mm2=before.area - after.area, gap_mm=seat.gap_mm, leg_mm=leg, short=short,
        weld_mm=path.length if path else 0.0, weld_asked_mm=plate.notch.length if plate.notch else 0.0,
        edge_mm=edge, edge_required_mm=bored.edge_required_mm, findings=findings, reasons=tuple(reasons),
    )  # fmt: skip


def _cut(before: Loop, line: Chain, bore: complex) -> tuple[Loop, tuple[Chain, ...]]:
    """The piece that holds the pin, cut a hair below the line, and so much lower that no edge is too short to cut."""
    best: tuple[Loop, tuple[Chain, ...]] = (before, ())
    for hair in _HAIRS_MM:
        for piece in kept_below(before, line.moved(shift=-hair * 1j)):
            if inside(piece.outline, bore):
                best = (piece.outline, piece.cuts)
                if min(edge.length for edge in piece.outline) >= SHORTEST_EDGE_MM:
                    return best
    return best


def _short(on_rail: PlateOnRail, seat: Seat) -> Iterator[Short]:
    """Spans in which the gap is more than 1/16 in."""
    stations, gaps, _ = on_rail.profile(seat)
    begin, worst, last = None, 0.0, 0.0
    for u, gap in zip(stations.tolist(), gaps.tolist(), strict=True):
        if gap > GAP_AS_IS_MM:
            begin, worst, last = (u if begin is None else begin), max(worst, gap), u
        elif begin is not None:
            yield Short(begin, last, worst)
            begin, worst = None, 0.0
    if begin is not None:
        yield Short(begin, last, worst)


def _welded(on_rail: PlateOnRail, seat: Seat, foot: tuple[float, float]) -> tuple[float, float]:
    """The longest span of the foot in which the gap can be welded."""
    count = max(2, math.ceil((foot[1] - foot[0]) / _SPAN_STEP_MM))
    stations = [foot[0] + (foot[1] - foot[0]) * i / count for i in range(count + 1)]
    gaps = on_rail.gaps_at(seat, stations)
    best, begin = (foot[0], foot[0]), None
    for u, gap in zip(stations, gaps, strict=True):
        if gap <= GAP_LARGEST_MM:
            begin = u if begin is None else begin
            best = max(best, (begin, u), key=lambda span: span[1] - span[0])
        else:
            begin = None
    return best


def _judged(
    work: Work, plate: Plate, bored: Hole, after: Loop, bore: Circle, path: Chain, gap_mm: float, leg_mm: float
) -> tuple[Finding, ...]:
    """The checks with this plate and its welds in the place of the new one's."""
    turned = path if plate.notch and plate.notch.start.real < plate.notch.end.real else path.reversed()
    used = replace(plate, outline=after, holes=(replace(bored, circle=bore),), notch=None, fit=None, marks=())

    def welded(run: WeldRun) -> WeldRun:
        if run.plate != plate.name or run.joint != "rail":
            return run
        return replace(run, path=turned, gap_mm=max(gap_mm, run.gap_mm), leg_mm=leg_mm)

    bracket: Bracket = replace(
        work.bracket,
        plates=tuple(used if p.name == plate.name else p for p in work.bracket.plates),
        welds=tuple(welded(run) for run in work.bracket.welds),
    )
    return judge(work.job, bracket, work.design.motion.cases)


def _new_stops(findings: tuple[Finding, ...], before: tuple[Finding, ...]) -> Iterator[str]:
    """Checks that say stop with this plate and did not with a new one."""
    stopped = {(f.check, f.part) for f in before if f.verdict == "stop"}
    for f in findings:
        if f.verdict == "stop" and not f.opinion and (f.check, f.part) not in stopped:
            yield f"{f.check}, {f.part}: {f.ratio:.2f} of what it can take; a new plate holds"


def _broken(others: tuple[Circle | Loop, ...], cuts: tuple[Chain, ...]) -> Iterator[str]:
    for contour in others:
        centre = contour.centre if isinstance(contour, Circle) else contour.segments[0].start
        reach = contour.radius if isinstance(contour, Circle) else 0.0
        if any(cut.distance(centre) < reach for cut in cuts):
            yield f"the trim line runs through the hole at u {centre.real:.4g}, v {centre.imag:.4g} mm"
