"""Where plates lie along the pin: ears beside the eye, tabs outside the ears, or the one plate within a fork."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from plategen.ground.cure import set_to
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES
from plategen.job import Job
from plategen.job.split import Split
from plategen.rail.surface import Rail


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatePlace:
    """Where a plate lies along the pin.

    Args:
        name: Its name: ``"ear_near"``.
        faces_mm: w of its two faces, the lower first.
        outward: Which of them looks away from the eye: -1 the lower, +1 the upper.
    """

    name: str
    faces_mm: tuple[float, float]
    outward: Literal[-1, 1]

    @property
    def middle_mm(self) -> float:
        """Middle of its thickness along the pin."""
        return sum(self.faces_mm) / 2


def ear_places(
    job: Job, plane_mm: float, names: tuple[str, str] = ("ear_near", "ear_far")
) -> tuple[PlatePlace, PlatePlace]:
    """The two plates beside the eye, the first's inner face at ``plane_mm``, the eye and its play between them.

    Raises:
        Refusal: If the held end is a fork, which goes about one plate.
    """
    if job.cylinder.base.kind == "fork":
        raise Refusal(
            'a fork goes about one plate; style = "ears" is right for it, or another end', "cylinder.base.kind"
        )
    thickness = job.bracket.thickness_mm
    far_inner = plane_mm + job.cylinder.base.between_mm + 2 * job.bracket.side_play_mm
    return (
        PlatePlace(name=names[0], faces_mm=(plane_mm - thickness, plane_mm), outward=-1),
        PlatePlace(name=names[1], faces_mm=(far_inner, far_inner + thickness), outward=+1),
    )


def standing_places(job: Job, plane_mm: float) -> tuple[PlatePlace, ...]:
    """The ears, or for a fork the one plate that stands in it, its upper face at ``plane_mm``.

    Raises:
        Refusal: If the plate does not go into the fork.
    """
    base, thickness = job.cylinder.base, job.bracket.thickness_mm
    if base.kind != "fork":
        return ear_places(job, plane_mm)
    if thickness > base.eye_width_mm:
        words = "the plate of {} does not go into the fork's gap of {}; a thinner plate is right"
        raise Refusal(
            message(words, mm(thickness), mm(base.eye_width_mm)),
            "bracket.thickness",
            cure=set_to("bracket.thickness", size(PART_SIZES.down(base.eye_width_mm, job.units)), "thickness to {}"),
        )
    return (PlatePlace(name="ear", faces_mm=(plane_mm - thickness, plane_mm), outward=-1),)


def tab_places(job: Job, split: Split, plane_mm: float) -> tuple[PlatePlace, PlatePlace]:
    """The tabs of a split bracket: each outside its ear, the packing between them."""
    near, far = ear_places(job, plane_mm)
    thick = tab_thickness_mm(job, split)
    low, high = near.faces_mm[0] - split.shim_mm, far.faces_mm[1] + split.shim_mm
    return (
        PlatePlace(name="tab_near", faces_mm=(low - thick, low), outward=-1),
        PlatePlace(name="tab_far", faces_mm=(high, high + thick), outward=+1),
    )


def tab_thickness_mm(job: Job, split: Split) -> float:
    """Thickness of the tabs of a split bracket."""
    return split.tab_thickness_mm or job.bracket.thickness_mm


def middle_mm(places: Sequence[PlatePlace]) -> float:
    """Middle along the pin between the outermost faces: where the middle of the pin lies."""
    return (places[0].faces_mm[0] + places[-1].faces_mm[1]) / 2


def refuse_beyond_traces(rail: Rail, places: Sequence[PlatePlace], allowed_mm: float) -> None:
    """Refuse plates that lie further beyond the traced planes than the surface may be carried on.

    One trace alone means a rail that is straight along the pin, and has no end.
    """
    if len(rail.traces) == 1:
        return
    first, last = rail.planes_mm
    for place in places:
        beyond = max(first - place.faces_mm[0], place.faces_mm[1] - last)
        if beyond > allowed_mm + 1e-9:
            words = (
                "{} reaches {} beyond the traced planes ({} to {}), more than its thickness of {}; trace the rail "
                "nearer to that ear or move the ears"
            )
            raise Refusal(message(words, place.name, mm(beyond), mm(first), mm(last), mm(allowed_mm)), "bracket.plane")
