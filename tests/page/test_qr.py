"""The square for a telephone's camera: read by a reader of another make, from the very signs that a terminal shows."""

import re

import pytest

from plategen.page.qr import QUIET, qr_lines, qr_squares

LINK = "http://192.0.2.17:8731/enter/k3jx9q2m7w4c8v1z5b6n0hsd"
SIDE = 8
"""Pixels of a square."""


def test_a_camera_reads_what_a_terminal_shows() -> None:
    cv2 = pytest.importorskip("cv2", reason="pip install 'plategen[work]' brings it")
    import numpy as np

    lines = [re.sub("\x1b\\[[0-9;]*m", "", line) for line in qr_lines(LINK).splitlines()]
    rows = [[sign in half for sign in line] for line in lines for half in ("\u2580\u2588", "\u2584\u2588")]
    dark = np.kron(np.array(rows), np.ones((SIDE, SIDE)))
    read, *_ = cv2.QRCodeDetector().detectAndDecode((255 * (1 - dark)).astype(np.uint8))
    assert read == LINK


def test_it_stands_in_light_and_takes_a_terminals_width() -> None:
    squares = qr_squares(LINK)
    assert len(squares) == len(squares[0]) <= 79
    assert not any(any(row) for row in squares[:QUIET] + squares[-QUIET:])
    assert not any(any(row[:QUIET] + row[-QUIET:]) for row in squares)
    for line in qr_lines(LINK).splitlines():
        assert line.startswith("\x1b[30;107m")
        assert line.endswith("\x1b[0m")
