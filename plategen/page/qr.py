"""A link as a square that a telephone's camera reads (QR code, ISO/IEC 18004), in the signs of a terminal."""

QUIET = 4
"""Light squares about it, which the standard asks for."""

_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
_BLACK_ON_WHITE, _AS_BEFORE = "\x1b[30;107m", "\x1b[0m"

SIGNS = "".join(_HALVES.values())
"""What a terminal must have."""


def qr_squares(link: str) -> list[list[bool]]:
    """The code's squares row by row with its quiet zone, True for dark."""
    from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel

    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(link)
    code.make()
    count = code.getModuleCount()
    span = range(-QUIET, count + QUIET)
    return [[0 <= r < count and 0 <= c < count and bool(code.isDark(r, c)) for c in span] for r in span]


def qr_lines(link: str) -> str:
    """The code, two squares above each other to a sign, dark on light whatever the terminal's own colours are."""
    rows = qr_squares(link)
    if len(rows) % 2:
        rows.append([False] * len(rows))
    pairs = (zip(above, below, strict=True) for above, below in zip(rows[::2], rows[1::2], strict=True))
    lines = ("".join(_HALVES[pair] for pair in row) for row in pairs)
    return "\n".join(f"{_BLACK_ON_WHITE}{line}{_AS_BEFORE}" for line in lines)
