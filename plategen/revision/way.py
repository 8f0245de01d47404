"""A way to reach a new place of the pin with every weld left alone, and how the bracket then stands."""

from dataclasses import dataclass, replace

from plategen.bracket.model import Bracket, Pin
from plategen.bracket.unfold import bent_at
from plategen.checks.finding import Finding, stops
from plategen.design.design import Design
from plategen.ground.message import Message
from plategen.make import standing
from plategen.revision.change import SAME_MM, on_rail
from plategen.revision.compare import SAME_RATIO, compare
from plategen.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to keep welds or holes: what is changed, and what to do or why it does not serve.

    ``work`` is the new job with the bracket as it then stands, judged like any other; None if it cannot be made.
    """

    change: str
    advice: Message
    work: Work | None = None

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What stops of the bracket as it then stands, the worst first."""
        return () if self.work is None else tuple(stops(self.work.findings))

    @property
    def holds(self) -> bool:
        """True when it can be made and nothing stops."""
        return self.work is not None and not self.stops


def own_stops(work: Work, job_stops: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What stops in a job with a bracket that stands already and not, or not as badly, with a new one."""
    known = {f.key: f.ratio for f in job_stops}
    return tuple(f for f in stops(work.findings) if f.ratio > known.get(f.key, 0.0) * (1.0 + SAME_RATIO))


@dataclass(frozen=True, slots=True)
class Move:
    """Where the pin goes, seen from the bracket as it stands: in the plates' plane, and along the pin."""

    old: Work
    new: Work
    step: complex
    along_pin_mm: float

    @classmethod
    def between(cls, old: Work, new: Work) -> "Move":
        """From where the pin of one job is to where another's is."""
        a, b = old.bracket.pin.centre, new.bracket.pin.centre
        step = complex(b[0], b[1]) + on_rail(new) - complex(a[0], a[1]) - on_rail(old)
        return cls(old, new, step, b[2] - a[2])

    @property
    def stays_square(self) -> bool:
        """True when the pin moves along itself at the most."""
        return abs(self.step) <= SAME_MM

    @property
    def stays_along(self) -> bool:
        """True when the pin moves square to itself at the most."""
        return abs(self.along_pin_mm) <= SAME_MM

    @property
    def stays(self) -> bool:
        """True when the pin and what it carries stay as they are."""
        return self.stays_square and self.stays_along and self.same_eye and self.same_pin

    @property
    def same_eye(self) -> bool:
        """True when the eye on the pin is as wide as before."""
        pins = self.old.bracket.pin, self.new.bracket.pin
        was, now = ((pin.eye_width_mm, pin.fork_gap_mm, pin.head_width_mm) for pin in pins)
        return all(abs(a - b) <= SAME_MM for a, b in zip(was, now, strict=True))

    @property
    def same_pin(self) -> bool:
        """True when the pin is as thick as before."""
        return abs(self.old.bracket.pin.diameter_mm - self.new.bracket.pin.diameter_mm) <= SAME_MM

    def standing(self, *, gap_mm: float | None = None) -> Bracket:
        """The bracket as it stands, in the new job's plate frame, with the new job's pin in its new place.

        ``gap_mm`` is the clear gap then between eye and ear; as it is, if left out.
        """
        shift = on_rail(self.old) - on_rail(self.new)
        u, v, w = self.old.bracket.pin.centre
        to = shift + self.step
        pin = replace(self.pin_left, centre=(u + to.real, v + to.imag, w + self.along_pin_mm))
        by, old = (shift.real, shift.imag, 0.0), self.old.bracket
        return replace(
            old,
            pin=pin if gap_mm is None else replace(pin, gap_mm=gap_mm),
            plates=tuple(replace(plate, placement=plate.placement.shifted(by)) for plate in old.plates),
            welds=tuple(replace(run, placement=run.placement.shifted(by)) for run in old.welds),
            wall=old.wall and replace(old.wall, placement=old.wall.placement.shifted(by)),
            packing=tuple(replace(shim, placement=shim.placement.shifted(by)) for shim in old.packing),
            folded=old.folded and bent_at(old.folded, by),
        )

    @property
    def design(self) -> Design:
        """The new job's design with the base, if there is one, as it is bolted on: it stands where its bolts are."""
        base = self.old.design.base
        if base is None or self.new.design.base is None:
            return self.new.design
        shift = on_rail(self.old) - on_rail(self.new)
        at = base.placement.shifted((shift.real, shift.imag, 0.0))
        return replace(self.new.design, base=replace(base, placement=at))

    @property
    def pin_left(self) -> Pin:
        """The new job's pin in its old place and with its old gaps, in the old plate frame."""
        old = self.old.bracket.pin
        return replace(self.new.bracket.pin, centre=old.centre, gap_mm=old.gap_mm)

    def way(self, change: str, advice: Message, bracket: Bracket) -> Way:
        """The way that leads to a bracket in the new job's plate frame."""
        return self.judged(change, advice, standing(self.design, self.new.rail, bracket))

    def judged(self, change: str, advice: Message, work: Work) -> Way:
        """The way that leads to a judged bracket, none of whose welds moves."""
        assert all(run.kind == "kept" for run in compare(self.old, work).runs)
        return Way(change=change, advice=advice, work=work)
