"""Where the nearest points of tyres, fittings and what passes them lie, against points strewn over both."""

import numpy as np
import pytest

from plategen.job.parse import parse_job
from plategen.steering.axle import heights_mm, held_at
from plategen.steering.clearance import Clearance
from plategen.steering.gap_track import fitting_gaps, tyre_gaps
from plategen.steering.ring import TyreSize, nearest_on_ring
from plategen.steering.study import SteeringStudy, study
from plategen.steering.tyre_room import tyres_of, tyres_past
from plategen.steering.vector import Floats
from tests.support.every_example import PROFILES


@pytest.fixture(scope="module")
def bowser() -> SteeringStudy:
    return study(parse_job((PROFILES / "bowser-leaf-axle" / "job.toml").read_text(encoding="utf-8")))


def skin_of(tyre: TyreSize) -> Floats:
    """Points all over a tyre's skin, from its middle."""
    half, turn = tyre.width_mm / 2.0, np.linspace(0.0, 2.0 * np.pi, 721)[:-1]
    tread = [(tyre.radius_mm, y) for y in np.linspace(-half, half, 21)]
    sides = [(r, y) for r in np.linspace(tyre.rim_mm, tyre.radius_mm, 31) for y in (-half, half)]
    well = [(tyre.rim_mm, y) for y in np.linspace(-half, half, 21)] if tyre.rim_mm else []
    r, y = np.array([*tread, *sides, *well]).T
    x, z = np.cos(turn), np.sin(turn)
    return np.stack([np.outer(r, x), np.outer(y, np.ones_like(x)), np.outer(r, z)], axis=-1).reshape(-1, 3)


@pytest.mark.parametrize("rim_mm", [0.0, 210.0])
def test_the_nearest_point_of_a_tyre_is_nearer_than_any_that_is_strewn(rim_mm: float) -> None:
    tyre = TyreSize(lever="w", centre_mm=(0, 0, 0), radius_mm=440.0, width_mm=220.0, rim_mm=rim_mm)
    points = np.random.default_rng(5).uniform((-600, -250, -600), (600, 250, 600), (60, 3))
    skin, into = nearest_on_ring(tyre, points)
    strewn = skin_of(tyre)
    for point, found, way in zip(points, skin, into, strict=True):
        apart = float(np.linalg.norm(found - point))
        least = float(np.linalg.norm(strewn - point, axis=1).min())
        assert least - 4.0 < apart <= least + 1e-9
        assert np.linalg.norm(way) == pytest.approx(1.0)
    every, _ = nearest_on_ring(tyre, skin)
    assert every == pytest.approx(skin, abs=1e-9), "a point of the skin is its own nearest"


def test_a_tyre_s_gap_is_as_long_as_it_is_told_over_the_sweep_and_the_axle_s_travel(bowser: SteeringStudy) -> None:
    swept, entry = bowser.sweep, bowser.steering.axle
    assert swept is not None
    assert entry is not None
    rise = heights_mm(entry, 3)
    held = held_at(swept, entry, rise, np.zeros(len(rise)))
    drawn = tuple(each for each in bowser.clearances if not each.axle_moved)
    moved = tyres_past(bowser.steering, held.motion, bowser.barrels, axle_moved=True)
    (tyre, *_) = tyres_of(bowser.steering, swept.linkage)
    for motion, found, positions in (
        (swept.motion, drawn, np.linspace(0, len(swept) - 1, 7).astype(int)),
        (held.motion, moved, np.arange(len(rise))),
    ):
        tracks = {track.name: track for track in tyre_gaps(found, positions)}
        for each in found:
            track = tracks[f"tyre of the {each.tyre} to {each.bar}"]
            one, other = track.ends_mm()
            assert np.linalg.norm(one - other, axis=1) == pytest.approx(np.abs(track.gap_mm), abs=1e-3)
        link = next(each for each in found if (each.tyre, each.bar) == (tyre.lever, "drag link"))
        _on_both(link, tyre, motion, positions)


def _on_both(link: Clearance, tyre: TyreSize, motion, positions) -> None:  # type: ignore[no-untyped-def]
    """One end lies on the tyre's skin, the other on the drag link's."""
    one, other = link.ends_mm(positions)
    few = motion.picked(positions)
    seen = few.seen_from(tyre.lever, one) - np.array(tyre.centre_mm)
    assert nearest_on_ring(tyre, seen)[0] == pytest.approx(seen, abs=1e-6)
    start, end = few.rod_ends_mm("drag link")
    way = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
    off = np.linalg.norm(np.cross(other - start, way), axis=1)
    assert (off <= link._pair[1].diameter_mm / 2.0 + 1e-6).all()


def test_a_fitting_s_gap_is_the_study_s_at_its_least(bowser: SteeringStudy) -> None:
    assert bowser.in_line is not None
    tracks = {track.name: track for track in fitting_gaps(bowser, bowser.in_line.pins)}
    for port in bowser.ports:
        for bar, least in port.clearance_mm:
            track = tracks[f"fitting of the {port.name} port to {bar}"]
            one, other = track.ends_mm()
            assert np.linalg.norm(one - other, axis=1) == pytest.approx(np.abs(track.gap_mm), abs=1e-9)
            over_axle = float(track.gap_mm.min())
            assert over_axle >= least - 1e-9, "the study's is over the axle's travel as well"
