"""How a sweep of variants is run and printed: over processes, with progress, and Ctrl-C loses nothing that is done."""

import csv
import io
import signal
import sys
from collections.abc import Generator
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing
from typing import Literal, TypeAlias

import click

from plategen.commands.one_line import INTERRUPTED, STOPPED, at_terminal, say_json
from plategen.tell.table import columns
from plategen.tell.vary_table import head, plain_head, plain_row, row, summary, variants_report
from plategen.vary import Sweep, Variant, judged

Form: TypeAlias = Literal["table", "csv", "json"]
"""What the variants are printed as."""

_CHUNK = 64
"""Variants handed to a process at a time: a fraction of a second's work, so that progress moves and Ctrl-C is heard."""


def run(sweep: Sweep, jobs: int, *, form: Form) -> int:
    """Judge every variant, print it, and say the exit status.

    Returns:
        0 when a variant holds, 1 when every one stops or is refused, 130 when interrupted; what was done by then is
        printed all the same.
    """
    done: list[Variant] = []
    stopped = False
    rows = csv.writer(sys.stdout or io.StringIO(), lineterminator="\n")
    if form == "csv":
        rows.writerow(plain_head(sweep))
    with (
        click.progressbar(
            length=len(sweep), label="variants", show_pos=True, file=sys.stderr, hidden=not at_terminal()
        ) as bar,
        closing(variants_of(sweep, jobs)) as variants,
    ):
        try:
            for variant in variants:
                done.append(variant)
                if form == "csv":
                    rows.writerow(plain_row(sweep, variant))
                bar.update(1)
        except KeyboardInterrupt:
            stopped = True
    if form == "json":
        say_json(variants_report(sweep, done))
    elif form == "table":
        click.echo("\n".join(columns([head(sweep), *(row(sweep, variant) for variant in done)])))
    click.echo(f"{'stopped: ' if stopped else ''}{summary(done, len(sweep))}", err=form != "table" or stopped)
    if stopped:
        return INTERRUPTED
    return 0 if any(variant.verdict in ("ok", "caution") for variant in done) else STOPPED


def variants_of(sweep: Sweep, jobs: int) -> Generator[Variant, None, None]:
    """Every variant in the grid's order, whoever judges it."""
    if jobs == 1:
        yield from judged(sweep, range(len(sweep)))
        return
    chunks = [range(i, min(i + _CHUNK, len(sweep))) for i in range(0, len(sweep), _CHUNK)]
    pool = ProcessPoolExecutor(min(jobs, len(chunks)), initializer=_hold, initargs=(sweep,))
    try:
        for variants in pool.map(_chunk, chunks):
            yield from variants
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


_held: list[Sweep] = []
"""In a process that judges a part of a sweep: that sweep, sent there once."""


def _hold(sweep: Sweep) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that was asked hears of it, and ends the others
    _held.append(sweep)


def _chunk(indexes: range) -> list[Variant]:
    return list(judged(_held[-1], indexes))
