"""The weld runs of a plate as its own drawing sees them: root lines in the plate's plane, each with its runs."""

from dataclasses import dataclass

from plategen.bracket.model import Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line
from plategen.ground.space import dot
from plategen.work import Work


@dataclass(frozen=True, slots=True)
class Root:
    """A root line in the plate's plane and the runs along it, one on each face where there are two."""

    path: Chain
    runs: tuple[WeldRun, ...]

    @property
    def names(self) -> str:
        """``'W1 W2'``."""
        return " ".join(run.name for run in self.runs)

    @property
    def sides(self) -> str:
        """``'W1 outside, W2 inside'``."""
        return ", ".join(f"{run.name} {run.side}" for run in self.runs)


def roots(work: Work, plate: Plate) -> tuple[Root, ...]:
    """The plate's root lines that lie in planes alongside it, in the order of their first runs."""
    found: dict[tuple[complex, ...], Root] = {}
    for run in work.bracket.welds:
        if run.plate != plate.name or abs(dot(run.placement.normal, plate.placement.normal)) < 1.0 - 1e-9:
            continue
        path = _seen_square(run, plate)
        ends = (complex(round(p.real, 3), round(p.imag, 3)) for p in (path.start, path.end))
        key = tuple(sorted(ends, key=lambda p: (p.real, p.imag)))
        so_far = found.get(key)
        found[key] = Root(path, (*so_far.runs, run)) if so_far else Root(path, (run,))
    return tuple(found.values())


def _seen_square(run: WeldRun, plate: Plate) -> Chain:
    """A run's root line dropped square onto the plate's plane; a plane seen from behind turns its arcs over."""
    turned_over = dot(run.placement.normal, plate.placement.normal) < 0.0

    def flat(p: complex) -> complex:
        return plate.placement.flat(run.placement.point(p))

    return Chain(
        tuple(
            Arc(flat(s.start), flat(s.end), -s.bulge if turned_over else s.bulge)
            if isinstance(s, Arc)
            else Line(flat(s.start), flat(s.end))
            for s in run.path
        )
    )
