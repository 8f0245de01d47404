"""Right inputs spoiled: bytes flipped, cut, doubled, swapped, words put where they do not belong, numbers changed."""

import random
import re

_WORDS = """
nan inf -0 1e308 1e-308 1e999 0 -1 1/0 3/8 ½ '' \\ " ' [ ] [[ ]] { } = , ; # .. . -- - units in mm psi deg 0x1f
1_000 true auto 1979-05-27 99999999999999999999 LINE ARC CIRCLE LWPOLYLINE SPLINE ELLIPSE INSERT POLYLINE VERTEX SEQEND
10 11 20 21 30 40 41 42 50 51 62 70 72 90 210 230 SECTION ENDSEC EOF station offset u v note
"""
_SIGNS = ("\t", "\r\n", "\n", "\x00", "\x1b", "\ufeff", "\u2028", "\u202e", "\U0001f529")
_TOKENS = [token.encode() for token in (*_WORDS.split(), *_SIGNS)]


def mutated(data: bytes, others: list[bytes], rng: random.Random) -> bytes:
    """A right input spoiled in one to eight places."""
    spoiled = bytearray(data)
    for _ in range(rng.choice((1, 1, 1, 2, 2, 3, 5, 8))):
        at = rng.randrange(len(spoiled) + 1)
        match rng.randrange(9):
            case 0 if spoiled:
                spoiled[at % len(spoiled)] = rng.randrange(256)
            case 1 if spoiled:
                spoiled[at % len(spoiled)] ^= 1 << rng.randrange(8)
            case 2:
                del spoiled[at : at + rng.choice((1, 2, 4, 16, 64))]
            case 3:
                spoiled[at:at] = rng.choice(_TOKENS)
            case 4:
                spoiled[at : at + rng.randrange(6)] = rng.choice(_TOKENS)
            case 5:
                size = rng.choice((1, 4, 16, 64, 256))
                spoiled[at:at] = spoiled[at : at + size] * rng.choice((1, 2, 8))
            case 6:
                other = rng.choice(others)
                start = rng.randrange(len(other) + 1)
                spoiled[at:at] = other[start : start + rng.choice((4, 16, 64, 256))]
            case 7:
                lines = bytes(spoiled).split(b"\n")
                i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
                lines[i], lines[j] = lines[j], lines[i]
                spoiled = bytearray(b"\n".join(lines))
            case _:
                spoiled[at:at] = bytes(rng.randrange(256) for _ in range(rng.choice((1, 2, 8))))
    return bytes(spoiled[:200_000])


_NUMBER = re.compile(rb"(?<![\w.])-?\d+(\.\d+)?(?![\w.])")
_FACTORS = (-1.0, 0.0, 1e-9, 0.01, 0.5, 0.9, 0.99, 1.01, 1.1, 2.0, 10.0, 100.0)


def renumbered(data: bytes, rng: random.Random) -> bytes:
    """The input with one to four of its numbers changed, so that it can still be read and is another job."""
    spoiled = data
    for _ in range(rng.choice((1, 1, 2, 4))):
        found = list(_NUMBER.finditer(spoiled))
        if found:
            at = rng.choice(found)
            number = f"{float(at[0]) * rng.choice(_FACTORS):.6g}".encode()
            spoiled = spoiled[: at.start()] + number + spoiled[at.end() :]
    return spoiled
