"""The one error a user sees: where, what is wrong and what would be right, told in one line."""

from plategen.ground.cure import Cure
from plategen.ground.message import Message, as_message
from plategen.ground.show import Show
from plategen.ground.unit import Units


class Refusal(Exception):
    """Input that cannot be used.

    Args:
        what: What is wrong and what would be right, in the user's words; a message where it holds a quantity.
        where: File, line or key the user must look at, e.g. ``"cylinder.bore"``. Who knows the file adds it later
            with :meth:`at`.
        cure: What would put it right, where a key of the job file would.
        units: The units it is told in; who knows the job adds them with :meth:`in_units`.
    """

    def __init__(
        self, what: Message | str, where: str = "", *, cure: Cure | None = None, units: Units | None = None
    ) -> None:
        super().__init__(what)
        self.message = as_message(what)
        self.where = where
        self.cure = cure
        self.units = units

    @property
    def what(self) -> str:
        """What is wrong, told in the job's units."""
        return Show(self.units or "mm").text(self.message)

    def at(self, where: str) -> "Refusal":
        """The same refusal, placed: ``where`` goes before any place already named."""
        return self._with(where=f"{where}: {self.where}" if self.where else where)

    def in_units(self, units: Units) -> "Refusal":
        """The same refusal, told in the job's units unless it has its own."""
        return self._with(units=self.units or units)

    def _with(self, *, where: str | None = None, units: Units | None = None) -> "Refusal":
        return Refusal(
            self.message,
            self.where if where is None else where,
            cure=self.cure,
            units=self.units if units is None else units,
        )

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" if self.where else self.what
