"""Words that several commands take: the choices that the shell completes, without loading what they choose among."""

import click

from plategen.paper.size import PAPERS

PAPER = click.Choice(PAPERS, case_sensitive=False)
UNITS = click.Choice(["in", "mm"])
"""Words that several commands take."""
