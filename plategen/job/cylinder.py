"""The ``[cylinder]`` and ``[swing]`` tables: the bought part that the bracket holds, and how it turns about its pin."""

from typing import Annotated, Literal

from plategen.ground.message import message, size
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, LengthFromZero, PositiveLength, Pressure, Table


class CylinderEnd(Table, frozen=True, kw_only=True):
    """One end of the cylinder, as measured on the real part."""

    kind: Annotated[
        Literal["eye", "fork", "rod_end"],
        "A plain eye between two plates, a fork about one, or a rod end (a ball in a head) between two.",
    ] = "eye"
    pin_mm: Annotated[PositiveLength, "Diameter of the pin."]
    eye_width_mm: Annotated[
        PositiveLength, "Width of what goes between the plates: of the eye, or of a rod end's ball; of a fork, its gap."
    ]
    eye_radius_mm: Annotated[PositiveLength, "From the pin's centre to the outside of the eye, head or fork."]
    head_width_mm: Annotated[PositiveLength | None, "Width of the head round a rod end's ball."] = None
    ball_mm: Annotated[
        PositiveLength | None, "Diameter of a rod end's ball; left out, its own limit of tilt is not judged."
    ] = None
    spacer_mm: Annotated[LengthFromZero, "Width of the misalignment spacer on each side of a rod end's ball."] = 0.0
    spacer_diameter_mm: Annotated[
        PositiveLength | None, "Diameter of the spacers where they meet the ball; left out, that of the ball's face."
    ] = None
    fork_width_mm: Annotated[PositiveLength | None, "Width of a fork over all."] = None

    def __post_init__(self) -> None:
        if self.eye_radius_mm <= self.pin_mm / 2:
            words = "the eye must be larger than its pin; more than {}, half of `pin`, is right"
            raise Refusal(message(words, size(self.pin_mm / 2)), "eye_radius")
        if self.kind == "fork":
            if self.fork_width_mm is None:
                raise Refusal("missing; the width of the fork over all is right", "fork_width")
            if self.fork_width_mm <= self.eye_width_mm:
                words = "the fork must be wider than its gap; more than {}, its `eye_width`, is right"
                raise Refusal(message(words, size(self.eye_width_mm)), "fork_width")
        elif self.fork_width_mm is not None:
            raise Refusal('only a fork has it; kind = "fork" is right', "fork_width")
        if self.kind == "rod_end":
            self._refuse_rod_end()
            return
        given = {"head_width": self.head_width_mm, "ball": self.ball_mm, "spacer_diameter": self.spacer_diameter_mm}
        for key, value in {**given, "spacer": self.spacer_mm or None}.items():
            if value is not None:
                raise Refusal('only a rod end has it; kind = "rod_end" is right', key)

    def _refuse_rod_end(self) -> None:
        if self.head_width_mm is None:
            raise Refusal("missing; the width of the head round the ball is right", "head_width")
        if self.head_width_mm >= self.eye_width_mm:
            words = "the ball must stand out of its head; less than {}, its `eye_width`, is right"
            raise Refusal(message(words, size(self.eye_width_mm)), "head_width")
        if self.ball_mm is not None and self.ball_mm <= max(self.eye_width_mm, self.pin_mm):
            words = "the ball must be larger than its width and its pin; more than {} is right"
            raise Refusal(message(words, size(max(self.eye_width_mm, self.pin_mm))), "ball")
        if self.spacer_diameter_mm is not None and self.spacer_mm == 0.0:
            raise Refusal("spacers of no width; give `spacer` as well", "spacer_diameter")
        if self.spacer_diameter_mm is not None and self.spacer_diameter_mm < self.pin_mm:
            words = "the spacers are smaller than the pin that goes through them; {} or more is right"
            raise Refusal(message(words, size(self.pin_mm)), "spacer_diameter")

    @property
    def width_mm(self) -> float:
        """Width along the pin of what turns with the cylinder: eye, fork or head."""
        return self.head_width_mm or self.fork_width_mm or self.eye_width_mm

    @property
    def between_mm(self) -> float:
        """What stands between two plates, play apart: the eye, or the ball with its spacers."""
        return self.eye_width_mm + 2.0 * self.spacer_mm


