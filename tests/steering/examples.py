"""Linkages that the steering's tests share; all invented."""

import math
from dataclasses import replace

from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.vector import Point


def four_bar(
    ground: float, crank: float, coupler: float, rocker: float, crank_deg: float, rocker_deg: float
) -> Linkage:
    """A four-bar in the plane z = 0, drawn near the given angles; its coupler's length decides the exact place."""
    a, b = math.radians(crank_deg), math.radians(rocker_deg)
    return Linkage(
        (
            Lever("crank", (0, 0, 0), (0, 0, 1), {"pin": (crank * math.cos(a), crank * math.sin(a), 0)}),
            Lever(
                "rocker", (ground, 0, 0), (0, 0, 1), {"pin": (ground + rocker * math.cos(b), rocker * math.sin(b), 0)}
            ),
        ),
        (Rod("coupler", ("crank", "pin"), ("rocker", "pin"), coupler),),
    )


def spatial_four_link() -> Linkage:
    """Two skew axes and a rod between two ball joints."""
    return Linkage(
        (
            Lever("in", (10, -20, 30), (0.2, 0.9, 0.3), {"ball": (90, -10, -25)}),
            Lever("out", (400, 60, 0), (-0.1, 0.25, 1.0), {"ball": (420, 190, 15)}),
        ),
        (Rod("rod", ("in", "ball"), ("out", "ball")),),
    )


def five_levers() -> Linkage:
    """Box arm, two relay levers and two spindles on leaning kingpins: five levers, four rods, nothing in a plane."""
    return Linkage(
        (
            Lever("box arm", (-700, 300, 650), (0, 1, 0), {"drag": (-700, 310, 450)}),
            Lever("front relay", (-150, 330, 520), (0.1, 1, 0.05), {"in": (-140, 335, 380), "out": (-150, 345, 340)}),
            Lever("idler", (-20, 300, 380), (0, 0.1, 1), {"in": (-25, 450, 350), "out": (-20, 470, 380)}),
            Lever(
                "left spindle",
                (0, 690, 380),
                (-0.07, -0.14, 1),
                {"steer": (165, 660, 390), "tie": (-180, 645, 360)},
                "left",
            ),
            Lever("right spindle", (0, -690, 380), (-0.07, 0.14, 1), {"tie": (-180, -645, 360)}, "right"),
        ),
        (
            Rod("drag link", ("box arm", "drag"), ("front relay", "in")),
            Rod("link", ("front relay", "out"), ("idler", "in")),
            Rod("short rod", ("idler", "out"), ("left spindle", "steer")),
            Rod("tie rod", ("left spindle", "tie"), ("right spindle", "tie")),
        ),
    )


def sprayer() -> Linkage:
    """Box arm, drag link, spindles and tie rod of the example job, in mm."""
    inch = 25.4

    def at(x: float, y: float, z: float) -> tuple[float, float, float]:
        return (x * inch, y * inch, z * inch)

    return Linkage(
        (
            Lever("box arm", at(-42, 18, 28), (0, 1, 0), {"drag": at(-42, 18.5, 20)}),
            Lever(
                "left spindle",
                at(0, 27, 15),
                (-0.07, -0.14, 1),
                {"drag": at(0, 20.5, 16), "tie": at(-7, 25.125, 14)},
                "left",
            ),
            Lever("right spindle", at(0, -27, 15), (-0.07, 0.14, 1), {"tie": at(-7, -25.125, 14)}, "right"),
        ),
        (
            Rod("drag link", ("box arm", "drag"), ("left spindle", "drag")),
            Rod("tie rod", ("left spindle", "tie"), ("right spindle", "tie")),
        ),
    )


def mirrored(linkage: Linkage) -> Linkage:
    """The linkage seen in the vehicle's middle plane, y = 0: left becomes right.

    An axis is mirrored like a turn, (x, y, z) -> (-x, y, -z), so that equal turns stay mirror images
    with the opposite sign of the road wheel and the same sign of the lever angle.
    """
    swap = {"left": "right", "right": "left", "": ""}

    def flip(p: Point) -> Point:
        return (p[0], -p[1], p[2])

    levers = tuple(
        Lever(
            x.name,
            flip(x.pivot_mm),
            (-x.axis[0], x.axis[1], -x.axis[2]),
            {ball: flip(p) for ball, p in x.balls.items()},
            swap[x.wheel],
        )
        for x in linkage.levers
    )
    return replace(linkage, levers=levers)
