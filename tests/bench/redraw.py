"""How long the page takes from a change to what every tab is sent of it: sixty changes of each example.

Every number of the job file that has a length, a pressure or the like is changed by a little and back, readings are
nudged by a mark, and what can be dragged is dragged, one by one in an order that is the same on every run.
"""

import random
import re
import sys
import time
from collections.abc import Collection, Iterator
from pathlib import Path

from plategen.ground.refusal import Refusal
from plategen.page.disk import Folder
from plategen.page.draft import Draft, Drawn, redraw, thorough
from plategen.page.edits import edited
from plategen.page.form import all_inputs
from plategen.page.history import History
from plategen.page.parts import Moment, update
from plategen.page.request import Drag, Edit, Set, SetReading
from plategen.page.trace_edit import read_table
from plategen.page.view import form_of
from tests.support.every_example import PROFILES

CHANGES = 60
MOST_MS, MOST_WITH_MORE_MS = 50.0, 80.0
"""At p95: of plates, and where a steering or fit notes come with them."""

_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def allowed_ms(folder: Path) -> float:
    """What a change of an example may take at p95."""
    job = redraw(Folder(folder).read()).work.job
    return MOST_MS if job.steering is None and job.revision is None else MOST_WITH_MORE_MS


def times_ms(
    folder: Path, changes: int = CHANGES, views: tuple[str, ...] = (), tries: int = 1
) -> list[tuple[float, str]]:
    """Processor time of each change and what was changed, of a page that shows ``views`` besides; the slowest last.

    Of each change the least of so many ``tries`` counts: a busy machine makes every one of them longer. What a quick
    redraw leaves out is not among it: it follows once the hand rests, and the page says so until then.
    """
    rng = random.Random(folder.name)
    saved = draft = Folder(folder).read()
    drawn = first = redraw(draft)
    have: dict[str, str] = {}
    _told(_moment(draft, drawn, saved, first, 1), have, views)
    taken: list[tuple[float, str]] = []
    version = 1
    while len(taken) < changes:
        edit = _change(rng, draft)
        try:
            edited(draft, [edit], drawn)
        except Refusal:
            continue
        least = []
        for _ in range(tries):
            version += 1
            begun = time.process_time()
            after = edited(draft, [edit], drawn)
            came = redraw(after, drawn, quick=True)
            sent = _told(_moment(after, came, saved, first, version), dict(have), views)
            least.append(time.process_time() - begun)
        taken.append((1e3 * min(least), str(edit)))
        have |= {name: part["mark"] for name, part in sent["parts"].items()}
        draft, drawn = after, came
        if drawn.refusal is not None:
            draft = saved
            drawn = redraw(draft, drawn)
    return sorted(taken)


def thorough_ms(folder: Path, changes: int = 12) -> float:
    """Median processor time of what follows a quick redraw, ms."""
    rng = random.Random(folder.name)
    draft = Folder(folder).read()
    first, taken = redraw(draft), []
    while len(taken) < changes:
        try:
            after = edited(draft, [_change(rng, draft)], first)
        except Refusal:
            continue
        quick = redraw(after, first, quick=True)
        begun = time.process_time()
        thorough(quick)
        taken.append(1e3 * (time.process_time() - begun))
    return sorted(taken)[changes // 2]


def p95(taken: list[tuple[float, str]]) -> float:
    """What 95 of 100 stay within."""
    return taken[int(0.95 * len(taken)) - 1][0]


def _moment(draft: Draft, drawn: Drawn, saved: Draft, saved_drawn: Drawn, version: int) -> Moment:
    return Moment(
        version=version, draft=draft, saved=saved, drawn=drawn, saved_drawn=saved_drawn, theirs=None, disk="",
        unsaved=("job.toml",), history=History(draft), job_file="job.toml", job_mark="timed",
    )  # fmt: skip


def _told(moment: Moment, have: dict[str, str], views: tuple[str, ...]) -> dict[str, dict[str, dict[str, str]]]:
    return update(moment, have, views)


def _change(rng: random.Random, draft: Draft) -> Edit:
    pick = rng.random()
    if pick < 0.15:
        return Drag("pin", rng.uniform(100.0, 250.0), rng.uniform(-70.0, -40.0))
    if pick < 0.25:
        return Drag(f"foot {rng.randrange(2)}", rng.uniform(40.0, 300.0), 0.0)
    if pick < 0.45 and draft.files:
        file = rng.choice(sorted(draft.files))
        rows = read_table(draft.files[file]).rows
        if rows and (row := rng.choice(rows)) and _NUMBER.search(row.second):
            return SetReading(file, row.line, (row.first, f"{row.second.rstrip('.')}", f"again {rng.random():.3f}"))
    texts = [(i.path, i.text) for i in all_inputs(form_of(draft)) if i.kind == "quantity" and _NUMBER.search(i.text)]
    path, text = rng.choice(texts)
    return Set(path, _nudged(rng, text))


def _nudged(rng: random.Random, text: str) -> str:
    """The first number of a text made a little larger or smaller; a fraction gets another part of an inch."""
    if "/" in text:
        return re.sub(r"(\d+)/(\d+)", lambda m: f"{2 * int(m[1]) + rng.choice((-1, 1))}/{2 * int(m[2])}", text, count=1)
    return _NUMBER.sub(lambda m: f"{float(m[0]) * rng.uniform(0.97, 1.03):.6g}", text, count=1)


def examples() -> Iterator[Path]:
    """The folders of the examples."""
    yield from sorted(path for path in PROFILES.iterdir() if (path / "job.toml").exists())


def main(names: Collection[str] = ()) -> None:
    """Print the table, of the examples of these names alone where there are any."""
    print(f"\nFrom a change to the page's new parts, processor time of {CHANGES} changes, least of 3 each, ms")
    for folder in (each for each in examples() if not names or each.name in names):
        taken = times_ms(folder, tries=3)
        most = allowed_ms(folder)
        shown = p95(times_ms(folder, 20, ("plates", "traces", "solid", "steering"), 1))
        print(
            f"{folder.name:30} median {taken[len(taken) // 2][0]:5.0f}  p95 {p95(taken):5.0f} of {most:.0f}"
            f"  slowest {taken[-1][0]:5.0f}  with every view open {shown:5.0f}"
            f"  then, at rest {thorough_ms(folder):4.0f}   {taken[-3][1][:70]}",
            flush=True,
        )


if __name__ == "__main__":
    main(sys.argv[1:])
