"""Random jobs on the web of a rail that is read in two planes."""

import random

from plategen.job import Job
from plategen.job.bolted import Bolted
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail_feature import FeatureEntry
from plategen.job.rules import Rules
from tests.support.web_rail import web_entry


def bolted_job(rng: random.Random) -> Job:
    """A job of style ``bolted`` in millimetres on the web of a rail, with things on it."""
    kinds = ("hole", "rivet", "hose", "bracket")
    features = []
    for _ in range(rng.randint(0, 4)):
        kind = rng.choice(kinds)
        features.append(
            FeatureEntry(
                kind=kind,  # type: ignore[arg-type]
                station_mm=rng.uniform(60.0, 440.0),
                plane_mm=rng.uniform(-110.0, 110.0),
                size_mm=rng.uniform(10.0, 40.0) if kind != "hole" else rng.choice((14.0, 18.0)),
                height_mm=None if kind == "hole" else rng.uniform(4.0, 30.0),
                use=kind == "hole" and rng.random() < 0.5,
            )
        )
    thick, bolt = rng.choice((10.0, 12.0, 15.0)), rng.choice((12.0, 16.0, 20.0))
    return Job(
        title="Bolted",
        units="mm",
        rail=web_entry(rng.choice((6.0, 8.0, 10.0)), "S690", features),
        cylinder=Cylinder(
            bore_mm=50.0, rod_mm=30.0, stroke_mm=200.0, closed_length_mm=420.0, body_diameter_mm=62.0,
            pressure_mpa=rng.uniform(6.0, 16.0),
            base=CylinderEnd(pin_mm=25.0, eye_width_mm=rng.choice((20.0, 25.0, 35.0)), eye_radius_mm=28.0),
        ),
        mount=Mount(inline_offset_mm=rng.uniform(30.0, 110.0), pin_station_mm=rng.uniform(200.0, 300.0)),
        bracket=BracketEntry(style="bolted", plane_mm=rng.uniform(-20.0, 0.0), thickness_mm=thick, steel="S355",
                             side_play_mm=0.5),
        bolted=Bolted(
            bolt_mm=bolt, base_mm=rng.choice((15.0, 20.0, 25.0)), bolts=rng.choice((4, 4, 6, 8)),
            backing_mm=rng.choice((None, 10.0)),
        ),
        weld=Weld(leg_mm=6.0),
        rules=Rules(set="en-1993", bolt_grade="10.9", pretensioned=True),
    )  # fmt: skip


def set_and_sleeved(job: Job, rng: random.Random) -> Job:
    """A bolted job as it is, or its base in slots, fitted once it is set, or bolted right through a box section."""
    assert job.bolted is not None
    change = rng.choice(("none", "slots", "fitted", "box"))
    if change == "box":
        through = job.bolted.replaced(depth_mm=rng.choice((80.0, 120.0)), sleeve_mm=rng.choice((None, 38.0, 45.0)))
        return job.replaced(rail=job.rail.replaced(section="box", face="flange"), bolted=through)
    if change == "none":
        return job
    slots = job.bolted.replaced(slot_mm=rng.choice((3.0, 5.0)), fitted=change == "fitted")
    return job.replaced(bolted=slots)
