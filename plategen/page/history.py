"""Every step that undo can return to, each with the tab that made it: undo takes back what one's own tab did.

What other tabs did since stays: a step is taken back as a change of lines, in the text as it stands now.
"""

from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from types import MappingProxyType

from plategen.ground.refusal import Refusal
from plategen.page.draft import Draft, plain

MOST_STEPS = 300
"""Steps that undo can go back: texts that did not change are shared between them."""

ANY_TAB = ""
"""Whose steps are everyone's: what an editor wrote, or what was not saved last time."""


@dataclass(frozen=True, slots=True)
class Step:
    """A change: the draft before and after it, the tab and the gesture (as of one drag) that made it."""

    before: Draft
    after: Draft
    tab: str = ANY_TAB
    gesture: str = ""
    is_undone: bool = False


@dataclass(frozen=True, slots=True)
class History:
    """What stands now, and the steps that led there, the oldest first."""

    draft: Draft
    steps: tuple[Step, ...] = ()

    def then(self, draft: Draft, gesture: str = "", tab: str = ANY_TAB) -> "History":
        """With one more step; the tab's undone ones are dropped, and a step of the same gesture grows the last."""
        if draft == self.draft:
            return self
        kept = tuple(step for step in self.steps if not (step.is_undone and step.tab in (tab, ANY_TAB)))
        last = kept[-1] if kept else None
        if last is not None and gesture and (last.gesture, last.tab, last.after) == (gesture, tab, self.draft):
            return History(draft, (*kept[:-1], replace(last, after=draft)))
        return History(draft, (*kept, Step(self.draft, draft, tab, gesture))[-MOST_STEPS:])

    def undoable(self, tab: str = ANY_TAB) -> int | None:
        """Which step a tab's undo takes back; None if there is none."""
        own = (i for i, step in reversed(tuple(enumerate(self.steps))) if step.tab in (tab, ANY_TAB))
        return next((i for i in own if not self.steps[i].is_undone), None)

    def redoable(self, tab: str = ANY_TAB) -> int | None:
        """Which step a tab's redo brings back; None if there is none."""
        own = [i for i, step in enumerate(self.steps) if step.tab in (tab, ANY_TAB)]
        last = self.undoable(tab)
        return next((i for i in own if self.steps[i].is_undone and (last is None or i > last)), None)

    def undone(self, tab: str = ANY_TAB, gesture: str = "") -> "History":
        """With a tab's last step taken back, if there is one; with ``gesture``, only if that gesture made it.

        Raises:
            Refusal: Another tab has changed the same since.
        """
        at = self.undoable(tab)
        if at is None or (gesture and self.steps[at].gesture != gesture):
            return self
        return self._turned(at, self.steps[at].after, self.steps[at].before)

    def redone(self, tab: str = ANY_TAB) -> "History":
        """With a tab's step brought back that it undid last, if there is one.

        Raises:
            Refusal: Another tab has changed the same since.
        """
        at = self.redoable(tab)
        return self if at is None else self._turned(at, self.steps[at].before, self.steps[at].after)

    def _turned(self, at: int, old: Draft, new: Draft) -> "History":
        turned = replace(self.steps[at], is_undone=not self.steps[at].is_undone)
        return History(_carried(self.draft, old, new), (*self.steps[:at], turned, *self.steps[at + 1 :]))


def _carried(now: Draft, old: Draft, new: Draft) -> Draft:
    """What stands now with the change from ``old`` to ``new`` made in it."""
    if now == old:
        return new
    files = {}
    for name in (*now.files, *(n for n in new.files if n not in now.files)):
        text = _merged(*(draft.files.get(name) for draft in (now, old, new)))
        if text is not None:
            files[name] = text
    job = _merged(now.job, old.job, new.job)
    assert job is not None  # every draft has one
    try:
        plain(job)
    except Refusal:
        raise _clash() from None
    return Draft(job, MappingProxyType(files), MappingProxyType({**new.unread, **now.unread}))


def _merged(now: str | None, old: str | None, new: str | None) -> str | None:
    if old == new or now == new:
        return now
    if now == old:
        return new
    if now is None or old is None or new is None:
        raise _clash()
    lines, was, becomes = (text.splitlines(keepends=True) for text in (now, old, new))
    kept = SequenceMatcher(None, was, lines, autojunk=False).get_matching_blocks()
    for kind, first, end, new_first, new_end in reversed(SequenceMatcher(None, was, becomes, False).get_opcodes()):
        if kind == "equal":
            continue
        block = next((b for b in kept if b.a <= first and end <= b.a + b.size), None)
        if block is None:
            raise _clash()
        lines[block.b + first - block.a : block.b + end - block.a] = becomes[new_first:new_end]
    return "".join(lines)


def _clash() -> Refusal:
    return Refusal("another tab has changed the same since; type the value that is right", "this step")
