"""Style ``seat``: the other end of the cylinder, on a pair of tabs that stand on a round or a square tube.

The tabs lie across the pin like ears. On a tube along the cylinder each lies beside the tube's axis and its notch is a
straight line at the height of the chord there; over the plate's thickness the notch keeps to the highest of them. On a
tube along the pin the notch is the tube's own section.
"""

from dataclasses import dataclass, replace

from plategen.bracket.ears import EarPlace, ear_hole, ear_places, held_pin
from plategen.bracket.model import Bracket, Fit, Hole, Plate, WeldRun
from plategen.bracket.notch import joint_angle
from plategen.bracket.outline import EarShape, ear_outline
from plategen.bracket.seat_clamp import clamp
from plategen.bracket.seat_foot import foot_of, with_foot
from plategen.bracket.seat_pad import saddle_pad
from plategen.design.left_out import nose_and_toe
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.loop import Loop
from plategen.flat.offset import offset_chain
from plategen.flat.placement import across_pin
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.seat import Seat
from plategen.rail.tube import Tube

CORNER_OVER_WALL = 2.0
"""Outside corner radius of a square tube over its wall, where the job gives none (usual for detailing; they vary)."""

SHOWN_BEYOND_MM = 75.0
"""How much of the tube is drawn to each side of the seat."""

NOT_WELDED = (
    "Never weld a forged or heat-treated steering part: drag link ends, pitman and steering arms, knuckles, tie rod "
    "ends. Find out what the tube is before you strike an arc; when in doubt, clamp."
)
ALONG_THE_TUBE = "Weld along the tube, not across it, and leave the runs' ends clear of the pad's or the tabs' corners."
CHECK_TUBE = "The tube is checked only where it is welded; its bending and buckling are checked by the table [driven]."
CLAMPED = (
    "The clamp holds by friction: clean tube and cradles to bare dry steel, pull the bolts up evenly to their "
    "pretension, mark them and the tube, and look for movement after the first hour and at every service."
)
"""Notes of the sheet about a seat's tube and its welds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatNotch:
    """A tab's welded edge: its path with the tube's metal on the left, how it meets the tube, the slant at its faces.

    ``slope`` is the tangent of the surface's slant at the lower and the upper face, positive where it recedes towards
    larger w.
    """

    path: Chain
    fit: Fit
    slope: tuple[float, float]


def build_seat(job: Job) -> Bracket:
    """The tabs with what they stand on: tube, saddle pad, or clamp.

    Raises:
        Refusal: If a tab misses the tube or a plate is impossible.
    """
    seat, places, pin = seat_of(job), ear_places(job), ear_hole(job)
    nose_mm, toe_mm, chosen = nose_and_toe(job, pin, job.bracket.thickness_mm)
    job, tube, why = _seated(job, nose_mm)
    chosen += (why,) if why else ()
    shape = EarShape(
        pin=pin.circle.centre,
        hole_radius_mm=pin.circle.radius,
        nose_radius_mm=nose_mm,
        toe_mm=toe_mm,
        corner_radius_mm=job.bracket.corner_radius_mm,
    )
    on, other = tube, "tube"
    under: tuple[Plate, ...] = ()
    under_runs: tuple[WeldRun, ...] = ()
    if seat.pad is not None:
        on, other = tube.grown(seat.pad.thickness_mm, 0.0 if tube.round else seat.pad.width_mm / 2), "pad"
        under, under_runs = saddle_pad(job, seat.pad, tube, places)
    if seat.clamp is not None and seat.hold == "clamp":
        clamping = clamp(job, seat.clamp, tube, places)
        on, other = tube.grown(clamping.face_mm - tube.across_mm / 2, clamping.half_width_mm), "clamp_near"
        under, under_runs = clamping.plates, clamping.runs
    tabs: list[Plate] = []
    runs: list[WeldRun] = []
    for place in places:
        notch = seat_notch(on, place.faces_mm, foot_of(job), job.bracket.root_gap_mm)
        tabs.append(_tab(job, place, notch, ear_outline(notch.path, shape), pin))
        runs.extend(_runs(job, place, notch, other))
    runs.extend(under_runs)
    held = (CLAMPED,) if seat.hold == "clamp" else (ALONG_THE_TUBE, CHECK_TUBE)
    return Bracket(
        style="seat",
        plates=(*tabs, *under),
        welds=tuple(replace(run, name=f"W{number}") for number, run in enumerate(runs, start=1)),
        pin=held_pin(job, places),
        chosen=(*chosen, *_chosen_corner(seat)),
        cautions=(NOT_WELDED, *held),
    )


def seat_of(job: Job) -> Seat:
    """The job's ``[seat]`` table."""
    if job.seat is None:
        raise Refusal('missing; style "seat" needs the table [seat] with tube, across and made', "seat")
    return job.seat


def tube_of(job: Job) -> Tube:
    """The tube that the job's seat stands on, as far as it is drawn."""
    nose_mm, _, _ = nose_and_toe(job, ear_hole(job), job.bracket.thickness_mm)
    return _seated(job, nose_mm)[1]


