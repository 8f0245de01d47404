"""Traces of one rail whose own fits differ, fitted together."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from plategen.bracket.style import style_of
from plategen.design.places import pin_place
from plategen.ground.refusal import Refusal
from plategen.make import fit_rail, on_rail
from plategen.rail.fit import fit_together, fit_trace
from plategen.rail.fit.model import frames
from plategen.rail.fit.together import shape_of
from plategen.rail.fit.trace import chain_along, edges
from plategen.rail.trace import FittedTrace
from tests.rail.fit_rails import Rail, a_rail, along, letters, read, trace_of
from tests.support.corners import corner_profile
from tests.support.rails import KnownRail
from tests.support.random_jobs import example


def read_in_planes(rail: Rail, rng: np.random.Generator, planes: int = 2) -> list[tuple[Rail, FittedTrace]]:
    """A rail that leans from plane to plane, as it is in each, and each trace fitted by itself."""
    listed = []
    for k in range(planes):
        values = rail.shape.values + np.array([4.0 * k, 0.01 * k, *np.zeros(len(rail.shape.values) - 2)])
        here = replace(rail, shape=rail.shape.at(values))
        trace = replace(trace_of(read(here, rng)), plane_mm=60.0 * k, file=f"{k}.csv")
        listed.append((here, fit_trace(trace)))
    return listed


@pytest.mark.parametrize("planes", [2, 3])
def test_traces_that_share_their_pieces_are_no_farther_off(planes: int) -> None:
    rng = np.random.default_rng(31 + planes)
    before, after = [], []
    while len(before) < 8:
        known = read_in_planes(a_rail("bend", rng), rng, planes)
        alone = [fitted for _, fitted in known]
        together = fit_together(alone)
        if len({letters(fitted.chain) for fitted in alone}) == 1:
            assert together == tuple(alone)  # fits that agree are left as they are
            continue
        assert len({letters(fitted.chain) for fitted in together}) == 1
        before += [rail.off(along(fitted.chain)) for rail, fitted in known]
        after += [rail.off(along(f.chain)) for (rail, _), f in zip(known, together, strict=True)]
    assert sum(after) <= 1.02 * sum(before)


def test_a_bend_that_no_reading_lies_in_is_known_from_the_next_trace() -> None:
    chains = [corner_profile(190.0, 160.0, 0.35, 60.0, 0.02, 190 + 40j + shift) for shift in (0.0, 2 + 3j)]
    stations = (
        [4.0 * k for k in range(1, 82)],
        [*(12.0 * k for k in range(1, 15)), *(216.0 + 12.0 * k for k in range(10))],
    )
    alone = [
        fit_trace(replace(KnownRail(chain).read(0.0, at, 0.1, 0.0, random.Random(7)), file=f"{chain.start}.csv"))
        for chain, at in zip(chains, stations, strict=True)
    ]
    assert [letters(fitted.chain) for fitted in alone] == ["LAL", "LL"]
    shown, hidden = fit_together(alone)
    assert shown is alone[0]
    bend = hidden.chain.segments[1]
    assert bend.length / abs(bend.sweep_rad) == pytest.approx(60.0, rel=0.2)
    off = [max(min(abs(p - q) for q in along(chains[1], 400)) for p in along(f.chain)) for f in (alone[1], hidden)]
    assert off[1] < off[0]


def test_a_trace_that_takes_over_a_bend_still_doubts_it() -> None:
    # once it knew no rival, and of nine readings round a corner a plate bound deeper than was said in 13 of 100
    rng = np.random.default_rng(40)
    taken = 0
    while taken < 3:
        fits = [fit for _, fit in read_in_planes(a_rail("bend", rng, span_mm=9.5 * 12.7), rng)]
        for own, both in zip(fits, fit_together(fits), strict=True):
            if both is not own and letters(both.chain) != letters(own.chain):
                taken += 1
                assert both.spread.chances


def test_a_step_in_one_plane_only_stays_there() -> None:
    rng = np.random.default_rng(4)
    for _ in range(3):
        (_, fitted), (rail, _) = read_in_planes(a_rail("line", rng), rng)
        points = read(rail, rng)
        stepped = fit_trace(trace_of(points - 8j * (points.real > 150.0)))
        assert stepped.risers
        assert fit_together([fitted, stepped]) == (fitted, stepped)


def test_a_fitted_chain_is_a_walk_again() -> None:
    rng = np.random.default_rng(12)
    for kind in ("line", "corner", "bend", "two bends", "arc"):
        chain = fit_trace(trace_of(read(a_rail(kind, rng), rng))).chain
        shape = shape_of(chain)
        assert shape.word.replace("C", "") == letters(chain)
        walk = frames(shape)
        last = len(walk.piece) - 1
        # what made the chain makes it again
        again = chain_along(walk, edges(walk, (0, 0.0), (last, chain.segments[-1].length)))
        assert np.abs(along(again) - along(chain)).max() < 1e-9


@pytest.mark.parametrize("seed", [0, 5, 9, 13, 17, 27])
def test_a_job_traced_at_its_plates_middles_is_never_refused_for_its_bends(seed: int) -> None:
    rng = random.Random(seed)
    job = example("sprayer-kicked-rail").job
    middles = [place.middle_mm for place in style_of("ears").fitted(job, pin_place(job, None).plane_mm)]
    turn = math.radians(rng.uniform(9.0, 25.0)) * rng.choice((-1, 1))
    profile = corner_profile(220.0, 190.0, turn, math.copysign(rng.uniform(0.0, 60.0), turn), 0.0, 160 + 38j)
    known = KnownRail(profile, complex(rng.uniform(-0.2, 0.2), rng.uniform(-0.1, 0.1)))
    traces = tuple(known.read(w, [12.7 * k for k in range(26)], 0.45, 25.4 / 32, rng) for w in middles)
    entries = tuple(entry.replaced(plane_mm=w) for entry, w in zip(job.rail.trace, middles, strict=True))
    rail = fit_rail(traces, job.mount.inline_offset_mm)
    try:
        work = on_rail(job.replaced(rail=job.rail.replaced(trace=entries)), rail)
    except Refusal as refusal:  # pragma: no cover
        pytest.fail(str(refusal))
    assert all(plate.fit is None or plate.fit.overlap_mm < 0.02 for plate in work.bracket.plates)
