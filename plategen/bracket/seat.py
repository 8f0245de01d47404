"""Style ``seat``: the other end of the cylinder, on a pair of tabs that stand on a round or a square tube.

The tabs lie across the pin like ears. On a tube along the cylinder each lies beside the tube's axis and its notch is a
straight line at the height of the chord there; over the plate's thickness the notch keeps to the highest of them. On a
tube along the pin the notch is the tube's own section.
"""

from dataclasses import replace

from plategen.bracket.holes import held_pin
from plategen.bracket.meeting import as_drawn
from plategen.bracket.model import Bracket, Fit, Plate, WeldRun
from plategen.bracket.notch import Notch
from plategen.bracket.standing import pin_plate, standing_runs
from plategen.bracket.style import Settled, Style, first_built
from plategen.bracket.under_tabs import UnderTabs, under_tabs
from plategen.design.design import Chosen, Design, Sizes, relief_radius, toe_height
from plategen.design.motion import tables_of
from plategen.design.on_tube import corner_reason, foot_on_tube, nose_on_tube, seat_of, seat_places
from plategen.design.places import PinPlace
from plategen.flat.clip import between
from plategen.flat.offset import offset_chain
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rail.tube import Tube
from plategen.rules.edge_distance import least_edge_distance

NOT_WELDED = message(
    "Never weld a forged or heat-treated steering part: drag link ends, pitman and steering arms, knuckles, tie rod "
    "ends. Find out what the tube is before you strike an arc; when in doubt, clamp."
)
ALONG_THE_TUBE = message(
    "Weld along the tube, not across it, and leave the runs' ends clear of the pad's or the tabs' corners."
)
CHECK_TUBE = message(
    "The tube is checked only where it is welded; its bending and buckling are checked once the rod's sizes are given, "
    "under [driven] or at the steering's rod."
)
CLAMPED = message(
    "The clamp holds by friction: clean tube and cradles to bare dry steel, pull the bolts up evenly to their "
    "pretension, mark them and the tube, and look for movement after the first hour and at every service."
)
"""Notes of the sheet about a seat's tube and its welds."""


def choose_sizes(job: Job, pin: PinPlace, tube: Tube) -> Sizes:
    """Nose, toe and foot of the tabs; a tube has no corner to relieve.

    Raises:
        Refusal: If the tabs miss the tube.
    """
    nose = nose_on_tube(job, pin, tube)
    return Sizes(
        nose=nose,
        toe=toe_height(job, job.bracket.thickness_mm),
        relief=relief_radius(job),
        foot=foot_on_tube(job, pin, tube, nose.mm),
    )


def build_seat(design: Design, tube: Tube) -> Bracket:
    """The tabs with what they stand on: tube, saddle pad, or clamp.

    Raises:
        Refusal: If a tab misses the tube or a plate is impossible.
    """
    job, seat, places = design.job, seat_of(design.job), seat_places(design.job, design.pin)
    under = under_tabs(design, seat, tube)
    tabs: list[Plate] = []
    runs: list[WeldRun] = []
    for place, notch in zip(places, _notches_on(under, design), strict=True):
        tabs.append(pin_plate(design, place, "tab", notch))
        runs.extend(standing_runs(job, place, notch, under.joint, under.name))
    corner = corner_reason(seat)
    return Bracket(
        style="seat",
        plates=(*tabs, *under.plates),
        welds=(*runs, *under.runs),
        pin=held_pin(design, places),
        chosen=(*design.reasons(relieved=False), *((corner,) if corner else ())),
        cautions=(NOT_WELDED, CLAMPED) if seat.hold == "clamp" else (NOT_WELDED, ALONG_THE_TUBE, CHECK_TUBE),
    )


def seat_notches(design: Design, tube: Tube) -> tuple[Notch, ...]:
    """The notches of the near and the far tab on what they stand on.

    Raises:
        Refusal: If a tab misses the tube, or what it would stand on cannot be.
    """
    return _notches_on(under_tabs(design, seat_of(design.job), tube), design)


def _notches_on(under: UnderTabs, design: Design) -> tuple[Notch, ...]:
    stations, root_gap_mm = design.foot.foot.stations, design.job.bracket.root_gap_mm
    places = seat_places(design.job, design.pin)
    return tuple(seat_notch(under.surface, place.faces_mm, stations, root_gap_mm) for place in places)


def settle_nose(design: Design, tube: Tube) -> Settled:
    """The design with a nose that the toes of a narrow foot clear, where a rule chooses it; lower toes if need be."""
    job = design.job
    if job.bracket.nose_radius_mm is not None:
        return design, None
    why = message("as large as the narrow foot leaves room for, no less than the edge-distance rule")
    least_mm, leg_mm = least_edge_distance(job.cylinder.base.pin_mm, tables_of(job)).mm, job.weld.leg_mm
    noses = [
        design.nose,
        *(Chosen(r, message("nose radius {}", why)) for r in PLATE_SIZES.below(design.nose.mm, job.units, least_mm)),
    ]
    lower = PLATE_SIZES.below(design.toe.mm, job.units, leg_mm) if job.bracket.toe_mm is None else ()
    toes = [design.toe, *(Chosen(h, message("toe {}, a weld leg", why)) for h in lower)]
    tried = (replace(design, nose=nose, toe=toe) for toe in toes for nose in noses)
    return first_built(tried, lambda each: build_seat(each, tube)) or (design, None)


def seat_notch(tube: Tube, faces_mm: tuple[float, float], foot_mm: tuple[float, float], root_gap_mm: float) -> Notch:
    """The notch of a plate across the pin on the surface of a tube or a pad, between two stations.

    Raises:
        Refusal: If the plate or its foot misses the tube.
    """
    if tube.along_pin:
        _refuse_foot_beside(tube, foot_mm)
        section, near, far, slopes = tube.section(0.0), root_gap_mm, root_gap_mm, (0.0, 0.0)
    else:
        low, high = faces_mm
        # the surface is highest in the plane through the axis and falls away to both sides
        highest = min(max(tube.axis_w_mm, low), high)
        heights = [tube.height(w - tube.axis_w_mm) for w in (low, highest, high)]
        near, far = heights[1] - heights[0] + root_gap_mm, heights[1] - heights[2] + root_gap_mm
        section, slopes = tube.section(highest), (tube.slope(low), tube.slope(high))
    path = between(offset_chain(section, -root_gap_mm), *foot_mm)
    return Notch(
        path=path,
        fit=Fit(gap_near_mm=near, gap_far_mm=far, overlap_mm=0.0, meeting=as_drawn((path,), (near, far))),
        slope=((slopes[0],) * 2, (slopes[1],) * 2),
    )


def _refuse_foot_beside(tube: Tube, foot_mm: tuple[float, float]) -> None:
    half = tube.half_width_mm or tube.across_mm / 2
    first, last = tube.axis.real - half, tube.axis.real + half
    if foot_mm[0] <= first or foot_mm[1] >= last:
        words = (
            "the foot runs from station {} to {} but the tube lies between {} and {}; a foot within the tube is right"
        )
        raise Refusal(message(words, mm(foot_mm[0]), mm(foot_mm[1]), mm(first, "up"), mm(last, "down")), "mount.foot")


STYLE = Style(
    name="seat",
    sizes=choose_sizes,
    settle=settle_nose,
    build=build_seat,
    fitted=lambda job, plane_mm: (),  # a tube is known by its size, and nothing is fitted to a trace
    examples=("quarry-clamped-seat", "vineyard-drag-link-seat"),
)
"""Tabs on a tube, for the cylinder's moving end."""
