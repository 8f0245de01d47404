"""Quantities as shops write them: ``1 3/8``, ``1-3/8``, ``4.125"``, ``2 ft 3 1/2 in``, ``35 mm``, ``1500 psi``.

A general units library multiplies ``1 3/8 in`` (0.375 in) and subtracts ``1-3/8`` (-0.625), so the notation is parsed
here. Whole numbers and fractions are kept exact until one correctly rounded division at the end.
"""

import math
import re
import unicodedata
from dataclasses import dataclass, field, replace
from fractions import Fraction

from plategen.ground import unit
from plategen.ground.figures import NO_TENTHS
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

_ONE = re.compile(
    r"(?:(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    r"|(?P<decimal>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))"
    r"\s*(?P<unit>/?[a-zA-Z'\"°].*)?",
    re.ASCII,
)
_FEET_AND_INCHES = re.compile(r"(.*?(?:ft|foot|feet|'))\s*-?\s*(\d.*(?:in|inch|inches|\"))", re.ASCII | re.IGNORECASE)
_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII)
_COMMA = re.compile(r"(\d)\s*,\s*(\d)", re.ASCII)
_THOUSANDS = re.compile(r"(?<!\d)[1-9]\d{0,2}\s*,\s*\d{3}(?!\d)", re.ASCII)
_DOTTED_THOUSANDS = re.compile(r"-?[1-9]\d{0,2}(?:\.\d{3})+,\d+(?!\d).*", re.ASCII).fullmatch
_UNIT_JOINTS = re.compile(r"[\s·*.^-]")
_LONGEST = 60

