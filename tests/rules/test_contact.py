"""Bolts and contact of a stiff plate drawn off another: a textbook's bracket, statics by linear programming."""

import random

import numpy as np
import pytest
from scipy.optimize import linprog

from plategen.flat.convex import convex_hull
from plategen.flat.overlap import SAME_MM
from plategen.rules.contact import bolts_and_contact


def test_bracket_on_a_column_pulls_its_upper_bolts_with_8108_n() -> None:
    # an open companion to Design of Machine Elements, chapter 7: 25 kN at 100 mm from the column, two bolts 150 mm and
    # two 25 mm above the edge about which the bracket tilts: 8108.11 N on each upper bolt
    bolts = (-40 + 25j, 40 + 25j, -40 + 150j, 40 + 150j)
    corners = (-80 + 0j, 80 + 0j, 80 + 200j, -80 + 200j)
    tension, contact = bolts_and_contact(bolts, corners, [0.0], [25e3 * 100.0 * 1j])
    assert tension[0].tolist() == pytest.approx([8108.11 / 6, 8108.11 / 6, 8108.11, 8108.11], rel=1e-6)
    assert contact[0].tolist() == pytest.approx([8108.11 * 7 / 6, 8108.11 * 7 / 6, 0.0, 0.0], rel=1e-6, abs=1e-6)


def test_a_pull_beside_two_bolts_levers_them_on_the_far_edge() -> None:
    # by hand: T (b) = S (a + b) about the edge, half on each bolt, however far apart the bolts stand square to it
    for apart in (40.0, 120.0):
        bolts = (complex(-apart / 2, 0.0), complex(apart / 2, 0.0))
        corners = (-90 - 17j, 90 - 17j, 90 + 17j, -90 + 17j)
        tension, _ = bolts_and_contact(bolts, corners, [1000.0, -1000.0], [150e3j, -150e3j])
        assert tension[0].tolist() == pytest.approx([1000.0 * 167.0 / 34.0] * 2)
        # pushed the other way it tilts about the near edge
        assert tension[1].tolist() == pytest.approx([1000.0 * 133.0 / 34.0] * 2)


def test_a_plate_pressed_within_its_face_pulls_no_bolt() -> None:
    corners = (-50 - 50j, 50 - 50j, 50 + 50j, -50 + 50j)
    tension, contact = bolts_and_contact((-20 + 0j, 20 + 0j), corners, [-900.0], [-900.0 * (30 + 40j)])
    assert tension[0].tolist() == [0.0, 0.0]
    assert contact[0].sum() == pytest.approx(900.0)
    assert (contact[0] * np.array(corners)).sum() == pytest.approx(900.0 * (30 + 40j))


def test_random_plates_are_in_balance_and_break_no_sign() -> None:
    chance = random.Random(16)
    for _ in range(200):
        drawn = [complex(chance.uniform(-100, 100), chance.uniform(-80, 80)) for _ in range(8)]
        corners = convex_hull(drawn, SAME_MM).tolist()
        q = np.array(corners)
        shares = np.random.default_rng(chance.randrange(1 << 30)).dirichlet(
            np.ones(len(q)), chance.choice([1, 2, 3, 4, 6])
        )
        p = shares @ q
        away, first = chance.choice([-1e3, 0.0, 1e3]), complex(chance.gauss(0, 8e4), chance.gauss(0, 8e4))
        (tension,), (contact,) = bolts_and_contact(p.tolist(), corners, [away], [first])
        size = abs(away) + abs(first) / 100.0
        assert tension.sum() - contact.sum() == pytest.approx(away, abs=1e-9 * size)
        assert (tension * p).sum() - (contact * q).sum() == pytest.approx(first, abs=1e-7 * size)
        assert min(tension.min(), contact.min()) >= -1e-9 * size
        # statics alone: the least that the worst bolt can have, by linear programming over bolts and corners
        balance = np.array([np.r_[np.ones(len(p)), -np.ones(len(q)), 0.0], np.r_[p.real, -q.real, 0.0],
                            np.r_[p.imag, -q.imag, 0.0]])  # fmt: skip
        worst = np.hstack([np.eye(len(p)), np.zeros((len(p), len(q))), -np.ones((len(p), 1))])
        least = linprog(np.r_[np.zeros(len(p) + len(q)), 1.0], A_ub=worst, b_ub=np.zeros(len(p)), A_eq=balance,
                        b_eq=[away, first.real, first.imag])  # fmt: skip
        assert tension.max() >= least.fun * (1.0 - 1e-7)
