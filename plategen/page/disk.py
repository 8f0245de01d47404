"""The job's folder on disk: read whole, compared with what was read before, and saved in one step or not at all.

A save writes every new text beside its file first and forces it to the disk, says in a hidden file that all are there,
and only then puts them in place by renaming, the job first, so each name shows the old text or the new one, whole, and
no trace is newer than its job. What a kill cuts short after that is put in place by the next page. Between reading and
renaming the folder is held by a lock that a second page waits for; an editor knows no lock, but what it wrote is seen
by its fingerprint.

What was typed and not saved is written into a hidden file of the folder within a second of each change, and taken away
by the save: a closed lid or a power cut loses nothing. The next page on that folder picks it up as an unsaved step,
which undo takes back.
"""

import contextlib
import hashlib
import os
import re
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import msgspec

from plategen.delivery.folder import sync, write_whole
from plategen.delivery.lock import lock
from plategen.ground.refusal import Refusal
from plategen.job.load import JOB_FILE, inside, read_text
from plategen.page.draft import Draft, named_files, plain

MOST_BYTES = 2_000_000
"""Largest file that is edited here; a scanner's trace beyond it is thinned out first."""

AUTOSAVE = ".plategen-not-saved.json"
MOST_AUTOSAVE_BYTES = 20_000_000
"""The hidden file, and the size beyond which it is not ours."""

_WHOLE = ".plategen-save-"
"""How the hidden file begins that says that every text of a save lies beside its file."""

_PART = re.compile(r"\..+\.[0-9a-f]{8}\.part|" + re.escape(AUTOSAVE) + r"\.\d+\.part")
"""What a save writes before it puts it in place."""


class Autosave(msgspec.Struct, frozen=True):
    """The texts of a job that were not saved."""

    job: str
    files: dict[str, str]


