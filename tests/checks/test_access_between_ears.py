"""A torch between two ears: free where they stand wide, or low; caution where neither."""

from tests.checks.bench import Bench


def _ways(bench: Bench) -> set[float]:
    return {round(f.capacity, 1) for f in bench.findings() if f.check == "torch access"}


def test_ears_that_stand_close_leave_no_way_in_for_a_torch() -> None:
    # a nozzle of 20 mm that leans 30 degrees off the face comes (26 - 10)/sin 30 = 32 mm in, on a mesh of 10.5 mm
    (way,) = _ways(Bench(eye_width=25.0))
    assert way in (22.5, 33.0)
    assert all(f.verdict == "caution" for f in Bench(eye_width=25.0).findings() if f.check == "torch access")


def test_ears_that_stand_wide_do() -> None:
    assert _ways(Bench(eye_width=60.0)) == {75.0}


def test_wider_ears_never_leave_less() -> None:
    ways = [min(_ways(Bench(eye_width=width))) for width in (20.0, 30.0, 40.0, 50.0, 60.0)]
    assert ways == sorted(ways)
