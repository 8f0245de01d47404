"""Holding every hole that was drilled in the rail: what leaves the base where it is bolted, or a new base on its holes.

Ears are welded to their base on the bench, so a new base with its ears costs steel and time, and a new hole beside an
old one costs the rail.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from plategen.bracket.drill_list import drill_list
from plategen.checks.finding import stops
from plategen.ground.in_words import in_words
from plategen.ground.message import Message, joined, message, mm
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.rail_feature import FeatureEntry
from plategen.make import rebuilt
from plategen.revision.compare import compare
from plategen.revision.keep import Kept, Ways, another_hole, as_it_stands, pin_left, spacers
from plategen.revision.rail_hole import SAME_PLACE_MM, RailHole, rail_holes
from plategen.revision.way import Move, Way
from plategen.work import Work

LOST = ("left open", "new", "drilled out")
"""What may not become of a hole that is held, in the order in which it is told."""


def on_old_holes(move: Move) -> Ways:
    """A new base, with new ears, on the holes that are there."""
    change = "the old holes"
    if move.old.design.base is None:
        return (Way(change=change, advice=message("no base was bolted to the rail before")),)
    job, added = _using(move.new.job, move.old)
    if not added:
        return (Way(change=change, advice=message("the job uses every hole of the base before already")),)
    try:
        work = rebuilt(move.new, job)
    except Refusal as refusal:
        return (Way(change=change, advice=refusal.message),)
    told = joined("; ", [_told(entry) for entry in added])
    holes = message('{} as [[rail.feature]], kind = "hole", use = true: {}', "write them", told)
    lost = holes_lost(move.old, work)
    if lost:
        return (Way(change=change, advice=joined("; ", (holes, *lost))),)
    cut = [in_words(plate.name) for plate in compare(move.old, work).plates if plate.kind != "unchanged"]
    advice = message("cut {} anew for the holes that are there, and {}", ", ".join(cut) or "nothing", holes)
    return (Way(change=change, advice=advice, work=work),)


def _using(job: Job, old: Work) -> tuple[Job, tuple[FeatureEntry, ...]]:
    """The job with the holes of the base before told as there and to be used, and those that it did not tell so."""
    told, added = list(job.rail.feature), []
    for drill in drill_list(old.design, old.features):
        entry = FeatureEntry(
            kind="hole",
            name=drill.existing or f"{drill.name} of the base before",
            station_mm=drill.station_mm,
            plane_mm=drill.plane_mm,
            size_mm=drill.hole_mm,
            use=True,
        )
        at = next((k for k, each in enumerate(told) if _is(each, entry)), None)
        if at is None:
            told.append(entry)
        elif told[at].use and told[at].size_mm >= entry.size_mm:
            continue
        else:
            told[at] = entry = entry.replaced(name=told[at].name or entry.name)
        added.append(entry)
    return job.replaced(rail=job.rail.replaced(feature=tuple(told))), tuple(added)


def _is(one: FeatureEntry, other: FeatureEntry) -> bool:
    apart = abs(complex(one.station_mm - other.station_mm, one.plane_mm - other.plane_mm))
    return one.kind == "hole" and apart <= SAME_PLACE_MM


def _told(entry: FeatureEntry) -> Message:
    place = mm(entry.station_mm), mm(entry.plane_mm), mm(entry.size_mm)
    return message("station {}, plane {}, size {}", *place)


WAYS: tuple[Callable[[Move], Ways], ...] = (as_it_stands, another_hole, spacers, pin_left, on_old_holes)
"""The smallest change first."""


def keep_holes(old: Work, new: Work) -> Kept:
    """What can be done with the holes that were drilled in the rail for the old job, when the new one is wanted."""
    move = Move.between(old, new)
    ways: list[Way] = []
    for way in WAYS:
        ways += way(move)
        if move.stays and ways[-1].holds:
            break  # there is nothing else to do
    kept = Kept(ways=tuple(ways), job_stops=tuple(stops(new.findings)), what="holes")
    if kept.best or kept.best_but_for_the_job:
        return kept
    return replace(kept, must_cut=tuple(holes_lost(old, new)))


def holes_lost(old: Work, new: Work) -> tuple[Message, ...]:
    """What would be done to the rail by the new job as it is written, a message each; empty when every hole stays.

    A hole drilled out for a thicker bolt is lost too: the rail has less steel.
    """
    holes = sorted(rail_holes(old, new), key=lambda hole: LOST.index(hole.kind) if hole.kind in LOST else -1)
    return tuple(_lost(holes))


def _lost(holes: list[RailHole]) -> Iterator[Message]:
    for hole in holes:
        if hole.kind in LOST:
            words = "{} at station {}, {} along the pin: {}"
            yield message(words, hole.name, mm(hole.station_mm), mm(hole.plane_mm), hole.kind)
