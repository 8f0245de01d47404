"""The revision letter and the fingerprint of inputs that every file of a delivery carries."""

from dataclasses import dataclass

LETTERS = "ABCDEFGHJKLMNPRTUVWY"
"""Revision letters in order; I, O, Q, S, X and Z are passed over as easily misread (ASME Y14.35, from memory)."""

SHOWN = 12
"""Digits of the fingerprint that are shown: 48 bits, so two jobs of a shop do not share them by chance."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Which delivery a file belongs to.

    Args:
        letter: Revision letter.
        fingerprint: SHA-256 over the inputs, in hex.

    Raises:
        ValueError: The letter is none of a drawing's.
    """

    letter: str
    fingerprint: str

    def __post_init__(self) -> None:
        if not self.letter or set(self.letter) - set(LETTERS):
            raise ValueError(f"{self.letter!r} is no revision letter")

    @property
    def shown(self) -> str:
        """The fingerprint as far as it is shown."""
        return self.fingerprint[:SHOWN]

    @property
    def words(self) -> str:
        """Letter and fingerprint in words.

        >>> Stamp("B", "3f9a12bc4d5e0718").words
        'revision B, inputs 3f9a12bc4d5e'
        """
        return f"revision {self.letter}, {inputs_words(self.fingerprint)}"


def inputs_words(fingerprint: str) -> str:
    """A fingerprint in words: ``'inputs 3f9a12bc4d5e'``."""
    return f"inputs {fingerprint[:SHOWN]}"


def following(letter: str) -> str:
    """The revision letter after this one.

    >>> following("A"), following("H"), following("Y"), following("AY")
    ('B', 'J', 'AA', 'BA')
    """
    head, last = letter[:-1], letter[-1]
    if last != LETTERS[-1]:
        return head + LETTERS[LETTERS.index(last) + 1]
    return (following(head) if head else LETTERS[0]) + LETTERS[0]
