"""The downloads: the files of the job as it was last saved, made once and kept until it is saved anew."""

import asyncio
from dataclasses import dataclass, field

from plategen.page.disk import fingerprint
from plategen.page.draft import Draft
from plategen.page.maker import Made, make

QUICK = (".dxf", ".pdf")
"""Files for which the solid kernel is not asked anything; all others wait for it."""


@dataclass(slots=True)
class Files:
    """What was made of the drafts that were saved last; at most one job's files are kept."""

    job_file: str
    _of: str = ""
    _made: dict[bool, asyncio.Task[Made]] = field(default_factory=dict)

    async def of(self, draft: Draft, *, solid: bool) -> Made:
        """The files of a draft, with or without those of the solid kernel.

        Raises:
            Refusal: The job is refused.
        """
        print_of = fingerprint(draft)
        if print_of != self._of:
            self.forget()
            self._of = print_of
        if solid not in self._made or _failed(self._made[solid]):
            self._made[solid] = asyncio.create_task(make(draft, self.job_file, solid=solid))
        return await asyncio.shield(self._made[solid])

    def forget(self) -> None:
        """Let go of what is made or being made."""
        for task in self._made.values():
            task.cancel()
        self._made.clear()


def _failed(task: asyncio.Task[Made]) -> bool:
    return task.done() and (task.cancelled() or task.exception() is not None)


def needs_kernel(name: str) -> bool:
    """Whether a file waits for the solid kernel."""
    return not name.endswith(QUICK)
