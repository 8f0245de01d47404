"""A job's bracket with an existing plate in the place of one of its own, judged like any other."""

from dataclasses import replace

from plategen.bracket.model import Hole, Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.loop import Circle, Contour, Loop
from plategen.make import standing
from plategen.revision.trim_place import Place, along_stations
from plategen.work import Work

LEAST_RUN_MM = 1.0
"""A run that is left shorter is none."""


def with_plate(
    work: Work,
    place: Place,
    outline: Loop,
    bore: Circle,
    others: tuple[Contour, ...],
    *,
    welded_mm: tuple[float, float],
    gap_mm: float,
    leg_mm: float,
) -> Work:
    """The job with the plate in that place.

    Args:
        work: The job with its own plates.
        place: The place that the plate takes.
        outline: The plate's outline as it then is, in the plate frame.
        bore: Its pin hole there.
        others: Its other holes and openings there.
        welded_mm: The stations between which it can be welded to the rail.
        gap_mm: Largest gap under the weld.
        leg_mm: Leg of the weld.
    """
    used = plate_as_it_is(place, outline, bore, others)
    runs = []
    for run in work.bracket.welds:
        if run.plate != used.name or run.joint == "tie":
            runs.append(run)
            continue
        path = _welded(run, welded_mm)
        if path is not None:
            runs.append(replace(run, path=path, gap_mm=max(gap_mm, run.gap_mm), leg_mm=leg_mm))
    plates = tuple(used if plate.name == used.name else plate for plate in work.bracket.plates)
    bracket = replace(work.bracket, plates=plates, welds=tuple(runs))
    return standing(work.design, work.rail, bracket)


def plate_as_it_is(place: Place, outline: Loop, bore: Circle, others: tuple[Contour, ...]) -> Plate:
    """The plate with its own outline, holes and openings, in the place of the job's; its edge is no notch."""
    circles = (c for c in others if isinstance(c, Circle))
    holes = tuple(
        Hole(
            name=f"hole {i}", purpose="other", circle=c, bolt_mm=2 * c.radius, made="cut", edge_required_mm=0.0,
            edge_source="as drawn",
        )
        for i, c in enumerate(circles, 1)
    )  # fmt: skip
    openings = tuple(c for c in others if isinstance(c, Loop))
    return replace(
        place.plate, outline=outline, holes=(replace(place.bored, circle=bore), *holes), openings=openings, slots=(),
        notch=None, fit=None, legs=(), marks=(),
    )  # fmt: skip


def _welded(run: WeldRun, welded_mm: tuple[float, float]) -> Chain | None:
    """What is left of a run between two stations; None if next to nothing is."""
    path = along_stations(run.path)
    low, high = max(path.start.real, welded_mm[0]), min(path.end.real, welded_mm[1])
    if high - low < LEAST_RUN_MM:
        return None
    part = between(path, low, high)
    return part if path is run.path else part.reversed()
