"""Words that several commands take: the choices that the shell completes, without loading what they choose among."""

import click

from plategen.paper.size import PAPERS_MM

PAPER = click.Choice([*PAPERS_MM, "roll"], case_sensitive=False)
UNITS = click.Choice(["in", "mm"])
"""Words that several commands take."""
