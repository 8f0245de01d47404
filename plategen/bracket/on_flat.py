"""Ears on a flat plate along the rail's face: on a base that is bolted to it, or on a doubler that is welded to it."""

from plategen.bracket.meeting import as_drawn
from plategen.bracket.model import Fit
from plategen.bracket.notch import Notch
from plategen.design.foot import ChosenFoot, Foot, under_pin
from plategen.design.places import PinPlace
from plategen.flat.chain import Chain
from plategen.flat.placement import Placement
from plategen.flat.segment import Line
from plategen.ground.cure import set_to
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job


def outer_v(lies: Placement, thick_mm: float, u_mm: float, w_mm: float) -> float:
    """V of a flat plate's outer face at a station and a place along the pin: how high the cylinder's line lies over it.

    Args:
        lies: The plane of its face on the rail, the normal away from it.
        thick_mm: Its thickness.
        u_mm: The station.
        w_mm: The place along the pin.
    """
    (u0, v0, w0), n = lies.origin, lies.normal
    return v0 + (thick_mm - n[0] * (u_mm - u0) - n[2] * (w_mm - w0)) / n[1]


def flat_notch(
    lies: Placement, thick_mm: float, faces_mm: tuple[float, float], foot_mm: tuple[float, float], root_gap_mm: float
) -> Notch:
    """The straight notch of an ear on a flat plate's outer face, over the ear's thickness as near as the face comes."""
    first, last = foot_mm
    rows = [[outer_v(lies, thick_mm, u, w) for u in (first, last)] for w in faces_mm]
    nearest = min(rows, key=lambda row: row[0])
    n = lies.normal
    square = abs(n[1]) / (n[0] ** 2 + n[1] ** 2) ** 0.5  # from along v to square to the notch
    near, far = ((row[0] - nearest[0]) * square + root_gap_mm for row in rows)
    way = complex(last - first, nearest[1] - nearest[0])
    off = way / abs(way) * -1j * root_gap_mm
    path = Chain((Line(complex(first, nearest[0]) + off, complex(last, nearest[1]) + off),))
    slant = (rows[1][0] - rows[0][0]) * square / (faces_mm[1] - faces_mm[0])
    fit = Fit(gap_near_mm=near, gap_far_mm=far, overlap_mm=0.0, meeting=as_drawn((path,), (near, far)))
    return Notch(path=path, fit=fit, slope=((slant, slant), (slant, slant)))


def refuse_low(job: Job, height_mm: float, pin: PinPlace, on: str) -> None:
    """Refuse a pin that has no room over what the ears stand on: ``"base"``, ``"doubler"``."""
    least = job.cylinder.base.pin_mm
    if height_mm <= least / 2:
        right = PLATE_SIZES.up(pin.inline_offset_mm - height_mm + least, job.units)
        cure = set_to("mount.inline_offset", size(right), "an in-line offset of {}")
        words = "the pin stands {} over the {}, which is no room for a plate about it; {} or more is right"
        raise Refusal(message(words, mm(height_mm), on, cure.advice), "mount.inline_offset", cure=cure)


def flat_foot(job: Job, pin: PinPlace, height_mm: float, nose_mm: float, on: str) -> ChosenFoot:
    """The ears' foot on a flat plate: the job's, or by rule about the pin."""
    given = job.mount.foot_mm
    if job.mount.foot_rise_mm is not None or (given is not None and len(given) != 2):
        raise Refusal(
            message("a {} goes round no corner; two stations are right, e.g. foot = [2, 11]", on), "mount.foot"
        )
    if given is not None:
        return ChosenFoot(foot=Foot(given[0], given[1]))
    length_mm, rule = under_pin(job, height_mm, nose_mm, on=on)
    first = PLATE_SIZES.down(pin.station_mm - length_mm / 2, job.units)
    last = PLATE_SIZES.up(pin.station_mm + length_mm / 2, job.units)
    return ChosenFoot(foot=Foot(first, last), why=message("foot from {}, on the next shop size out", rule))
