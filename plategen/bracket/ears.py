"""Style ``ears``: two plates standing on the rail, one on each side of the eye they hold, or one within a fork.

What stiffens or closes them is loaded where a job asks for it.
"""

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from plategen.bracket.holes import held_pin
from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.bracket.notch import fit_notch
from plategen.bracket.standing import pin_plate, standing_runs
from plategen.bracket.style import Settled, Style, first_built
from plategen.design.design import Chosen, Design, Sizes, nose_radius, relief_radius, toe_height
from plategen.design.foot import Asked, foot_on_rail, under_pin
from plategen.design.places import PinPlace, refuse_beyond_traces, standing_places
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.doubler import Doubler
from plategen.rail.corner import corners
from plategen.rail.surface import Rail

if TYPE_CHECKING:
    from plategen.design.doubler_plan import DoublerPlan

_REMEMBERED = 16  # pins that are kept: those of one job, as the page and variants build it again


def choose_sizes(job: Job, pin: PinPlace, rail: Rail) -> Sizes:
    """Nose, toe, relief and foot of the ears.

    Raises:
        Refusal: If the plates reach beyond the traced planes by more than their thickness, or there is no room for a
            foot.
    """
    if job.doubler is not None:
        from plategen.bracket.doubler import sizes_on_doubler

        return sizes_on_doubler(job, pin, rail, job.doubler)
    places = standing_places(job, pin.plane_mm)
    refuse_beyond_traces(rail, job, pin.plane_mm, places, job.bracket.thickness_mm)
    at = complex(pin.station_mm, 0.0)
    near_mm, height_mm = _room_on(rail, tuple(w for place in places for w in place.faces_mm), at)
    toe, relief = toe_height(job, job.bracket.thickness_mm), relief_radius(job, near_mm)
    nose = nose_radius(job, min(height_mm, near_mm - relief.mm) - job.bracket.root_gap_mm)

    def asked(section: Chain, turned: bool) -> Asked:
        return under_pin(job, -offset_from(section, at), nose.mm, turned=turned)

    faces = (places[0].faces_mm[0], places[-1].faces_mm[1])
    foot = foot_on_rail(job, rail, faces, at, relief.mm, asked)
    return Sizes(nose=nose, toe=toe, relief=relief, foot=foot)


@lru_cache(maxsize=_REMEMBERED)
def _room_on(rail: Rail, faces_mm: tuple[float, ...], at: complex) -> tuple[float, float]:
    """How near a pin lies to the rail's corner in any of some sections, and how high it stands there."""
    sections = [rail.section(w) for w in faces_mm]
    return from_corner(sections, at), min(-offset_from(section, at) for section in sections)


def build_ears(design: Design, rail: Rail) -> Bracket:
    """The ears with their notches, holes and weld runs, and the plates that close them to a box.

    Raises:
        Refusal: If an outline is impossible (see :func:`plategen.bracket.outline.ear_outline`), or a closing plate.
    """
    job, places = design.job, standing_places(design.job, design.pin.plane_mm)
    if job.doubler is not None and design.doubler is not None:
        return _on_doubler(design, job.doubler, design.doubler)
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    for place in places:
        notch = fit_notch(
            rail, place.faces_mm, design.foot.foot, job.bracket.root_gap_mm, design.relief.mm,
            straight=job.cutting.straight,
        )  # fmt: skip
        plates.append(pin_plate(design, place, "ear", notch))
        welds.extend(standing_runs(job, place, notch))
    bracket = Bracket(
        style="ears",
        plates=tuple(plates),
        welds=tuple(welds),
        pin=held_pin(design, places),
        chosen=design.reasons(relieved=any(plate.legs for plate in plates)),
    )
    if job.closing is not None:
        from plategen.bracket.closing import close

        bracket = close(design, job.closing, rail, bracket)
    if job.gusset is not None:
        from plategen.bracket.gusset import stiffen

        bracket = stiffen(design, job.gusset, rail, bracket)
    return _tied(design, bracket)


def _tied(design: Design, bracket: Bracket) -> Bracket:
    """The bracket with its crosshead, if the job asks for one."""
    if design.job.crosshead is None:
        return bracket
    from plategen.bracket.crosshead import tie_ears

    return tie_ears(design, design.job.crosshead, bracket)


def _on_doubler(design: Design, doubler: Doubler, plan: "DoublerPlan") -> Bracket:
    """The ears on a doubler, and that on the rail."""
    from plategen.bracket.doubler import NOT_ACROSS, doubler_plate, doubler_runs, notch_on_doubler

    job, places = design.job, standing_places(design.job, design.pin.plane_mm)
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    for place in places:
        notch = notch_on_doubler(design, doubler, plan, place)
        plates.append(pin_plate(design, place, "ear", notch))
        welds.extend(standing_runs(job, place, notch, "tie", "doubler"))
    bracket = Bracket(
        style="ears",
        plates=(*plates, doubler_plate(job, doubler, plan)),
        welds=(*welds, *doubler_runs(job, doubler, plan)),
        pin=held_pin(design, places),
        chosen=(*design.reasons(relieved=False), *plan.why),
        cautions=(NOT_ACROSS,),
    )
    return _tied(design, bracket)


def from_corner(sections: Iterable[Chain], at: complex) -> float:
    """How near a point lies to a corner of the rail's sections; infinite where they have none."""
    return min((abs(corner.point - at) for section in sections for corner in corners(section)), default=math.inf)


HIGHER_TOES = 8
"""Higher toes that are tried, a weld leg apart, until closing plates have room between the ears."""

HELPED_BY_TOE = ("closing.back", "closing.bottom", "closing.tab")
"""Keys that the refusal of a closing plate names which has too little steel beside it in the ears."""


def settle_toe(design: Design, rail: Rail) -> Settled:
    """The design with a toe that leaves room for the closing plates, where a rule chooses both."""
    job = design.job
    if job.closing is None or job.bracket.toe_mm is not None or len(standing_places(job, design.pin.plane_mm)) < 2:
        return design, None
    try:
        return design, build_ears(design, rail)
    except Refusal as refusal:
        if refusal.key not in HELPED_BY_TOE or not _by_joint(refusal):
            return design, None
    why = message("toe as high as closing plates need between the ears (common practice, no source)")
    step_mm = PLATE_SIZES.up(job.weld.leg_mm, job.units)
    toes = (Chosen(design.toe.mm + k * step_mm, why) for k in range(1, HIGHER_TOES))
    tried = (replace(design, toe=toe) for toe in toes)
    return first_built(tried, lambda each: build_ears(each, rail)) or (design, None)


def _by_joint(refusal: Refusal) -> bool:
    """Whether nothing but another joint of the closing plates is known to put it right."""
    return not refusal.cure or not refusal.cure.changes or refusal.cure.changes[0].key == "closing.joint"


STYLE = Style(
    name="ears",
    sizes=choose_sizes,
    settle=settle_toe,
    build=build_ears,
    fitted=standing_places,
    examples=(
        "bale-trailer-first", "bale-trailer-second", "bowser-leaf-axle", "forwarder-rolled-channel",
        "orchard-sprayer-both-ends", "orchard-sprayer-rolling-rod", "orchard-sprayer-steering",
        "peat-carrier-two-relays", "quarry-loader-cylinder-pair", "quarry-screen-corner",
        "quarry-straight-rail", "skidder-photographed-rail", "sprayer-kicked-rail",
    ),
)  # fmt: skip
"""Ears welded to the rail."""
