"""How a part's name is said where people read it."""


def in_words(name: str) -> str:
    """A name of plates or runs in the shop's words: ``'ear near'`` for ``'ear_near'``."""
    return name.replace("_", " ")
