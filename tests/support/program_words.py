"""Words that only the program knows and that no user is to meet, in one list for all tests that look for them."""

import re

PROGRAM_WORDS = (
    r"\basked\b[^.]{0,40}\bthere\b", r"towards [+-]w\b", r"\bdrawn face\b", r"\bother face\b", r"\bshape mark\b",
    r"\bresiduals?\b", r"\bksi\b", r"\binfinity\b", "∞", r"\bnan\b", r"\bNaN\b", r"\bu runs\b", r"\bu, v\b", r"\bu \d",
    r"\bepsilon\b", r"\bpolyline\b", r"\bbulge\b", r"\bnull\b", r"\bw = \d", r"\bdict\b", r"\btuple\b",
    r"\bindex out\b", r"\bstruct\b", r"\bdataclass\b", r"\b[Tt]raceback\b", r"\bNone\b(?! of| doubtful)",
    r"(?m)^[uvw]$", r"\b(?:ear|tab|shim|cradle|clamp|stop)_(?:near|far|pad|\d)\w*\b(?!\.dxf|\.svg)",
)  # fmt: skip
"""As patterns."""


def program_words(text: str) -> list[str]:
    """Every word of the program in a text, as it stands there."""
    return [found[0] for pattern in PROGRAM_WORDS for found in re.finditer(pattern, text)]
