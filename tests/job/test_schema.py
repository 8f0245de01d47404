"""What the tables say of themselves: every key has a meaning, a kind and limits."""

import msgspec
import pytest

from plategen.ground.refusal import Refusal
from plategen.job import Job, Table
from plategen.job.bracket import BracketEntry
from plategen.job.cutting import Cutting
from plategen.job.parse import parse_job
from plategen.job.quantities import key_of
from plategen.job.schema import Field, fields, one_of, table_of
from tests.job.examples import RIGHT


def every_field(table: type[Table], path: str = "") -> list[tuple[str, Field]]:
    found = []
    for field in fields(table):
        found.append((f"{path}{field.key}", field))
        inner = table_of(field.form)
        if inner is not None:
            found.extend(every_field(inner, f"{path}{field.key}."))
    return found


@pytest.mark.parametrize(("place", "field"), every_field(Job), ids=lambda x: x if isinstance(x, str) else "")
def test_every_key_of_the_job_file_is_documented(place: str, field: Field) -> None:
    assert field.doc, f"{place} says nothing of itself"
    assert field.kind
    assert field.key.islower()


def test_a_key_tells_kind_limits_default_and_meaning() -> None:
    found = {field.key: field for field in fields(BracketEntry)}
    thickness, fit, nose = found["thickness"], found["pin_fit"], found["nose_radius"]
    assert (thickness.name, thickness.kind, thickness.required) == ("thickness_mm", "length", True)
    assert thickness.allowed is not None
    assert str(thickness.allowed.limits) == "more than 0 and up to 100,000 mm"
    assert (fit.kind, fit.default, fit.required) == ("close, normal, loose or ream", "close", False)
    assert (nose.may_be_auto, nose.default, thickness.may_be_auto) == (True, None, False)
    assert nose.doc.startswith("Radius of the plate about the pin")


@pytest.mark.parametrize(
    ("field", "key"),
    [("bore_mm", "bore"), ("pressure_mpa", "pressure"), ("angle_rad", "angle"), ("smallest_hole", "smallest_hole")],
)
def test_a_key_is_its_field_without_the_unit(field: str, key: str) -> None:
    assert key_of(field) == key


def test_words_are_joined_as_people_join_them() -> None:
    assert [one_of(("a",)), one_of(("a", "b")), one_of(("a", "b", "c"))] == ["a", "a or b", "a, b or c"]


def test_a_changed_copy_is_checked_and_the_first_stays() -> None:
    cutting = Cutting(kerf_mm=1.5)
    assert cutting.replaced(compensate=True).compensate
    assert not cutting.compensate
    with pytest.raises(Refusal, match="compensating needs the width of the cut"):
        Cutting().replaced(compensate=True)


def test_a_job_is_a_value() -> None:
    job = parse_job(RIGHT)
    assert job == parse_job(RIGHT)
    assert hash(job) == hash(parse_job(RIGHT))
    assert msgspec.json.decode(msgspec.json.encode(job))["cylinder"]["bore"] == 50.8
    with pytest.raises(AttributeError):
        job.title = "other"  # type: ignore[misc]