# what spreadsheets, English and German, make of 3/8: 8-Mar, Mar-08, 8. Mrz, 3/8/2024, 8.3.2024, 2024-03-08
_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "mrz": 3, "mär": 3, "apr": 4, "may": 5, "mai": 5, "jun": 6, "jul": 7, "aug": 8,
    "sep": 9, "oct": 10, "okt": 10, "nov": 11, "dec": 12, "dez": 12,
}  # fmt: skip
_NAMED_DATE = re.compile(
    rf"(?:(?P<day>[0-9]{{1,2}})(?:[-/ ]|\. ?))?(?P<month>{'|'.join(_MONTHS)})[a-zä]*\.?"
    r"(?:[-. /](?P<then>[0-9]{1,2}))?(?:(?:[-. /]|, ?)[0-9]{4})?",
    re.IGNORECASE,
).fullmatch
_NUMBERED_DATE = re.compile(
    r"(?:(?P<iso>[0-9]{4})-(?P<month>[0-9]{2})-(?P<day>[0-9]{2})"
    r"|(?P<one>[0-9]{1,2})(?P<sep>[-./])(?P<two>[0-9]{1,2})(?P=sep)(?P<year>[0-9]{4}|(?<!-)[0-9]{2}))"
    r"(?:[T ][0-9]{1,2}:[0-9:.]*)?"
).fullmatch
_FINE_MARKS = (32, 64)


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A kind of quantity: its name, its units with their factors, and examples of it written right."""

    name: str
    factors: unit.Factors = field(repr=False)
    examples: str
    metric: str = ""  # The same for a job in millimetres; "" where they are alike.

    def of(self, units: Units) -> "Kind":
        """This kind as a job of these units shows it: its own units first among the examples."""
        return replace(self, examples=self.metric) if units == "mm" and self.metric else self

    def read(self, value: object, bare: str = "") -> float:
        """The quantity in the unit that is computed in.

        Args:
            value: A number, or text with or without a unit.
            bare: The unit that a number without one is in; "" if it must carry its own.

        Raises:
            Refusal: It is not such a quantity, or not finite; the message says what would be right.
        """
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise self._refused(value)
        if isinstance(value, str):
            if _PLAIN.fullmatch(value):
                return self._scaled(float(value), self._factor(bare, value), value)
            return self._text(value, bare)
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        return self._scaled(number, self._factor(bare, value), value)

    def _text(self, value: str, bare: str) -> float:
        """Read one number with its unit, or feet followed by inches."""
        if len(value) > _LONGEST:
            raise self._refused(value)
        text = in_ascii(value).strip()
        if fraction := dated_fraction(value):
            raise Refusal(f"{_quoted(value)} is a date, which spreadsheets make of {fraction}; write {fraction}")
        if _COMMA.search(text) and text.isprintable():  # what is offered in its place is written out as it stands
            raise _has_comma(text)
        size = text.removeprefix("-") if text.startswith("-") else text.removeprefix("+")
        parts = _FEET_AND_INCHES.fullmatch(size)
        total = sum(self._one(part.strip(), value, bare) for part in (parts.groups() if parts else (size,)))
        return -total if text.startswith("-") else total

    def _one(self, text: str, value: str, bare: str) -> float:
        match = _ONE.fullmatch(text)
        if match is None:
            raise self._refused(value)
        factor = self._factor(match["unit"] or bare, value)
        if match["decimal"]:
            return self._scaled(float(match["decimal"]), factor, value)
        whole, over, under = int(match["whole"] or 0), int(match["over"]), int(match["under"])
        if under == 0:
            raise Refusal(f"{_quoted(value)} has 0 under the line; write a fraction like 3/8")
        if match["whole"] and over >= under:
            raise Refusal(f"{_quoted(value)} has a fraction of one or more beside a whole number; write it like 1 3/8")
        exact = whole * under + over
        if isinstance(factor, Fraction):
            return exact * factor.numerator / (under * factor.denominator)
        return exact / under * factor

    def _factor(self, name: str, value: object) -> Fraction | float:
        if not self.factors and not name:
            return Fraction(1)
        if not name:
            raise Refusal(f"{_quoted(value)} has no unit; write one, for example {self.examples}")
        factor = self.factors.get(_UNIT_JOINTS.sub("", name.lower()))
        if factor is None:
            raise Refusal(f"{_quoted(value)}: {name!r} is no unit of {self.name}; write for example {self.examples}")
        return factor

    def _scaled(self, number: float, factor: Fraction | float, value: object) -> float:
        scaled = number * factor.numerator / factor.denominator if isinstance(factor, Fraction) else number * factor
        if not abs(scaled) < NO_TENTHS:  # no measure of a machine comes near, in whatever unit
            raise Refusal(f"{_quoted(value)} is no {self.name}; write for example {self.examples}")
        return scaled

    def _refused(self, value: object) -> Refusal:
        if isinstance(value, str) and not value.strip("'\" "):
            return Refusal(f"no {self.name} is written there; write for example {self.examples}")
        return Refusal(f"{_quoted(value)} is no {self.name}; write for example {self.examples}")


def _has_comma(text: str) -> Refusal:
    """The refusal of a number with a comma in it, which may part tenths or thousands."""
    point, thousands = (_COMMA.sub(rf"\1{sign}\2", text) for sign in (".", ""))
    if _DOTTED_THOUSANDS(text):
        plain = text.replace(".", "").replace(",", ".")
        return Refusal(f"{_quoted(text)} has a dot between thousands; write {plain}")
    if len(_COMMA.findall(text)) > 1:
        return Refusal(f"{_quoted(text)} has more than one comma; write {thousands}")
    if _THOUSANDS.search(text):
        return Refusal(f"{_quoted(text)} can mean {point} or {thousands}; write one of these")
    return Refusal(f"{_quoted(text)} has a comma; write {point}")


def dated_fraction(text: str) -> str:
    """The fraction of which a spreadsheet made this date; "" for what is no date.

    >>> dated_fraction("8-Mar"), dated_fraction("2024-03-08"), dated_fraction("Mar-32"), dated_fraction("1 3/8")
    ('3/8', '3/8', '3/32', '')
    """
    parts: tuple[int, ...] = ()
    if named := _NAMED_DATE(text.strip()):
        beside = named["day"] or named["then"]
        parts = (_MONTHS[named["month"].lower()], int(beside)) if beside else ()
    elif numbered := _NUMBERED_DATE(text.strip()):
        year = int(numbered["iso"] or numbered["year"]) % 100
        parts = tuple(int(numbered[name]) for name in (("month", "day") if numbered["iso"] else ("one", "two")))
        if 1 in parts and year in _FINE_MARKS:  # 3/32 is the first of March of 1932
            parts = (max(parts), year)
    return "/".join(map(str, sorted(parts)))


def refuse_dated(cell: str, units: Units) -> None:
    """Refuse a cell of a table that a spreadsheet made a date.

    Args:
        cell: As it stands there.
        units: What the table is in: one in millimetres holds decimals, of which a spreadsheet makes dates as well.

    Raises:
        Refusal: It is one; what it was, and how a spreadsheet leaves it alone.
    """
    if fraction := dated_fraction(cell):
        named = _NAMED_DATE(cell.strip())
        decimal = f"{int(named['day'])}.{_MONTHS[named['month'].lower()]}" if named and named["day"] else ""
        was = f"{decimal} or {fraction}" if units == "mm" and decimal else fraction
        right = fraction if was == fraction else "the one that was read"
        raise Refusal(
            f"{_quoted(cell)} is a date, which spreadsheets make of {was}; set the column to text and write {right}"
        )


def in_ascii(text: str) -> str:
    """The same text with typographic fractions, primes, dashes and spaces as plain characters."""
    if text.isascii():
        return text.replace("''", '"')
    plain = []
    for sign in text:
        if unicodedata.decomposition(sign).startswith("<fraction>"):
            plain.append(" " + unicodedata.normalize("NFKC", sign))
        else:
            plain.append(sign)
    folded = unicodedata.normalize("NFKC", "".join(plain))
    return folded.translate(_FOLD).replace("''", '"')


_FOLD = str.maketrans(
    {
        "\N{FRACTION SLASH}": "/", "\N{DIVISION SLASH}": "/", "\N{MINUS SIGN}": "-", "\N{EN DASH}": "-",
        "\N{HYPHEN}": "-", "\N{NON-BREAKING HYPHEN}": "-", "\N{PRIME}": "'", "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOUBLE PRIME}": '"', "\N{RIGHT DOUBLE QUOTATION MARK}": '"', "\N{DOT OPERATOR}": "·",
    }
)  # fmt: skip


def _quoted(value: object) -> str:
    """A value as the user wrote it, kept to one short line."""
    if isinstance(value, bool):
        return str(value).lower()
    match value:
        case int() | float():
            shown = f"{value:.12g}" if isinstance(value, float) or abs(value) < 1e300 else "a number beyond reason"
        case str():
            shown = repr(value)
        case _:
            shown = {list: "a list", dict: "a table", type(None): "nothing"}.get(type(value), "a date or time")
    return shown if len(shown) <= _LONGEST else shown[:_LONGEST] + "..."


LENGTH = Kind("length", unit.LENGTH, "1 3/8, 4.125 in or 35 mm", "35, 35 mm or 1 3/8 in")
PRESSURE = Kind("pressure", unit.PRESSURE, "1500 psi, 100 bar or 10 MPa", "100 bar, 10 MPa or 1500 psi")
ANGLE = Kind("angle", unit.ANGLE, "7 1/2, 15 deg or 0.26 rad")
FORCE = Kind("force", unit.FORCE, "1200 lbf or 5.3 kN", "5.3 kN or 1200 lbf")
MOMENT = Kind("moment", unit.MOMENT, "40 lbf-ft or 55 N*m", "55 N*m or 40 lbf-ft")
FLOW = Kind("flow", unit.FLOW, "4 gpm or 15 L/min", "15 L/min or 4 gpm")
DURATION = Kind("time", unit.DURATION, "2.5 s")
VOLUME = Kind("volume", unit.VOLUME, "24 in3 or 0.4 L", "0.4 L or 24 in3")
MASS = Kind("mass", unit.MASS, "180 lb or 80 kg", "80 kg or 180 lb")
PRICE_OF_MASS = Kind("price of a weight", unit.PER_MASS, "1.20/lb or 2.60/kg", "2.60/kg or 1.20/lb")
PRICE_OF_LENGTH = Kind("price of a length", unit.PER_LENGTH, "0.15/in, 1.80/ft or 6/m", "6/m, 0.15/in or 1.80/ft")
NUMBER = Kind("number", unit.PLAIN, "1.5 or 3/4")
"""Every kind of quantity that a job file or a trace may hold."""
