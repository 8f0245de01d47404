"""``plategen trim``: whether an existing plate can be trimmed to this rail."""

import sys
from dataclasses import replace
from pathlib import Path

import click

from plategen.commands.one_line import JOB, PATH, STOPPED, UNITS, in_units, say_json, working
from plategen.ground.unit import Units
from plategen.paper.size import PAPERS, USUAL_PAPER


@click.command()
@JOB
@click.argument("plate", type=PATH)
@click.option("--as", "name", default="", help="The job's plate whose place it takes; the best fitting if left out.")
@click.option("--play", default="0", show_default=True, help="How far the pin may slide along the cylinder's line.")
@click.option("--turn", default=180.0, show_default=True, help="Degrees the plate may turn from how it is drawn.")
@click.option("--this-face", is_flag=True, help="It may not be turned over.")
@click.option("--units", type=UNITS, help="What the drawing is in, if its file is wrong.")
@click.option(
    "--paper",
    type=click.Choice(PAPERS, case_sensitive=False),
    default=USUAL_PAPER,
    show_default=True,
    help="What the trim line is printed on.",
)
@click.option("--out", type=PATH, help="outputs/<job folder>/trim if left out.")
@click.option("--json", "as_json", is_flag=True, help="For other programs; writes no files.")
def trim(
    job: Path, plate: Path, name: str, play: str, turn: float, this_face: bool, units: Units | None, paper: str,
    out: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Whether the PLATE (a DXF file, anyone's) can serve the rail of JOB as it is traced now."""
    from plategen.checks.caution import SHORT
    from plategen.cut.dxf import MM_PER
    from plategen.delivery.deliver import stamp_after
    from plategen.delivery.folder import locked, put
    from plategen.delivery.record import read_record
    from plategen.delivery.trim_files import trim_files
    from plategen.ground.show import Show
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.revision.dxf_file import drawing_data, plate_for
    from plategen.revision.trim import freedom
    from plategen.revision.trim import trim as best_trim
    from plategen.tell.report.revision import trim_report
    from plategen.tell.revision import trim_lines

    loaded = load_job(job)
    show = Show(loaded.job.units)
    play_mm, turn_rad = freedom(play, turn, loaded.job.units, "--play, --turn")
    with in_units(loaded.job.units, "job.toml"), working("building what the job asks"):
        work = carry_through(loaded.job, loaded.traces)
    with in_units(loaded.job.units, str(plate)), working("trying the plate against the rail"):
        opened = plate_for(work.bracket, drawing_data(plate), MM_PER[units] if units else None)
        answer = best_trim(
            work, opened, name=name, play_mm=play_mm, most_turn_rad=turn_rad, may_turn_over=not this_face
        )
    if as_json:
        say_json(trim_report(answer, opened.notes, show))
    else:
        lines = [*map(show.text, opened.notes), *trim_lines(answer, show)]
        outputs = Path("outputs") / loaded.name
        folder = out or outputs / "trim"
        work = replace(work, stamp=stamp_after(read_record(outputs), work))
        with in_units(loaded.job.units, str(plate)):
            files = trim_files(work, answer, plate.stem, lines, paper)
        with locked(folder):
            put(folder, files)
        click.echo("\n".join([*lines, *(str(folder / file) for file in files), SHORT]))
    sys.exit(STOPPED if answer.must_stop else 0)
