"""Ways to keep every weld: verified by making the bracket and looking at the files of what is welded."""

from pathlib import Path

import pytest

from plategen.job.load import LoadedJob, load_job
from plategen.make import carry_through
from plategen.revision.compare import compare
from plategen.revision.keep import Kept, keep_welds
from plategen.shop.table.dxf_files import plate_dxf
from plategen.shop.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"


def pair(name: str, by_mm: float) -> tuple[Work, Work]:
    loaded: LoadedJob = load_job(PROFILES / name)
    mount = loaded.job.mount
    other = loaded.job.replaced(mount=mount.replaced(inline_offset_mm=mount.inline_offset_mm + by_mm))
    return carry_through(loaded.job, loaded.traces), carry_through(other, loaded.traces)


def tried(kept: Kept) -> dict[str, bool]:
    return {way.change: way.holds for way in kept.ways}


def outlines(work: Work) -> dict[str, object]:
    return {plate.name: plate.outline for plate in work.bracket.plates if plate.welded}


@pytest.mark.parametrize("by_mm", [3.0, 8.0])
def test_split_the_next_ear_leaves_the_welded_files_as_they_are(by_mm: float) -> None:
    old, new = pair("forwarder-split-mount", by_mm)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "another ear"
    assert best.work is not None
    for plate, then in zip(old.bracket.plates, best.work.bracket.plates, strict=True):
        if plate.welded:
            assert plate_dxf(plate, "mm", old.bracket.welds) == plate_dxf(then, "mm", best.work.bracket.welds)
    assert {run.kind for run in compare(old, best.work).runs} == {"kept"}


def test_another_hole_where_the_old_ear_is_large_enough() -> None:
    old, new = pair("quarry-straight-rail", -45.0)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "another hole"
    assert best.work is not None
    assert outlines(best.work) == outlines(old)
    assert {run.kind for run in compare(old, best.work).runs} == {"kept"}
    for plate, was in zip(best.work.bracket.plates, old.bracket.plates, strict=True):
        pin = next(hole for hole in plate.holes if hole.name == "pin")
        assert abs(pin.circle.centre - was.holes[0].circle.centre) == pytest.approx(45.0)
        assert plate.outline.distance(pin.circle.centre) >= pin.edge_required_mm
    assert best.work.findings != old.findings


def test_a_hole_that_breaks_into_the_old_one_does_not_serve() -> None:
    kept = keep_welds(*pair("sprayer-kicked-rail", 3.0))
    assert tried(kept)["another hole"] is False
    assert "too near to the old hole" in kept.ways[0].told
    assert kept.best is not None
    assert kept.best.change == "off its line"


def test_when_nothing_can_be_done_it_says_what_must_be_cut() -> None:
    old, new = pair("sprayer-kicked-rail", 90.0)
    kept = keep_welds(old, new)
    assert kept.best is None
    assert any(line.startswith("ear_near: cut again") for line in kept.must_cut)
    assert any("ground out and redone" in line for line in kept.must_cut)


def test_spacers_take_up_a_narrower_eye() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    cylinder = loaded.job.cylinder
    bracket = loaded.job.bracket
    narrow = loaded.job.replaced(
        cylinder=cylinder.replaced(base=cylinder.base.replaced(eye_width_mm=cylinder.base.eye_width_mm - 6.0)),
        bracket=bracket.replaced(plane_mm=bracket.plane_mm + 4.0),
    )
    old, new = carry_through(loaded.job, loaded.traces), carry_through(narrow, loaded.traces)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "spacers"
    assert best.work is not None
    # room 31.75 + 2 x 0.79; the eye's middle moves by 4 - 3 = 1 mm along the pin
    assert best.told.startswith("spacers of 3/16 in (0.189) below the eye along the pin and 1/8 in (0.110) above")
    assert outlines(best.work) == outlines(old)


def test_the_pin_where_it_was_is_nothing_to_do() -> None:
    old, new = pair("sprayer-kicked-rail", 0.0)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "nothing"
