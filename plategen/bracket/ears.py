"""Style ``ears``: two plates standing on the rail, one on each side of the eye they hold, or one within a fork."""

from plategen.bracket.closing import close
from plategen.bracket.holes import held_pin
from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.bracket.notch import fit_notch
from plategen.bracket.standing import pin_plate, standing_runs
from plategen.bracket.style import Style
from plategen.design.design import Design, Sizes, nose_radius, relief_radius, toe_height
from plategen.design.foot import Asked, foot_on_rail, under_pin
from plategen.design.places import PinPlace, refuse_beyond_traces, standing_places
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.job import Job
from plategen.rail.surface import Rail


def choose_sizes(job: Job, pin: PinPlace, rail: Rail) -> Sizes:
    """Nose, toe, relief and foot of the ears.

    Raises:
        Refusal: If the plates reach beyond the traced planes by more than their thickness, or there is no room for a
            foot.
    """
    places = standing_places(job, pin.plane_mm)
    refuse_beyond_traces(rail, places, job.bracket.thickness_mm)
    nose, toe, relief = nose_radius(job), toe_height(job, job.bracket.thickness_mm), relief_radius(job)
    at = complex(pin.station_mm, 0.0)

    def asked(section: Chain, turned: bool) -> Asked:
        return under_pin(job, -offset_from(section, at), nose.mm, turned=turned)

    faces = (places[0].faces_mm[0], places[-1].faces_mm[1])
    foot = foot_on_rail(job, rail, faces, at, relief.mm, asked)
    return Sizes(nose=nose, toe=toe, relief=relief, foot=foot)


def build_ears(design: Design, rail: Rail) -> Bracket:
    """The ears with their notches, holes and weld runs, and the plates that close them to a box.

    Raises:
        Refusal: If an outline is impossible (see :func:`plategen.bracket.outline.ear_outline`), or a closing plate.
    """
    job, places = design.job, standing_places(design.job, design.pin.plane_mm)
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    for place in places:
        notch = fit_notch(rail, place.faces_mm, design.foot.foot, job.bracket.root_gap_mm, design.relief.mm)
        plates.append(pin_plate(design, place, "ear", notch))
        welds.extend(standing_runs(job, place, notch))
    bracket = Bracket(
        style="ears",
        plates=tuple(plates),
        welds=tuple(welds),
        pin=held_pin(design, places),
        chosen=design.reasons(relieved=any(plate.legs for plate in plates)),
    )
    return bracket if job.closing is None else close(design, job.closing, rail, bracket)


STYLE = Style(
    name="ears",
    sizes=choose_sizes,
    build=build_ears,
    fitted=standing_places,
    examples=(
        "bale-trailer-first", "bale-trailer-second", "forwarder-rolled-channel", "orchard-sprayer-steering",
        "quarry-screen-corner", "quarry-straight-rail", "sprayer-kicked-rail",
    ),
)  # fmt: skip
"""Ears welded to the rail."""
