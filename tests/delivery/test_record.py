"""What a delivery records of its job is read back as that job, of every example."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.delivery.record import read_record
from plategen.job.inputs import fingerprint
from tests.support.delivered import delivered
from tests.support.every_example import EXAMPLES, PROFILES, work_of


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_delivery_is_compared_with_the_job_it_was_made_from_and_nothing_changed(name: str, tmp_path: Path) -> None:
    """With a file of fit notes it once held what no job file may, and could not be read."""
    work = work_of(name)
    (tmp_path / "out").mkdir()
    for file, data in delivered(name).files.items():
        (tmp_path / "out" / file).write_bytes(data)
    record = read_record(tmp_path / "out")
    assert record is not None
    job, traces = record.job()
    assert fingerprint(job, traces) == fingerprint(work.job, work.traces)
    result = CliRunner().invoke(main, ["revise", str(tmp_path / "out"), str(PROFILES / name)])
    assert "nothing changed" in result.output, result.output
    assert result.exit_code == (1 if work.stopped else 0)
