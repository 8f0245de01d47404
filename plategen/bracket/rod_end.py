"""What a seat is called that stands in one job with the bracket on the frame: no plate and no run of the two shares
its name with another.
"""

from dataclasses import replace

from plategen.bracket.model import Bracket, Mark, Plate

PREFIX = "rod_end_"
"""Goes before the name of every plate and file of the seat at the rod's end."""

RUNS = "R"
"""Letter of its weld runs, where the frame's have W."""


def called_rod_end(bracket: Bracket) -> Bracket:
    """The seat's bracket with the names that it has beside the frame's."""
    names = {plate.name: f"{PREFIX}{plate.name}" for plate in bracket.plates}

    def marked(mark: Mark) -> Mark:
        return replace(mark, name=names.get(mark.name, mark.name))

    def called(plate: Plate) -> Plate:
        return replace(plate, name=names[plate.name], marks=tuple(map(marked, plate.marks)))

    runs = (
        replace(run, name=f"{RUNS}{number}", plate=names[run.plate], other=names.get(run.other, run.other))
        for number, run in enumerate(bracket.welds, 1)
    )
    return replace(bracket, plates=tuple(map(called, bracket.plates)), welds=tuple(runs))
