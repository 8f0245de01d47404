"""The simple way in, for a shop that has only measured: a travel, or the pin-to-pin lengths at the two locks."""

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.steering.cylinder import CylinderSize, LimitAt, StrokeAdvice
from plategen.steering.standard import Series, next_size


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

    Args:
        shorter_mm: At the lock where the cylinder is shorter.
        longer_mm: At the other.
        straight_mm: At straight ahead; halfway when not measured.
        size: The cylinder; None advises the next standard stroke.
        margin_mm: Stroke in hand at each end when a standard stroke is chosen.
        series: Which standard strokes.
        limit_at: Where the limit goes.
        placed: False when the lengths are only a travel, so that the pin cannot be told where to go.

    Raises:
        Refusal: lengths the wrong way round, or straight ahead not between them.
    """
    travel = longer_mm - shorter_mm
    if travel <= 0.0:
        raise Refusal(
            message(
                "the lengths at the locks are {} and {}: no travel between them; measure from lock to lock",
                mm(shorter_mm),
                mm(longer_mm),
            ),
            key="steering.travel",
        )
    straight = (shorter_mm + longer_mm) / 2.0 if straight_mm is None else straight_mm
    if not shorter_mm < straight < longer_mm:
        raise Refusal(
            message(
                "straight ahead, {}, does not lie between the locks, {} and {}",
                mm(straight),
                mm(shorter_mm),
                mm(longer_mm),
            ),
            key="steering.travel.straight_length",
        )
    try:
        standard = next_size("stroke", series, travel + 2.0 * margin_mm)
    except Refusal:
        if size is None:
            raise
        standard = None
    if size is None:
        assert standard is not None
        stroke, closed = standard.size_mm, straight - standard.size_mm / 2.0
    else:
        stroke, closed = size.stroke_mm, size.closed_mm
    shift = {
        "both": closed + stroke / 2.0 - straight,
        "rod end": closed - shorter_mm,
        "cap end": closed + stroke - longer_mm,
    }[limit_at]
    low, high, middle = shorter_mm + shift, longer_mm + shift, straight + shift
    return StrokeAdvice(
        travel_mm=travel,
        needed_mm=travel + 2.0 * margin_mm,
        stroke_mm=stroke,
        standard=standard,
        limit_mm=stroke - travel,
        at_cap_mm=low - closed,
        at_rod_mm=closed + stroke - high,
        limited_closed_mm=low,
        limited_open_mm=high,
        straight_mm=middle,
        off_middle_mm=middle - (low + high) / 2.0,
        fixed_mm=None,
        moved_mm=shift if placed else 0.0,
        closed_for_drawn_mm=straight - stroke / 2.0,
    )
