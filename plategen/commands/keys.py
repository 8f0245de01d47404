"""``plategen keys``: every key of the job file, or the schema of the report."""

import click

from plategen.commands.as_json import say_json
from plategen.commands.words import UNITS
from plategen.ground.unit import Units


@click.command()
@click.argument("section", default="")
@click.option("--units", type=UNITS, default="in", show_default=True, help="What you measure in.")
@click.option("--report", "as_schema", is_flag=True, help="The JSON Schema of report.json instead.")
def keys(section: str, units: Units, as_schema: bool) -> None:
    """Every key of the job file, or those of one SECTION like weld or rail.trace."""
    if as_schema:
        if section:
            raise click.UsageError("--report goes without a section")
        from plategen.tell.report.encode import schema
        from plategen.tell.report.job import JobReport

        say_json(schema(JobReport))
        return
    from plategen.tell.keys import key_tables

    click.echo("\n\n".join("\n".join(block.lines) for block in key_tables(section, units)))
