"""Which stroke, how much to limit it and at which end, and where the fixed pin goes so that the cylinder's ends and the
steering's locks are met together: from a linkage, or from what a shop that has only measured knows.
"""

from dataclasses import dataclass
from typing import Literal

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.steering.mount import Mount, PinToPin, pin_to_pin
from plategen.steering.standard import Series, Size, covering, next_size
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Point, array, length

LimitAt = Literal["both", "rod end", "cap end"]
"""Where the stroke is limited."""

PIN_SETTLED_MM = 1e-9
"""The fixed pin is moved until the length it is set by is met this closely: far under what can be measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CylinderSize:
    """A cylinder as bought.

    Raises:
        Refusal: a rod as thick as the bore, a closed length that does not even hold the stroke.
    """

    bore_mm: float  # Inside diameter.
    rod_mm: float  # Rod diameter.
    stroke_mm: float  # Full stroke.
    closed_mm: float  # Pin to pin, fully closed.
    pressure_mpa: float  # Relief setting.
    double_ended: bool = False  # A rod through both ends: pull area both ways.

    def __post_init__(self) -> None:
        if not 0.0 < self.rod_mm < self.bore_mm:
            raise Refusal(
                message("the rod is {} in a bore of {}; the rod is the thinner", mm(self.rod_mm), mm(self.bore_mm)),
                key="cylinder.rod",
            )
        if self.closed_mm <= self.stroke_mm:
            words = "the closed length is {} and the stroke {}; pin to pin, a closed cylinder is longer than its stroke"
            raise Refusal(message(words, mm(self.closed_mm), mm(self.stroke_mm)), key="cylinder.closed_length")

    @property
    def open_mm(self) -> float:
        """Pin to pin, fully open."""
        return self.closed_mm + self.stroke_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeAdvice:
    """What stroke to fit and how to limit it."""

    travel_mm: float  # What the moving pin needs over the whole sweep, with the fixed pin where it is advised.
    needed_mm: float  # Travel with the asked margin at each end.
    stroke_mm: float  # The cylinder's own stroke, or the next standard one.
    # The standard stroke that covers ``needed_mm`` and where it comes from; None when the series ends.
    standard: Size | None
    limit_mm: float  # How much spacers take away inside. Negative: the cylinder is too short.
    # Spacer at the cap end, which stops the cylinder before it is fully closed, and on the rod inside the head, before
    # it is fully open; the margin stays in hand beyond the travel. Negative: so much too short at that end.
    at_cap_mm: float
    at_rod_mm: float
    limited_closed_mm: float  # Pin to pin where the cylinder ends closed: on its spacer, or on itself.
    limited_open_mm: float  # The same, open.
    straight_mm: float  # Pin to pin at straight ahead.
    off_middle_mm: float  # How far straight ahead is from the middle of the limited stroke, opening positive.
    fixed_mm: Point | None  # Where the fixed pin goes; None when only a travel was measured.
    moved_mm: float  # How far that is from where it is drawn, away from the moving pin positive.
    closed_for_drawn_mm: float  # Closed length of a cylinder of this stroke that would leave the drawn pin in place.

    @property
    def ends_mm(self) -> tuple[float, float]:
        """Pin to pin where the cylinder stops, closed and open."""
        return self.limited_closed_mm, self.limited_open_mm

    @property
    def enough(self) -> bool:
        """True when the stroke covers the travel at both ends (to a micrometre)."""
        return self.at_cap_mm >= -1e-3 and self.at_rod_mm >= -1e-3


def advise_stroke(
    sweep: Sweep,
    mount: Mount,
    size: CylinderSize | None,
    *,
    margin_mm: float,
    series: Series,
    limit_at: LimitAt = "both",
    beyond_mm: tuple[float, float] = (0.0, 0.0),
) -> tuple[StrokeAdvice, Mount]:
    """The stroke, the spacers and the place of the fixed pin; and the mount with the pin put there.

    The fixed pin moves along the cylinder's line at straight ahead. ``both`` puts mid stroke at straight ahead and
    shares the limit as the arcs ask; ``rod end`` uses the closed length but for the margin and limits all at the rod
    end (the rod then keeps the more bearing); ``cap end`` uses the open length. Without a cylinder the pin stays and
    the next standard stroke is advised. The margin stays in hand at each end, spacers or not, and what an axle that
    moves takes ``beyond_mm`` the sweep, closed and open.
    """
    drawn = pin_to_pin(sweep, mount)
    standard = covering("stroke", series, drawn.travel_mm + 2.0 * margin_mm + sum(beyond_mm))
    if size is None:
        if standard is None:
            words = "the travel is {}, more than any standard {} stroke; give the cylinder's own sizes under [cylinder]"
            raise Refusal(message(words, mm(drawn.travel_mm), series), key="steering.cylinder_mount")
        placed, stroke, closed = mount, standard.size_mm, drawn.straight_mm - standard.size_mm / 2.0
    else:
        placed, stroke, closed = _place(sweep, mount, drawn, size, limit_at, margin_mm), size.stroke_mm, size.closed_mm
    pins, moving = pin_to_pin(sweep, placed), array(mount.moving_mm)
    lengths = (pins.shortest_mm, pins.straight_mm, pins.longest_mm)
    moved = float(length(array(placed.fixed_mm) - moving) - length(array(mount.fixed_mm) - moving))
    in_hand = margin_mm + beyond_mm[0], margin_mm + beyond_mm[1]
    return _of_lengths(lengths, stroke, closed, in_hand, in_hand, standard, moved, placed.fixed_mm), placed


def _place(
    sweep: Sweep, mount: Mount, drawn: PinToPin, size: CylinderSize, limit_at: LimitAt, margin_mm: float
) -> Mount:
    """The mount with the fixed pin moved along the straight-ahead line until the wanted length is met."""
    moving = drawn.moving_mm[drawn.straight]
    back = -drawn.direction[drawn.straight]
    ahead = size.closed_mm + size.stroke_mm / 2.0
    placed = mount.with_fixed(moving + back * ahead)
    if limit_at == "both":
        return placed
    for _ in range(60):
        pins = pin_to_pin(sweep, placed)
        closed, opened = size.closed_mm + margin_mm, size.open_mm - margin_mm
        miss = closed - pins.shortest_mm if limit_at == "rod end" else opened - pins.longest_mm
        if abs(miss) < PIN_SETTLED_MM:
            return placed
        ahead += miss
        if ahead <= 1.0:
            break
        placed = mount.with_fixed(moving + back * ahead)
    words = (
        "no place of the fixed pin on the cylinder's line meets a closed length of {}; the cylinder turns too far over "
        "the sweep: set it more in line with the motion"
    )
    raise Refusal(message(words, mm(size.closed_mm)), key="steering.cylinder_mount")


def _of_lengths(
    lengths: tuple[float, float, float],
    stroke: float,
    closed: float,
    margin: tuple[float, float],
    in_hand: tuple[float, float],
    standard: Size | None,
    moved: float,
    fixed: Point | None = None,
    placed: bool = True,
) -> StrokeAdvice:
    """The advice for pin-to-pin lengths at the shorter lock, straight ahead and at the longer, with the pin moved.

    Spacers leave ``in_hand`` at the closed and the open end, so that wheel stops are met before the cylinder's own.
    """
    low, straight, high = lengths
    at_cap, at_rod = map(_spacer, (low - closed, closed + stroke - high), in_hand)
    return StrokeAdvice(
        travel_mm=high - low,
        needed_mm=high - low + sum(margin),
        stroke_mm=stroke,
        standard=standard,
        limit_mm=at_cap + at_rod,
        at_cap_mm=at_cap,
        at_rod_mm=at_rod,
        limited_closed_mm=closed + max(at_cap, 0.0),
        limited_open_mm=closed + stroke - max(at_rod, 0.0),
        straight_mm=straight,
        off_middle_mm=straight - (low + high) / 2.0,
        fixed_mm=fixed,
        moved_mm=moved if placed else 0.0,
        closed_for_drawn_mm=straight - moved - stroke / 2.0,
    )


def _spacer(room_mm: float, margin_mm: float) -> float:
    """The spacer that leaves the margin of the room at one end; none where there is less, and negative what is short.

    >>> _spacer(20.0, 6.0), _spacer(4.0, 6.0), _spacer(-3.0, 6.0)
    (14.0, 0.0, -3.0)
    """
    return max(room_mm - margin_mm, 0.0) + min(room_mm, 0.0)


def from_travel(
    travel_mm: float, size: CylinderSize | None, *, margin_mm: float, series: Series, limit_at: LimitAt = "both"
) -> StrokeAdvice:
    """Stroke and spacers from a travel alone, taken as equal both ways from straight ahead.

    A cylinder whose stroke is longer than the travel is limited inside by the difference.
    """
    return from_locks(0.0, travel_mm, None, size, margin_mm=margin_mm, series=series, limit_at=limit_at, placed=False)


def from_locks(
    shorter_mm: float,
    longer_mm: float,
    straight_mm: float | None,
    size: CylinderSize | None,
    *,
    margin_mm: float,
    series: Series,
    limit_at: LimitAt = "both",
    placed: bool = True,
) -> StrokeAdvice:
    """Stroke, spacers and how far to move the fixed pin, from pin-to-pin lengths measured with both pins mocked up.

    Straight ahead is halfway when it was not measured. Without a cylinder the next standard stroke is advised, with the
    margin in hand at each end; spacers are for the lengths as measured. Not ``placed``, the lengths are only a travel,
    and no pin can be told where to go.

    Raises:
        Refusal: lengths the wrong way round, or straight ahead not between them.
    """
    travel = longer_mm - shorter_mm
    if travel <= 0.0:
        words = "the lengths at the locks are {} and {}: no travel between them; measure from lock to lock"
        raise Refusal(message(words, mm(shorter_mm), mm(longer_mm)), key="steering.travel")
    straight = (shorter_mm + longer_mm) / 2.0 if straight_mm is None else straight_mm
    if not shorter_mm < straight < longer_mm:
        words = "straight ahead, {}, does not lie between the locks, {} and {}"
        raise Refusal(
            message(words, mm(straight), mm(shorter_mm), mm(longer_mm)), key="steering.travel.straight_length"
        )
    standard = covering("stroke", series, travel + 2.0 * margin_mm)
    if size is None:
        standard = next_size("stroke", series, travel + 2.0 * margin_mm)
        stroke, closed = standard.size_mm, straight - standard.size_mm / 2.0
    else:
        stroke, closed = size.stroke_mm, size.closed_mm
    shift = {
        "both": closed + stroke / 2.0 - straight,
        "rod end": closed - shorter_mm,
        "cap end": closed + stroke - longer_mm,
    }[limit_at]
    lengths = (shorter_mm + shift, straight + shift, longer_mm + shift)
    margins = margin_mm, margin_mm
    return _of_lengths(lengths, stroke, closed, margins, (0.0, 0.0), standard, shift, placed=placed)
