"""Dataclasses that compile their methods when first used, beside those of the standard library."""

import dataclasses
import pickle
from collections.abc import Callable
from copy import deepcopy
from dataclasses import FrozenInstanceError, field
from typing import Any

import pytest

from plategen.ground.dataclass import dataclass

OPTIONS = [
    dict(zip(("frozen", "slots", "kw_only", "eq"), chosen, strict=True))
    for number in range(16)
    if (chosen := [bool(number & bit) for bit in (1, 2, 4, 8)])
]


def pair(options: dict[str, bool]) -> tuple[Any, Any]:
    """The same class made by the standard library and by ours, with a class made of it."""

    def classes(decorator: Callable[..., Any]) -> Any:
        @decorator(**options)
        class Base:
            """A value."""

            first: int
            second: float = 2.0
            made: list[int] = field(default_factory=list)
            later: int = field(default=0, compare=False, repr=False)
            own: int = field(init=False, default=7)

            def __post_init__(self) -> None:
                object.__setattr__(self, "own", self.first + 1)

        @decorator(**options)
        class Derived(Base):
            """A value with one more."""

            third: str = "c"

        return Derived

    return classes(dataclasses.dataclass), classes(dataclass)


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_it_behaves_as_the_standard_one(options: dict[str, bool]) -> None:
    told = []
    for cls in pair(options):
        first, same, other = cls(first=1), cls(first=1, later=5), cls(first=2, third="d")
        assert [f.name for f in dataclasses.fields(cls)] == ["first", "second", "made", "later", "own", "third"]
        changed = dataclasses.replace(first, second=9.0)
        told.append(
            (
                repr(first), repr(changed), repr(other), first == same, first == other, first == 1, first != same,
                cls.__hash__ is None, cls.__match_args__, dataclasses.asdict(other), first.made is other.made,
                hasattr(first, "__dict__"), deepcopy(other) == other, deepcopy(other).third,
                _refusal(lambda value=first: setattr(value, "first", 3)),
                _refusal(lambda value=first: delattr(value, "third")),
                _refusal(lambda cls=cls: cls()), _refusal(lambda cls=cls: cls(1, 2.0, [], 0, "c")),
                _refusal(lambda cls=cls: cls(first=1, fourth=4)),
            )
        )  # fmt: skip
    assert told[0] == told[1]


def _refusal(does: Callable[[], Any]) -> tuple[type, str] | None:
    try:
        does()
    except (TypeError, AttributeError) as error:
        return type(error), str(error)
    return None


@dataclass(frozen=True, slots=True)
class Hashed:
    """Compared and hashed by what is compared."""

    name: str
    beside: int = field(default=0, compare=False)


def test_what_is_frozen_is_hashed_and_sent_between_processes() -> None:
    assert hash(Hashed("a")) == hash(Hashed("a", 3))
    assert len({Hashed("a"), Hashed("a", 3), Hashed("b")}) == 2
    sent = pickle.loads(pickle.dumps(Hashed("a", 3)))
    assert (sent.name, sent.beside) == ("a", 3)
    with pytest.raises(FrozenInstanceError):
        sent.name = "b"  # type: ignore[misc]


@dataclass(frozen=True, slots=True)
class Own:
    """Says itself what it is hashed by, and how it is shown."""

    name: str

    def __hash__(self) -> int:
        return 5

    def __repr__(self) -> str:
        return "own"


def test_what_a_class_says_itself_stands() -> None:
    assert (hash(Own("a")), repr(Own("a"))) == (5, "own")
    assert Own("a") == Own("a")
    assert Own("a") != Own("b")
