"""``report.json``: every number. Each example's report keeps to the published schema and holds what the sheet shows."""

import json
import re
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest

from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.ground.show import Show
from plategen.tell.report.cutting import cutting_report
from plategen.tell.report.encode import Level, json_text, mirrored, schema
from plategen.tell.report.job import JobReport, job_report
from plategen.tell.report.steering import SteerReport, steer_report
from plategen.tell.steering.tables import tables
from plategen.work import Work
from tests.support.every_example import EXAMPLES, work_of

STEERED = "orchard-sprayer-steering"


def delivered_report(work: Work) -> JobReport:
    parts = cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    cutting = cutting_report(notes, Show(work.job.units))
    return msgspec.structs.replace(job_report(work), cutting=cutting, clearances=())


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_report_is_read_back_as_the_structs_it_was_made_from(example) -> None:
    """Strictly: no key the structs do not know, none missing, none of another type."""
    text = json_text(delivered_report(work_of(example)))
    again = msgspec.json.decode(text, type=JobReport)
    assert json.loads(json_text(again)) == json.loads(text)


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_report_keeps_to_the_published_schema(example) -> None:
    """Judged by jsonschema, a validator of JSON Schema 2020-12 that knows nothing of this program."""
    jsonschema = pytest.importorskip("jsonschema")
    published = schema(JobReport)
    jsonschema.Draft202012Validator.check_schema(published)
    jsonschema.Draft202012Validator(published).validate(json.loads(json_text(delivered_report(work_of(example)))))


def test_a_report_that_lacks_a_key_or_has_words_for_a_number_breaks_the_schema() -> None:
    jsonschema = pytest.importorskip("jsonschema")
    validator = jsonschema.Draft202012Validator(schema(JobReport))
    good = json.loads(json_text(delivered_report(work_of(EXAMPLES[0]))))
    less = {key: value for key, value in good.items() if key != "weld_length_mm"}
    assert [error.validator for error in validator.iter_errors(less)] == ["required"]
    assert [error.validator for error in validator.iter_errors({**good, "weld_length_mm": "long"})] == ["type"]


def test_every_key_of_the_schema_is_described() -> None:
    published = schema(JobReport)
    assert published["title"] == "JobReport"
    for name, part in published["$defs"].items():
        assert part["description"], name
        bare = [key for key, value in part["properties"].items() if key != "kind" and not value.get("description")]
        assert not bare, (name, bare)


def test_no_level_of_the_report_is_open() -> None:
    """Every level is a struct; only measures named by the job itself (wheels, bars) are kept by name, as numbers."""
    for name, part in schema(JobReport)["$defs"].items():
        for key, value in part["properties"].items():
            assert "type" in value or "$ref" in value or "anyOf" in value or "enum" in value, (name, key)
            if value.get("type") == "object":
                assert key in ("wheels_deg", "lock_right_deg", "lock_left_deg", "clearance_mm"), (name, key)


def test_a_key_that_no_source_has_is_an_error_and_one_of_a_missing_source_is_null() -> None:
    class Tilted(Level, frozen=True, kw_only=True):
        tilt_deg: float | None
        mm: float | None = None

    class Source:
        tilt_rad = 3.141592653589793

    assert mirrored(Tilted, Source(), mm=float("inf")).tilt_deg == pytest.approx(180.0)
    assert mirrored(Tilted, None).tilt_deg is None
    with pytest.raises(AttributeError, match="mm"):
        mirrored(Tilted, Source())


SUFFIX = {
    "mm": (("_mm", 1.0),), "°": (("_deg", 1.0),), "N": (("_n", 1.0),), "kN": (("_n", 1e3),),
    "N·m": (("_nmm", 1e3),), "MPa": (("_mpa", 1.0),), "bar": (("_mpa", 0.1),), "cm³": (("_mm3", 1e3),),
    "L/min": (("_lpm", 1.0),), "kW": (("_w", 1e3),), "m/s": (("_m_s", 1.0),), "s": (("_s", 1.0),),
    "%": (("_percent", 1.0), ("lost", 0.01), ("_share", 0.01)), "turns": (("_turns", 1.0), ("_rps", 1.0)),
}  # fmt: skip
"""For each unit of a table: how the keys end that hold such numbers, and what one is in theirs."""

NUMBER = re.compile(r"(?<![\w.])([+-]?\d+(?:\.\d+)?)\s?(mm|°|kN|N·m|N|MPa|bar|cm³|L/min|kW|m/s|s|%|turns)?(?![\w³/])")


def numbers(value: Any, key: str = "") -> Iterator[tuple[str, float]]:
    """Every number of a report with the key it stands under; a list's are its key's, a name's its parent's."""
    if isinstance(value, dict):
        for inner, of in value.items():
            yield from numbers(of, inner if not key.endswith(("_deg", "_mm")) else key)
    elif isinstance(value, list):
        for of in value:
            yield from numbers(of, key)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield key, value


def stands(word: re.Match[str], held: list[tuple[str, float]], per_mm: float) -> bool:
    """Whether a number of a cell is one of the report's to its last figure; ``per_mm`` is what slopes are told for."""
    shown, unit = abs(float(word[1])), word[2]
    half = 0.500001 * 10.0 ** -len(word[1].partition(".")[2])
    return any(
        abs(abs(number) * (per_mm if "_per_mm" in key and unit else 1.0) - shown * one) <= half * one
        for key, number in held
        for end, one in (SUFFIX[unit] if unit else (("", 1.0),))
        if key.removesuffix("_per_mm").endswith(end)
    )


def test_each_number_of_the_steering_s_tables_stands_in_the_report() -> None:
    report = job_report(work_of(STEERED)).steering
    assert report is not None
    held = list(numbers(json.loads(json_text(report))))
    looked = 0
    for block in tables(report, Show("mm")):
        per_mm = 10.0 if block.title == "What if" else 1.0  # that table is told for 10 mm
        for cell in (cell for row in block.rows for cell in row[1:]):
            for word in NUMBER.finditer(re.sub(r"\((?:ISO|NFPA|common)[^)]*\)|\(2018\).*|√.*", "", cell)):
                assert stands(word, held, per_mm), (block.title, cell, word[0])
                looked += 1
    assert looked > 150
    strange = [word for word in NUMBER.finditer("7123.4 mm, 88.88°, 77.123 kN") if stands(word, held, 1.0)]
    assert strange == []


def test_a_study_alone_tells_the_same_numbers_as_within_the_job() -> None:
    work = work_of(STEERED)
    assert work.steering is not None
    alone = json_text(steer_report(work.steering))
    assert isinstance(msgspec.json.decode(alone, type=SteerReport), SteerReport)
    within = json.loads(json_text(job_report(work)))["steering"]
    assert within == {key: value for key, value in json.loads(alone).items() if key in within}