def _seated(job: Job, nose_mm: float) -> tuple[Job, Tube, str]:
    """The job with its foot, the tube drawn beyond that, and the rule that chose the foot where one did."""
    seat, tube = seat_of(job), _tube(job)
    near, far = ear_places(job)
    job, why = with_foot(job, seat, tube, (near.faces_mm, far.faces_mm), nose_mm)
    first, last = foot_of(job)
    beyond, station = SHOWN_BEYOND_MM + seat.across_mm, job.mount.pin_station_mm
    shown = (first - station - beyond, last - station + beyond)
    if tube.along_pin:
        shown = (near.faces_mm[0] - beyond, far.faces_mm[1] + beyond)
    return job, replace(tube, shown_mm=shown), why


def _tube(job: Job) -> Tube:
    """The tube, of no length yet."""
    seat = seat_of(job)
    if seat.across_mm <= 2.0 * job.rail.wall_mm:
        raise Refusal("the wall fills the tube; less than half of `seat.across` is right", "rail.wall")
    corner = 0.0 if seat.tube == "round" else CORNER_OVER_WALL * job.rail.wall_mm
    if seat.corner_mm is not None:
        corner = seat.corner_mm
    if 2.0 * corner >= seat.across_mm:
        raise Refusal("corners of twice the wall use up the sides; give the tube's own `corner`", "seat.corner")
    near, far = ear_places(job)
    along_pin = seat.along == "pin"
    middle = (near.faces_mm[1] + far.faces_mm[0]) / 2
    station = job.mount.pin_station_mm
    axis_u = station if not along_pin or seat.axis_mm is None else seat.axis_mm
    return Tube(
        round=seat.tube == "round",
        across_mm=seat.across_mm,
        corner_mm=corner,
        wall_mm=job.rail.wall_mm,
        along_pin=along_pin,
        lean_rad=seat.lean_rad,
        axis=complex(axis_u, job.mount.inline_offset_mm),
        axis_w_mm=middle if along_pin or seat.axis_mm is None else seat.axis_mm,
        shown_mm=(0.0, 0.0),
    )


def seat_notch(
    tube: Tube, faces_mm: tuple[float, float], foot_mm: tuple[float, float], root_gap_mm: float
) -> SeatNotch:
    """The notch of a plate that lies across the pin and stands on a tube.

    Args:
        tube: The tube's surface, or that of the pad on it.
        faces_mm: w of the plate's two faces, the lower first.
        foot_mm: Stations at which the notch begins and ends.
        root_gap_mm: Standing gap asked for.

    Raises:
        Refusal: If the plate or its foot misses the tube.
    """
    if tube.along_pin:
        _refuse_foot_beside(tube, foot_mm)
        path = between(offset_chain(tube.section(0.0), -root_gap_mm), *foot_mm)
        fit = Fit(gap_near_mm=root_gap_mm, gap_far_mm=root_gap_mm, overlap_mm=0.0, expected_gap_mm=root_gap_mm)
        return SeatNotch(path=path, fit=fit, slope=(0.0, 0.0))
    low, high = faces_mm
    # the surface is highest in the plane through the axis and falls away to both sides
    highest = min(max(tube.axis_w_mm, low), high)
    heights = [tube.height(w - tube.axis_w_mm) for w in (low, highest, high)]
    path = between(offset_chain(tube.section(highest), -root_gap_mm), *foot_mm)
    near, far = heights[1] - heights[0] + root_gap_mm, heights[1] - heights[2] + root_gap_mm
    return SeatNotch(
        path=path,
        fit=Fit(gap_near_mm=near, gap_far_mm=far, overlap_mm=0.0, expected_gap_mm=max(near, far)),
        slope=(tube.slope(low), tube.slope(high)),
    )


def _refuse_foot_beside(tube: Tube, foot_mm: tuple[float, float]) -> None:
    half = tube.half_width_mm or tube.across_mm / 2
    first, last = tube.axis.real - half, tube.axis.real + half
    if foot_mm[0] <= first or foot_mm[1] >= last:
        raise Refusal(
            f"the foot runs from station {foot_mm[0]:.4g} to {foot_mm[1]:.4g} mm but the tube lies between {first:.4g} "
            f"and {last:.4g} mm; a foot within the tube is right",
            "mount.foot",
        )


def _tab(job: Job, place: EarPlace, notch: SeatNotch, outline: Loop, pin: Hole) -> Plate:
    return Plate(
        name=_tab_name(place.name),
        outline=outline,
        thickness_mm=job.bracket.thickness_mm,
        steel=job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=(pin,),
        notch=notch.path,
        fit=notch.fit,
    )


def _runs(job: Job, place: EarPlace, notch: SeatNotch, other: str) -> list[WeldRun]:
    """The two runs that hold a tab to what it stands on, the outside one first."""
    runs = []
    for side, towards in (("outside", place.outward), ("inside", -place.outward)):
        face = 0 if towards < 0 else 1
        slope = notch.slope[face]
        runs.append(
            WeldRun(
                name="",
                plate=_tab_name(place.name),
                other=other,
                side=side,
                path=notch.path,
                placement=across_pin(place.faces_mm[face]),
                leg_mm=job.weld.leg_mm,
                joint_angle_rad=joint_angle((slope, slope), towards),
                gap_mm=notch.fit.gap_far_mm if face else notch.fit.gap_near_mm,
                electrode=job.weld.electrode,
            )
        )
    return runs


def _chosen_corner(seat: Seat) -> tuple[str, ...]:
    if seat.tube == "round" or seat.corner_mm is not None:
        return ()
    return ("corner radius of the square tube: 2 x wall, as usual for detailing; corners vary by maker, so gauge it",)


def _tab_name(ear: str) -> str:
    return f"tab{ear.removeprefix('ear')}"
