"""Every style has its builder, is shown by an example, and says where its fitted plates stand before any is built."""

from typing import get_args

import pytest

from plategen.bracket.style import style_of
from plategen.job.bracket import STYLES, StyleName
from plategen.job.job import Job
from plategen.job.schema import fields, table_of
from tests.support.every_example import EXAMPLES, work_of

NAMES: tuple[StyleName, ...] = get_args(StyleName)


def test_every_style_is_held_by_the_file_of_its_name() -> None:
    assert set(STYLES) == set(NAMES)
    assert [style_of(name).name for name in NAMES] == list(NAMES)


def test_every_style_has_the_table_that_it_names() -> None:
    tables = {field.key for field in fields(Job) if table_of(field.form) is not None}
    named = {table for entry in STYLES.values() for table in entry.tables}
    assert {"split", "bolted", "seat", "gusset"} <= named <= tables


def test_every_example_is_named_by_its_style_and_every_style_has_one() -> None:
    named = {example: name for name in NAMES for example in style_of(name).examples}
    assert named == {name: work_of(name).job.bracket.style for name in EXAMPLES}
    assert set(named.values()) == set(NAMES)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_fitted_plates_stand_where_the_style_said(name: str) -> None:
    work = work_of(name)
    said = style_of(work.job.bracket.style).fitted(work.job, work.design.pin.plane_mm)
    across = [plate for plate in work.bracket.plates if plate.notch and abs(plate.placement.normal[2]) > 1.0 - 1e-9]
    if work.job.style.stands_on == "tube" or work.bracket.wall is not None:  # ears on a base are fitted to the base
        assert not said
        return
    assert [place.name for place in said] == [plate.name for plate in across]
    for place, plate in zip(said, across, strict=True):
        assert place.middle_mm == pytest.approx(plate.placement.origin[2] + plate.thickness_mm / 2)


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_parts_are_for_goes_with_what_they_are(name: str) -> None:
    work = work_of(name)
    plates = {plate.name: plate for plate in work.bracket.plates}
    for run in work.bracket.welds:
        assert (run.joint == "tie") == (run.other in plates)
        assert run.joint in ("tie", work.job.style.stands_on)
    held = [plate for plate in plates.values() if plate.pin_hole is not None]
    assert held
    assert {plate.role for plate in held} <= {"ear", "tab"}
    for plate in held:
        hole = plate.pin_hole
        assert hole is not None
        assert hole.bolt_mm == work.bracket.pin.diameter_mm
    assert all(hole.purpose in ("pin", "bolt") for plate in plates.values() for hole in plate.holes)
