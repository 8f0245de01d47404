"""A refusal whose end, what would be right, is kept apart from what is wrong, so that an amount can take its place.

What draws a plate knows which size is wrong and which way; by how much is found by trying, later. The general end is
said only where no amount is found, so that no line ends twice.
"""

from plategen.ground.cure import Cure
from plategen.ground.message import Message, as_message, message
from plategen.ground.refusal import Refusal

ENDED = "{}; {} is right"
"""The line: what is wrong, and what would be right."""


def ended(what: Message | str, key: str, right: Message | str) -> Refusal:
    """A refusal that ends with what would be right in general.

    >>> print(ended("the outline would cross itself", "bracket.toe", "a shorter toe"))
    bracket.toe: the outline would cross itself; a shorter toe is right
    """
    cure = Cure(as_message(right))
    return Refusal(message(ENDED, as_message(what), cure.advice), key, cure=cure)


def open_end(refusal: Refusal) -> bool:
    """Whether no amount is known of what would be right."""
    return refusal.cure is None or not refusal.cure.changes


def what_is_wrong(refusal: Refusal) -> Message:
    """The words of a refusal without a general end.

    >>> str(what_is_wrong(ended("the outline would cross itself", "bracket.toe", "a shorter toe")))
    'the outline would cross itself'
    """
    words = refusal.message
    if words.template != ENDED or refusal.cure is None or words.values[1] != refusal.cure.advice:
        return words
    return as_message(words.values[0])  # type: ignore[arg-type]
