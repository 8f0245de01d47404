"""All that turns the linkage beside the driver, at relief, about the driving lever: every cylinder and steering box.

One of each is usual; a pair of cylinders is ported so that one pushes while the other pulls.
"""

from dataclasses import dataclass

import numpy as np

from plategen.steering.cylinder import CylinderSize
from plategen.steering.hydraulics import Thrust
from plategen.steering.mount import Mount, PinToPin, leverage_mm
from plategen.steering.rates import lever_rates
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Pusher:
    """A cylinder at work."""

    name: str
    mount: Mount
    pins: PinToPin
    thrust: Thrust
    size: CylinderSize

    def arm_mm(self, sweep: Sweep) -> Floats:
        """What its length changes by for each radian of the driver, (n,), without its sign."""
        return np.abs(leverage_mm(sweep, self.mount, self.pins))

    def force_n(self, sweep: Sweep) -> Floats:
        """Its force on the way out of straight ahead, (n,): push in the one turn, pull in the other."""
        to_left, to_right = self.thrust.left_right_n(self.pins)
        return np.where(sweep.driver_rad >= 0.0, to_left, to_right)

    def moment_nmm(self, sweep: Sweep) -> Floats:
        """What it gives about the driving lever, (n,)."""
        return np.asarray(self.force_n(sweep) * self.arm_mm(sweep))

    def filled_mm2(self, sweep: Sweep) -> Floats:
        """The area that oil fills on the way out of straight ahead, (n,)."""
        pushes = (sweep.driver_rad >= 0.0) == self.pins.opens_to_left
        return np.where(pushes, self.thrust.push_area_mm2, self.thrust.pull_area_mm2)

    def poured_mm3(self, *, to_left: bool) -> float:
        """Oil that it takes from lock to lock, one way."""
        area = self.thrust.push_area_mm2 if self.pins.opens_to_left == to_left else self.thrust.pull_area_mm2
        return area * self.pins.travel_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxAt:
    """A steering box by its arm; its moment and oil None where the job does not tell them."""

    lever: str
    moment_nmm: float | None
    volume_mm3: float | None

    def about_driver_nmm(self, rates: dict[str, Floats]) -> Floats:
        """What it gives about the driving lever, (n,), for what each lever turns for a turn of that one."""
        return np.asarray((self.moment_nmm or 0.0) * np.abs(rates[self.lever]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Team:
    """Every cylinder, the one whose bracket is made first, and every box, the driver's first."""

    cylinders: tuple[Pusher, ...] = ()
    boxes: tuple[BoxAt, ...] = ()

    @property
    def further(self) -> tuple[Pusher, ...]:
        """The cylinders beside the first."""
        return self.cylinders[1:]

    @property
    def boxes_known(self) -> bool:
        """True where the moment of the driver's box, and so of every box, is told."""
        return bool(self.boxes) and all(box.moment_nmm is not None for box in self.boxes)

    @property
    def boxes_mm3(self) -> float | None:
        """Oil that all boxes take from lock to lock; None where one of them is not told."""
        volumes = [box.volume_mm3 for box in self.boxes]
        told = [volume for volume in volumes if volume is not None]
        return sum(told) if told and len(told) == len(volumes) else None

    def further_mm3(self, *, to_left: bool) -> float:
        """Oil that the further cylinders take from lock to lock, one way."""
        return sum(each.poured_mm3(to_left=to_left) for each in self.further)

    def cylinders_nmm(self, sweep: Sweep) -> Floats:
        """Moment of all cylinders about the driving lever, (n,)."""
        return sum((each.moment_nmm(sweep) for each in self.cylinders), np.zeros(len(sweep)))

    def boxes_nmm(self, sweep: Sweep) -> Floats:
        """Moment of all boxes about it, (n,)."""
        rates = lever_rates(sweep.motion)
        return sum((box.about_driver_nmm(rates) for box in self.boxes), np.zeros(len(sweep)))

    def drag_nmm(self, sweep: Sweep, drag_mpa: float) -> Floats:
        """What oil that is sent round by hand at a pressure asks about it, (n,)."""
        drag = sum((each.filled_mm2(sweep) * each.arm_mm(sweep) for each in self.cylinders), np.zeros(len(sweep)))
        return np.asarray(drag_mpa * (drag + (self.boxes_mm3 or 0.0) / float(np.ptp(sweep.driver_rad))))

    def first_share(self, sweep: Sweep) -> Floats:
        """Share of all cylinders' moment that is the first one's, (n,); all at one pressure, each gives its share."""
        first = self.cylinders[0].moment_nmm(sweep)
        with np.errstate(invalid="ignore"):
            return np.where(first > 0.0, first / self.cylinders_nmm(sweep), 0.0)
