"""``plategen keys``: every key of the job file, every check, or a schema of the job file or the report."""

import click

from plategen.commands.one_line import UNITS, say_json
from plategen.ground.unit import Units


@click.command()
@click.argument("section", default="")
@click.option("--units", type=UNITS, default="in", show_default=True, help="What you measure in.")
@click.option("--report", "as_schema", is_flag=True, help="The JSON Schema of report.json instead.")
@click.option("--schema", "as_job_schema", is_flag=True, help="A JSON Schema of job.toml, for editors, instead.")
@click.option("--checks", "as_checks", is_flag=True, help="Every check and its rule instead.")
def keys(section: str, units: Units, as_schema: bool, as_job_schema: bool, as_checks: bool) -> None:
    """Every key of the job file, or those of one SECTION like weld or rail.trace."""
    if (instead := as_schema + as_job_schema + as_checks) and (section or instead > 1):
        raise click.UsageError("--report, --schema and --checks go alone, without a section")
    if as_job_schema:
        from plategen.tell.job_schema import job_schema

        say_json(job_schema())
        return
    if as_checks:
        from plategen.tell.check_list import check_tables

        click.echo("\n\n".join("\n".join(block.lines) for block in check_tables()))
        return
    if as_schema:
        from plategen.tell.report.encode import schema
        from plategen.tell.report.job import JobReport

        say_json(schema(JobReport))
        return
    from plategen.tell.keys import key_tables

    click.echo("\n\n".join("\n".join(block.lines) for block in key_tables(section, units)))
