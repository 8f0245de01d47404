"""The process that holds the solid kernel while a job is made: ``python -m plategen.delivery.solid_server``.

It loads the kernel, takes a job pickled on standard input and gives back, pickled one after the other, the clearances
and then each file that the kernel makes, under its name, or the refusal of it.
"""

import contextlib
import os
import pickle
import sys
from collections.abc import Iterator
from typing import BinaryIO

from plategen.delivery.manifest import solid_items
from plategen.delivery.render import Source
from plategen.delivery.solid_process import CLEARANCES, ROD_END_CLEARANCES, pickled
from plategen.ground.memory import collect_seldom
from plategen.ground.refusal import Refusal
from plategen.solid.kernel import SolidUnavailable, kernel
from plategen.work import Work


def _answers(work: Work) -> Iterator[tuple[str, object]]:
    """What the kernel measures and makes of a job, or the refusal, under its name."""
    source = Source(work, "", solid=True)
    yield CLEARANCES, source.clearances
    yield ROD_END_CLEARANCES, source.rod_end_clearances
    for item in solid_items(source):
        try:
            yield item.name, item.make()
        except Refusal as refusal:
            yield item.name, refusal


def _serve(asked: BinaryIO, told: BinaryIO) -> None:
    with contextlib.suppress(SolidUnavailable):  # said again, with its reason, for each file
        kernel("gp")
    try:
        work = pickle.load(asked)
    except EOFError:
        return  # nobody asks any more
    for answer in _answers(work):
        told.write(pickled(answer))
        told.flush()


if __name__ == "__main__":
    collect_seldom()  # as the command that began it does
    # what the kernel prints must not come between the answers
    with contextlib.suppress(BrokenPipeError), os.fdopen(os.dup(1), "wb") as own:
        os.dup2(2, 1)
        _serve(sys.stdin.buffer, own)
