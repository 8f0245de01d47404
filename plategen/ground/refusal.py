"""The one error a user sees: one line that says where, what is wrong and what would be right."""


class Refusal(Exception):
    """Input that cannot be used.

    Args:
        what: What is wrong and what would be right, in the user's words, with the unit of every number.
        where: File, line or key the user must look at, e.g. ``"job.toml: cylinder.bore"``. May be added later
            with :meth:`at` by the caller who knows the file.
    """

    def __init__(self, what: str, where: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where

    def at(self, where: str) -> "Refusal":
        """The same refusal, placed: ``where`` goes before any place already named."""
        return Refusal(self.what, f"{where}: {self.where}" if self.where else where)

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" if self.where else self.what
