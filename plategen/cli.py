"""The command line: names the commands and says where each is to be found.

Exit status: 0 done; 1 done, and a finding says stop; 2 the input is refused, with one line on the error stream and
nothing on disk changed.
"""

import os

import click

from plategen import __version__
from plategen.commands.one_line import OneLineErrors
from plategen.ground.memory import collect_seldom

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # matrices are small here: threads that wait for work only cost
collect_seldom()

COMMANDS = {
    "start": "Lay out a new job folder: a commented job file and a sample trace.",
    "form": "A blank form to measure a job with, on a clipboard.",
    "target": "Pages to lay beside a cardboard pattern that is photographed.",
    "pattern": "A photograph of the cardboard pattern, or of a plate, as a trace or a drawing.",
    "trace": "Read one trace; show the fitted shape and the doubtful readings.",
    "make": "The whole job: cut files, paper, sheet, solid and numbers.",
    "judge": "The numbers of a job alone; exit status 1 if a finding says stop.",
    "revise": "What changed, what is cut again, which welds stay.",
    "trim": "Whether an existing plate can be trimmed to this rail.",
    "steer": "The steering study: travel, stroke, in line, ports, stops and marks.",
    "keys": "Every key of the job file, or the schema of report.json.",
    "page": "The job on a local page, redrawn as numbers change.",
}
"""Every command and the file it lies in."""


@click.group(cls=OneLineErrors, lines=COMMANDS, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="plategen")
def main() -> None:
    """Bracket plates that fit a rail that is not square: from cardboard offsets to cut files, paper and numbers.

    Steering and welding can kill: local vehicle codes, a qualified welder and a licensed engineer decide.
    """