def refuse_misfit(
    bore_mm: float, rod_mm: float, body_diameter_mm: float | None, stroke_mm: float, closed_length_mm: float
) -> None:
    """Refuse sizes of which no cylinder is made.

    Raises:
        Refusal: The rod is no thinner than the bore, the barrel no wider, or the cylinder no longer than its stroke.
    """
    if rod_mm >= bore_mm:
        words = "the rod must be thinner than the bore; less than {} is right"
        raise Refusal(message(words, size(bore_mm)), "rod")
    if body_diameter_mm is not None and body_diameter_mm <= bore_mm:
        words = "the barrel must be wider outside than its bore; more than {} is right"
        raise Refusal(message(words, size(bore_mm)), "body_diameter")
    if closed_length_mm <= stroke_mm:
        words = "closed, pin to pin, must be longer than the stroke; more than {} is right"
        raise Refusal(message(words, size(stroke_mm)), "closed_length")


class Cylinder(Table, frozen=True, kw_only=True):
    """A hydraulic cylinder."""

    bore_mm: Annotated[PositiveLength, "Inside diameter of the barrel."]
    rod_mm: Annotated[PositiveLength, "Diameter of the rod."]
    stroke_mm: Annotated[PositiveLength, "How far the rod can move."]
    closed_length_mm: Annotated[PositiveLength, "From pin to pin with the rod all the way in."]
    body_diameter_mm: Annotated[PositiveLength, "Largest outside diameter of the barrel."]
    pressure_mpa: Annotated[Pressure, "Setting of the relief valve."]
    double_rod: Annotated[bool, "A rod through both ends: it pushes and pulls alike."] = False
    base: Annotated[CylinderEnd, "The end that this bracket holds."]

    def __post_init__(self) -> None:
        refuse_misfit(self.bore_mm, self.rod_mm, self.body_diameter_mm, self.stroke_mm, self.closed_length_mm)

    @property
    def open_length_mm(self) -> float:
        """From pin to pin with the rod all the way out."""
        return self.closed_length_mm + self.stroke_mm


class PortPost(Table, frozen=True, kw_only=True):
    """A ``[[swing.port]]``: a port with its fitting and hose end, as a round post that stands out of the barrel."""

    name: Annotated[str, "What it is called."] = "port"
    at_mm: Annotated[PositiveLength, "From the pin's centre to its middle, along the cylinder."]
    diameter_mm: Annotated[PositiveLength, "Across everything that is screwed into it."]
    height_mm: Annotated[PositiveLength, "How far that stands out of the barrel."]
    towards: Annotated[
        Literal["rail", "away", "near", "far"],
        "Which way it points: to the rail or away from it, or along the pin to the near or the far side.",
    ] = "rail"


class Swing(Table, frozen=True, kw_only=True):
    """The cylinder's swing in the plates' plane, and what is to be kept clear."""

    low_rad: Annotated[
        Angle | None,
        "Least angle of the cylinder against its drawn line, positive towards the rail; left out, the steering "
        "study's, or the swing of `rules`.",
    ] = None
    high_rad: Annotated[Angle | None, "Greatest angle; left out, likewise."] = None
    barrel_start_mm: Annotated[
        PositiveLength | None,
        "From the pin's centre to where the barrel or its end cap begins; left out, the barrel is held against the "
        "rail all along the cylinder, and against no plate.",
    ] = None
    least_mm: Annotated[
        LengthFromZero, "Clearance asked everywhere: dirt, paint, worn pins (common practice, no source)."
    ] = 3.0
    port: Annotated[tuple[PortPost, ...], "Ports, fittings and hose ends."] = ()

    def __post_init__(self) -> None:
        low, high = self.low_rad or 0.0, self.high_rad or 0.0
        if (self.low_rad is None) != (self.high_rad is None):
            missing = "low" if self.low_rad is None else "high"
            raise Refusal("missing; both ends of the swing, or neither, is right", missing)
        if low > high:
            raise Refusal("the swing ends before it begins; the lesser angle comes first", "high")
        if max(abs(low), abs(high)) > 2.0:
            raise Refusal("more than 115 degrees; a swing within that is right", "high" if high > 2.0 else "low")
