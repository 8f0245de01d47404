"""The one error a user sees: where, what is wrong and what would be right, in one line.

What makes its words is loaded once something is refused: help and completion load this file, and need no words.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plategen.ground.cure import Cure
    from plategen.ground.message import Message
    from plategen.ground.unit import Units

MOST_PLACE = 200
"""Signs of a file's name that are shown."""


def shortened(words: str, most: int = MOST_PLACE) -> str:
    """Words in at most so many signs, the middle left out: of a path both ends tell.

    >>> shortened("/yard/" + 50 * "deep/" + "job.toml", 30)
    '/yard/deep/de ... eep/job.toml'
    """
    half = (most - 5) // 2
    return words if len(words) <= most else f"{words[: most - 5 - half]} ... {words[-half:]}"


class Refusal(Exception):
    """Input that cannot be used.

    What computes raises ``Refusal(what, key)``; whoever knows the file adds it with :meth:`at`, whoever knows the job
    adds its units with :meth:`in_units`, and the line is made when it is shown.

    >>> from plategen.ground.message import message, mm
    >>> refusal = Refusal(message("a ladder of one rung; {} or more is right", mm(12.7)), "reach")
    >>> str(refusal.under("split").at("job.toml").in_units("in"))
    'job.toml: split.reach: a ladder of one rung; 1/2 in (0.500) or more is right'

    Args:
        what: What is wrong and what would be right, in the user's words; a message where it holds a quantity.
        key: The key of the job file that the user must look at, ``"cylinder.bore"``, or an option of the command.
        place: The file, and the line in it, that the key stands in.
        cure: What would put it right, where a key of the job file would.
        units: The units its quantities are shown in; millimetres until they are known.
    """

    def __init__(
        self,
        what: "Message | str",
        key: str = "",
        *,
        place: str = "",
        cure: "Cure | None" = None,
        units: "Units | None" = None,
    ) -> None:
        from plategen.ground.message import as_message

        super().__init__(what)
        self.message = as_message(what)
        self.key = key
        self.place = place
        self.cure = cure
        self.units = units

    @property
    def what(self) -> str:
        """What is wrong and what would be right, in the job's units."""
        from plategen.ground.show import Show

        return Show(self.units or "mm").text(self.message)

    @property
    def where(self) -> str:
        """File, line and key in one: ``"job.toml: cylinder.bore"``."""
        return ": ".join(filter(None, (shortened(self.place), self.key)))

    def at(self, place: str) -> "Refusal":
        """The same refusal with a file or line before the place it names already, unless that begins with it."""
        if self.place == place or self.place.startswith(f"{place}: "):
            return self
        return self._with(place=": ".join(filter(None, (place, self.place))))

    def under(self, table: str) -> "Refusal":
        """The same refusal with its key in a table: ``reach`` under ``split`` is ``split.reach``."""
        return self._with(key=".".join(filter(None, (table, self.key))))

    def rekeyed(self, key_of: Callable[[str], str]) -> "Refusal":
        """The same refusal, and its cure, by the keys that ``key_of`` gives for theirs."""
        return self._with(key=key_of(self.key), cure=self.cure and self.cure.rekeyed(key_of))

    def in_units(self, units: "Units | None") -> "Refusal":
        """The same refusal, shown in the job's units unless it has its own."""
        return self._with(units=self.units or units)

    def _with(self, **changes: Any) -> "Refusal":
        kept = {"key": self.key, "place": self.place, "cure": self.cure, "units": self.units}
        return Refusal(self.message, **{**kept, **changes})

    def __str__(self) -> str:
        return ": ".join(filter(None, (self.where, self.what)))


def missing_library(who: str, name: str | None, extra: str, key: str) -> Refusal:
    """The refusal of what cannot go on without a library that an extra brings.

    >>> print(missing_library("pages need", "starlette", "page", "page"))
    page: pages need one more part, starlette: type `python -m pip install 'plategen[page]'`
    """
    return Refusal(f"{who} one more part, {name}: type `python -m pip install 'plategen[{extra}]'`", key)
