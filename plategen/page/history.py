"""The steps that a draft went through, for undo and redo; a frozen value like the drafts it holds."""

from dataclasses import dataclass, replace

from plategen.page.draft import Draft

MOST_STEPS = 300
"""Steps kept: texts that did not change are shared between them."""


@dataclass(frozen=True, slots=True)
class History:
    """Drafts in the order they came about, and which of them stands now.

    Args:
        steps: The drafts, the first as it was read.
        at: Index of the one that stands.
        gesture: Name of the gesture that made it, as of one drag; "" if none.
    """

    steps: tuple[Draft, ...]
    at: int = 0
    gesture: str = ""

    @property
    def draft(self) -> Draft:
        """What stands now."""
        return self.steps[self.at]

    @property
    def can_undo(self) -> bool:
        """Whether there is a step before."""
        return self.at > 0

    @property
    def can_redo(self) -> bool:
        """Whether a step was undone."""
        return self.at + 1 < len(self.steps)

    def then(self, draft: Draft, gesture: str = "") -> "History":
        """With one more step; undone ones are dropped, and a step of the same gesture takes the place of the last."""
        if draft == self.draft:
            return self
        same = gesture != "" and gesture == self.gesture and self.at > 0
        kept = (*self.steps[: self.at + (0 if same else 1)], draft)[-MOST_STEPS:]
        return History(kept, len(kept) - 1, gesture)

    def undone(self) -> "History":
        """One step back, if there is one."""
        return replace(self, at=self.at - 1, gesture="") if self.can_undo else self

    def redone(self) -> "History":
        """One step forward again, if there is one."""
        return replace(self, at=self.at + 1, gesture="") if self.can_redo else self