@dataclass(frozen=True, slots=True)
class Folder:
    """A job's folder, links resolved, and the name of the job file in it."""

    path: Path
    job_file: str = JOB_FILE

    @property
    def mark(self) -> str:
        """What tells this job from every other one on the machine, the same whenever it is opened."""
        return hashlib.sha256(str(self.path / self.job_file).encode("utf-8", "surrogateescape")).hexdigest()[:16]

    def read(self, also: Iterable[str] = ()) -> Draft:
        """The job file and the files it names, and of those in ``also`` the ones that are there.

        Raises:
            Refusal: The job file is missing, unreadable, too large or not TOML.
        """
        job = read_text(self.file(self.job_file), MOST_BYTES, self.job_file)
        try:
            names = named_files(job)
        except Refusal as refusal:
            raise refusal.at(self.job_file) from None
        return Draft(job, *(MappingProxyType(found) for found in self.fetch((*names, *also))))

    def fetch(self, names: Iterable[str]) -> tuple[dict[str, str], dict[str, str]]:
        """The texts of those files that lie in the folder, and why those that are there cannot be read."""
        texts, unread = {}, {}
        taken = {self.file(self.job_file): "the job file"}
        for name in dict.fromkeys(names):
            with contextlib.suppress(Refusal):  # the job's own reading says what is wrong with a name of elsewhere
                file = self.file(name)
                if (other := taken.get(file)) is not None:
                    unread[name] = f"is {other} by another name; another file is right"
                elif file.exists():
                    taken[file] = name
                    try:
                        texts[name] = read_text(file, MOST_BYTES, "")
                    except Refusal as refusal:
                        unread[name] = f"{refusal.what}; until then it is not written over"
        return texts, unread

    def stamps(self, draft: Draft) -> tuple[object, ...]:
        """What changes when a file is written: cheap enough to ask every second."""
        return tuple(self._stamp(name) for name in (self.job_file, *sorted(named_files(draft.job))))

    def save(self, draft: Draft, over: Draft) -> Draft:
        """What the folder holds after those files are written whose texts differ from what it holds.

        Nothing is written if it holds something else than ``over``, which was read.

        Raises:
            StaleSave: It holds something else; nothing is written.
            Refusal: A file that it would write over cannot be read, or it cannot be written; nothing has changed, or
                (when the disk fails between two files) each file is the old one or the new one, whole.
        """
        mine = [name for name in named_files(draft.job) if name in draft.files]
        with lock(self.path):
            there = self.read(also=mine)
            if differing(there, over, self.job_file, (*named_files(there.job), *named_files(over.job), *mine)):
                raise StaleSave(there)
            if over_unread := next((name for name in mine if name in there.unread), None):
                raise Refusal(there.unread[over_unread], over_unread)
            texts = {self.job_file: draft.job, **{name: draft.files[name] for name in mine}}
            old = {self.job_file: there.job, **there.files}
            self._put({name: text for name, text in texts.items() if old.get(name) != text})
            return self.read(also=mine)

    def tidy(self) -> None:
        """Put in place what a save that was killed left lying, where all of it lies there; else take it away."""
        with contextlib.suppress(OSError, Refusal), lock(self.path):
            whole = tuple(self.path.glob(f"{_WHOLE}*"))
            self._finish((self.job_file,), whole)  # what it names by now is what the save wrote beside it
            names = (self.job_file, *named_files(self.read().job))
            self._finish(names, whole)
            for folder in {self.file(name).parent for name in names}:
                for part in folder.glob(".*.part"):
                    if _PART.fullmatch(part.name) and part.is_file():
                        part.unlink(missing_ok=True)
            for mark in whole:
                mark.unlink(missing_ok=True)

    def _finish(self, names: Iterable[str], whole: Iterable[Path]) -> None:
        for mark in whole:
            for target in (self.file(name) for name in names):
                part = _part(target, mark.name.removeprefix(_WHOLE))
                if part.is_file():
                    part.replace(target)

    def autosave(self, draft: Draft) -> None:
        """Write an unsaved draft into the hidden file, whole or not at all.

        Raises:
            OSError: The folder cannot be written.
        """
        part = self.path / f"{AUTOSAVE}.{os.getpid()}.part"
        with lock(self.path):  # so that whoever tidies up never takes it for a left-over
            try:
                part.write_bytes(msgspec.json.encode(Autosave(draft.job, dict(draft.files))))
                part.replace(self.path / AUTOSAVE)
            finally:
                part.unlink(missing_ok=True)

    def discard_autosave(self) -> None:
        """Take the hidden file away: what it held stands in the job's own files now, or was undone."""
        with contextlib.suppress(OSError):
            (self.path / AUTOSAVE).unlink()

    def autosaved(self) -> Draft | None:
        """The draft that the hidden file holds; None if there is none, or it cannot be used."""
        file = self.path / AUTOSAVE
        try:
            if file.is_symlink() or file.stat().st_size > MOST_AUTOSAVE_BYTES:
                return None
            texts = msgspec.json.decode(file.read_bytes(), type=Autosave)
            plain(texts.job)
        except (OSError, ValueError, RecursionError, Refusal):
            return None
        return Draft(texts.job, MappingProxyType(texts.files))

    def file(self, name: str) -> Path:
        """Where a name lies; nothing outside the folder is ever given.

        Raises:
            Refusal: It is outside the folder.
        """
        return inside(self.path, name, self.job_file)

    def _stamp(self, name: str) -> object:
        try:
            status = self.file(name).stat()
        except (OSError, Refusal):
            return None
        return status.st_mtime_ns, status.st_size, status.st_ino

    def _put(self, texts: Mapping[str, str]) -> None:
        written: list[tuple[Path, Path]] = []
        save = secrets.token_hex(4)
        mark = self.path / f"{_WHOLE}{save}"
        try:
            for name, text in sorted(texts.items(), key=lambda item: item[0] != self.job_file):
                target = self.file(name)
                written.append((_beside(target, text.encode("utf-8"), save), target))
            if len(written) > 1:
                write_whole(mark, b"")
                sync(self.path)
            for part, target in written:
                part.replace(target)
        except OSError as error:
            reason = (error.strerror or "no reason given").lower()
            raise Refusal(
                f"cannot be written ({reason}); what is on the page is still here", place=str(self.path)
            ) from None
        finally:
            mark.unlink(missing_ok=True)
            for part, _ in written:
                part.unlink(missing_ok=True)
        sync(self.path)


class StaleSave(Exception):
    """The folder holds something else than what the page was made from."""

    def __init__(self, there: Draft) -> None:
        super().__init__("the folder was written by someone else")
        self.there = there


def differing(one: Draft, other: Draft, job_file: str, names: Iterable[str]) -> tuple[str, ...]:
    """Which files of two drafts differ, of the job file and those of ``names``."""
    apart = (name for name in dict.fromkeys(names) if one.files.get(name) != other.files.get(name))
    return (*((job_file,) if one.job != other.job else ()), *apart)


def fingerprint(draft: Draft) -> str:
    """SHA-256, in hex, over the texts of a job and their names."""
    digest = hashlib.sha256(draft.job.encode())
    for name in sorted(draft.files):
        for text in (name, draft.files[name]):
            digest.update(f"\0{len(text)}\0{text}".encode())
    return digest.hexdigest()


def _beside(target: Path, data: bytes, save: str) -> Path:
    """The bytes of a save in a hidden file beside the target, on the disk for certain, with the target's own rights."""
    part = _part(target, save)
    try:
        write_whole(part, data)
        with contextlib.suppress(FileNotFoundError):
            part.chmod(target.stat().st_mode & 0o7777)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def _part(target: Path, save: str) -> Path:
    """Where a save writes before it puts it in place."""
    return target.with_name(f".{target.name}.{save}.part")
