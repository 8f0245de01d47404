"""How a part's name is said where people read it."""


def in_words(name: str) -> str:
    """A name of plates or runs in the shop's words: ``'ear near'`` for ``'ear_near'``."""
    return name.replace("_", " ")


def name_of(words: str) -> str:
    """The name that words stand for, however they were typed: ``'ear_near'`` for ``'Ear  near'``."""
    return "_".join(in_words(words.lower()).split())
