"""The folder that the page was started in: the jobs that lie in it, and new ones put there.

A job is a folder of its own with a ``job.toml``. Nothing outside the shelf is listed or opened, and no link out of it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from plategen.delivery.folder import put_new
from plategen.delivery.recorded import Letter, letters_in
from plategen.delivery.starter import Start, starter_texts
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.load import JOB_FILE, read_text
from plategen.job.toml_edit import path_of, set_value
from plategen.page.disk import AUTOSAVE, MOST_BYTES, Folder
from plategen.page.draft import Draft, named_files, plain
from plategen.page.trace_edit import clear_rows

MOST_JOBS = 200
"""Jobs that are listed, the latest first: nobody looks through more."""

OUTPUTS = "outputs"
"""Where `plategen make` puts the files of a job, in a folder of the job's own."""

MOST_NAME = 60
"""Signs of a folder's name."""

_NOT_IN_NAMES = re.compile(r"\W+")
_TAKEN_BY_WINDOWS = re.compile(r"con|prn|aux|nul|com\d|lpt\d")


@dataclass(frozen=True, slots=True)
class Listed:
    """A job of the shelf as it is listed."""

    name: str  # Its folder's, in the shelf.
    title: str  # What its job file calls it; the folder's name where it says nothing.
    trouble: str  # Why it cannot be opened, "" if it can.
    unsaved: bool  # Something that was typed is not saved yet.


@dataclass(frozen=True, slots=True)
class Shelf:
    """A folder of job folders, links resolved."""

    path: Path

    def jobs(self) -> tuple[Listed, ...]:
        """The jobs that lie in it, the one written last first."""
        return tuple(self._listed(folder) for folder in self._folders()[:MOST_JOBS])

    def job(self, name: str) -> Folder:
        """The folder of one of the jobs that are listed.

        Raises:
            Refusal: There is no such job in the shelf.
        """
        found = next((folder for folder in self._folders() if folder.name == name), None)
        if found is None:
            raise Refusal("is not among the jobs here any more; load this page anew", place=name)
        return Folder(found)

    def letters(self, folder: Folder) -> tuple[Letter, ...]:
        """What was delivered of a job of the shelf, where `plategen make` puts it by itself; the latest first."""
        places = dict.fromkeys(place / OUTPUTS / folder.path.name for place in (Path.cwd(), self.path))
        return tuple(letter for place in places for letter in letters_in(place))

    def begin(self, title: str, units: Units, start: Start, *, sample: bool) -> Folder:
        """A new job of that title, in a folder named by it; with the sample's readings, or with none yet.

        Raises:
            Refusal: The folder cannot be written.
        """
        texts = starter_texts(units, start)
        texts[JOB_FILE] = set_value(texts[JOB_FILE], path_of("title"), title)
        if not sample:
            texts |= {name: clear_rows(text) for name, text in texts.items() if name != JOB_FILE}
        return self._put(title, texts)

    def copy(self, draft: Draft, title: str) -> Folder:
        """A draft as it stands, under another title, in a folder named by it.

        Raises:
            Refusal: A file of the job cannot be read, or the folder cannot be written.
        """
        if draft.unread:
            raise Refusal("cannot be read, so no copy would be whole", place=next(iter(draft.unread)))
        files = {name: draft.files[name] for name in named_files(draft.job) if name in draft.files}
        return self._put(title, {JOB_FILE: set_value(draft.job, path_of("title"), title), **files})

    def _put(self, title: str, texts: Mapping[str, str]) -> Folder:
        folder = next(place for place in _places(self.path, folder_name(title)) if not place.exists())
        fresh = Folder(folder)
        put_new(folder, {str(fresh.file(name).relative_to(folder)): text.encode() for name, text in texts.items()})
        return fresh

    def _folders(self) -> list[Path]:
        """The folders with a job file, the one written last first."""
        try:
            inside = [place for place in self.path.iterdir() if not place.name.startswith(".")]
            found = [place for place in inside if place.is_dir() and not place.is_symlink() and _holds_job(place)]
            return sorted(found, key=lambda place: (-(place / JOB_FILE).stat().st_mtime, place.name))
        except OSError as error:
            reason = (error.strerror or "no reason given").lower()
            raise Refusal(f"cannot be read ({reason})", place=str(self.path)) from None

    def _listed(self, place: Path) -> Listed:
        unsaved = (place / AUTOSAVE).is_file()
        try:
            title = plain(read_text(place / JOB_FILE, MOST_BYTES, "")).get("title")
        except Refusal as refusal:
            return Listed(place.name, place.name, str(refusal.at(JOB_FILE)), unsaved)
        return Listed(place.name, title if isinstance(title, str) and title.strip() else place.name, "", unsaved)


def _holds_job(place: Path) -> bool:
    file = place / JOB_FILE
    return file.is_file() and not file.is_symlink()


def folder_name(title: str) -> str:
    """A folder's name for a title, good on any system.

    >>> [folder_name(title) for title in ("Rear bracket, left", "1 3/8", "nul", "???")]
    ['rear-bracket-left', '1-3-8', 'job-nul', 'new-bracket']
    """
    name = _NOT_IN_NAMES.sub("-", title.lower()).strip("-_")[:MOST_NAME].rstrip("-_") or "new-bracket"
    return f"job-{name}" if _TAKEN_BY_WINDOWS.fullmatch(name) else name


def _places(shelf: Path, name: str) -> Iterator[Path]:
    yield shelf / name
    yield from (shelf / f"{name}-{n}" for n in range(2, 10_000))
