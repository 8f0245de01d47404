"""The cylinder's swing against what stands round it, as findings."""

import math
from collections.abc import Iterable, Iterator

from plategen.bracket.swing import Room
from plategen.checks.finding import Finding
from plategen.ground.show import Show
from plategen.job import Job

PRACTICE = "common practice, no source: room for dirt, paint and worn pins"
"""Source of the clearances asked."""

LEAST_MM = 3.0
"""Clearance asked when the job asks for none."""

STANDS_ON = ("rail", "tube")
"""What the bracket stands on, as rooms name it."""


def check_swing(job: Job, rooms: Iterable[Room]) -> Iterator[Finding]:
    """A finding for the smallest clearance to each thing that the cylinder passes."""
    show = Show(job.units)
    asked = job.swing.least_mm if job.swing else LEAST_MM
    for room in rooms:
        boss = room.of == "eye" and room.to in STANDS_ON
        u, v, w = room.at
        off, along = show.length(v), show.length(w)
        place = f"at station {show.length(u)}, {off} from the cylinder's line, {along} along the pin"
        short = asked - room.mm
        yield Finding(
            check=f"boss to {room.to}" if boss else "swing clearance",
            part=f"{_said(job, room.of)} and {room.to.replace('_', ' ')}",
            demand=asked,
            capacity=max(0.0, room.mm),
            unit="mm",
            source=PRACTICE,
            assumed=f"nearest {place}; {_known(job, room)}",
            case="" if room.of == "eye" else f"cylinder at {math.degrees(room.angle_rad):+.3g} deg",
            cure=f"{_cure(room, boss)}: {show.length(short)} more room is asked" if short > 0.0 else "",
        )


def _said(job: Job, of: str) -> str:
    if of == "eye":
        return {"eye": "eye", "fork": "fork", "rod_end": "rod end's head"}[job.cylinder.base.kind]
    return of


def _known(job: Job, room: Room) -> str:
    """What the clearance is taken with."""
    if room.of == "barrel" and (job.swing is None or job.swing.barrel_start_mm is None):
        return "the barrel taken to begin at the eye, for the job does not say where it does"
    if room.of == "eye":
        return "the eye as measured, no play in the pin"
    return "parts as measured, no play in the pin; hoses have their own room"


def _cure(room: Room, boss: bool) -> str:
    if boss:
        return "in-line offset larger"
    if room.to in STANDS_ON:
        return "in-line offset larger, or less swing towards the rail"
    if room.to.startswith("closing"):
        return "closing plate shallower, or less swing"
    return "barrel or port farther from the pin, or less swing"
