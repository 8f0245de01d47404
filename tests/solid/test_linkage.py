"""The swept linkage as STEP: read back by the kernel's own reader, named, coloured, on the true places."""

from pathlib import Path

import pytest

pytest.importorskip("OCP")

from plategen.job.parse import parse_steering
from plategen.solid.kernel import volume_mm3
from plategen.solid.linkage import COLOURS, RADIUS_MM, linkage_bodies
from plategen.solid.step import in_order, step_bytes
from plategen.steering.skeleton import SkeletonLine, skeleton
from plategen.steering.study import study
from tests.solid.test_step import read_parts

TEXT = (Path(__file__).parents[2] / "profiles" / "orchard-sprayer-steering" / "job.toml").read_text(encoding="utf-8")
LINES = skeleton(study(parse_steering(TEXT)))


def test_every_line_comes_back_named_and_coloured_where_it_stands(tmp_path: Path) -> None:
    parts = read_parts(in_order(step_bytes("steering", linkage_bodies(LINES))), tmp_path)
    assert set(parts) == {line.name for line in LINES}
    for line in LINES:
        shape, rgb = parts[line.name]
        if line.kind != "path":
            assert rgb == pytest.approx(COLOURS[line.where], abs=0.005)
        box = shape.BoundingBox()
        reach = 1.6 * RADIUS_MM[line.kind] + 0.1
        for low, high, axis in ((box.xmin, box.xmax, 0), (box.ymin, box.ymax, 1), (box.zmin, box.zmax, 2)):
            places = [p[axis] for p in line.points_mm]
            assert low == pytest.approx(min(places), abs=reach)
            assert high == pytest.approx(max(places), abs=reach)


def test_a_rod_is_as_long_as_the_rod_at_every_position() -> None:
    volumes = [volume_mm3(b.shape) for b, line in zip(linkage_bodies(LINES), LINES, strict=True)
               if line.kind == "rod" and line.part == "drag link"]  # fmt: skip
    assert len(volumes) == 3
    assert max(volumes) == pytest.approx(min(volumes), rel=1e-9)


def test_a_line_of_no_length_is_left_out_and_twins_get_names_of_their_own() -> None:
    point = (0.0, 0.0, 0.0)
    lines = (
        SkeletonLine("cylinder", "rod", "left lock", (point, (100.0, 0.0, 0.0))),
        SkeletonLine("cylinder", "cylinder", "left lock", (point, (0.0, 100.0, 0.0))),
        SkeletonLine("idle", "lever", "left lock", (point, point)),
    )
    assert [b.name for b in linkage_bodies(lines)] == ["cylinder, left lock", "cylinder, left lock, cylinder"]
