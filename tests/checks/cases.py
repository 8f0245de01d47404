"""On the bench: for a check a trial in which it, and no other of its subject, says stop."""

import math

from plategen.flat.loop import Loop
from plategen.flat.segment import Line
from plategen.job.rules import Driven, Use
from tests.checks.bench import Bench

EN = {"set": "en-1993"}
STRAIGHT = {"skew_rad": 0.0, "swing_rad": 0.0}
HARD = Use(hours_a_week=40.0, strokes_an_hour=60.0, years=20.0)
FLANGE = {"section": "channel", "face": "flange", "face_from_mm": -45.0, "face_to_mm": 60.0}
FOUR = (-40 + 50j, 40 + 50j, -40 - 30j, 40 - 30j)


def box(left: float, low: float, right: float, high: float) -> Loop:
    """A rectangular opening."""
    corners = [complex(left, low), complex(right, low), complex(right, high), complex(left, high)]
    return Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)))


CASES: dict[str, tuple[str, Bench]] = {
    "short fat pin": (
        "pin shear",
        Bench(pin=12.0, hole=12.5, eye_width=3.0, gap=0.0, thickness=3.0, pressure=25.0, rules={"skew_rad": 0.0}),
    ),
    "long thin pin": ("pin bending", Bench(pin=16.0, hole=16.5, eye_width=60.0, gap=3.0)),
    "pin in shear and bending": (
        "pin shear with bending",
        Bench(pin=12.0, hole=12.5, eye_width=8.0, gap=0.0, thickness=5.0, rules=EN, pressure=14.0),
    ),
    "pin that is to come out again": (
        "pin bending in service",
        Bench(pin=20.0, hole=20.5, eye_width=60.0, rules={**EN, "shock_factor": 1.0}, pressure=20.0),
    ),
    "EN: pin that dents its plates": (
        "bearing in service",
        Bench(pin=20.0, hole=20.2, thickness=8.0, pressure=25.0, rules=EN),
    ),
    "EN: pin with much play": ("contact stress in service", Bench(pin=25.0, hole=31.0, pressure=20.0, rules=EN)),
    "narrow nose": ("steel about the pin hole", Bench(pin=40.0, hole=40.5, nose=24.0, thickness=6.0, pressure=20.0)),
    "small pin in a thin plate": ("bearing on the pin", Bench(pin=12.0, hole=12.5, thickness=5.0, pressure=14.0)),
    "EN: short nose": ("steel beyond the pin hole", Bench(nose=26.0, rules=EN)),
    "EN: slot beside the hole": (
        "steel beside the pin hole",
        Bench(nose=60.0, openings=(box(-10.0, 17.0, 10.0, 24.0),), rules=EN),
    ),
    "EN: small pin in a thin plate": (
        "bearing of plate and pin",
        Bench(pin=12.0, hole=12.5, thickness=4.0, rules=EN, pressure=12.0),
    ),
    "hole near the edge": ("edge distance", Bench(nose=33.0)),
    "EN: large hole near the edge": ("edge distance to the hole's size", Bench(hole=34.0, nose=38.0, rules=EN)),
    "bolts close together": (
        "bolt spacing",
        Bench(bolts=(-25 + 20j, 25 + 20j, -25 - 30j, 25 - 30j), nose=75.0, bolt=20.0, bolt_hole=31.0, pin=25.0),
    ),
    "EN: bolts close together for their holes": (
        "bolt spacing to the hole's size",
        Bench(bolts=(-30 + 35j, 30 + 35j, -30 - 25j, 30 - 25j), nose=80.0, bolt=20.0, bolt_hole=28.0, rules=EN),
    ),
    "side force on a thin ear": (
        "plate section",
        Bench(thickness=6.0, pressure=14.0, rules={"skew_rad": math.radians(6)}),
    ),
    "pin close to the rail": (
        "plate shear",
        Bench(height=46.0, toe=5.0, thickness=4.0, pressure=45.0, rules=STRAIGHT),
    ),
    "tall thin ear": (
        "plate section",
        Bench(height=420.0, thickness=4.0, foot=130.0, pressure=4.0, rules=STRAIGHT),
    ),
    "thin ear pushed at the rail": (
        "plate section",
        Bench(
            height=260.0,
            nose=180.0,
            foot=260.0,
            thickness=5.0,
            rules={"skew_rad": 0.0, "swing_rad": 1.5},
            pressure=10.5,
        ),
    ),
    "leg too small for the plate": ("least leg", Bench(leg=4.0)),
    "stub of a run": ("least length", Bench(run_from=0.0, run_to=30.0, pressure=1.0)),
    "EN: short run": ("least length that carries", Bench(run_from=0.0, run_to=32.0, rules=EN, pressure=1.0)),
    "EN: throat under 3 mm": ("least throat", Bench(leg=4.0, rules=EN)),
    "notch that does not fit": ("fit-up gap", Bench(weld_gap=5.5)),
    "rail leaning in": ("sharp joint angle", Bench(angles_deg=(50.0, 90.0))),
    "rail leaning out": ("open joint angle", Bench(angles_deg=(90.0, 140.0), leg=12.0)),
    "small fillet": ("weld throat stress", Bench(leg=5.0, foot=60.0, pressure=20.0)),
    "thin plate, large fillet": ("plate beside the weld", Bench(thickness=4.0, leg=12.0, foot=70.0, pressure=20.0)),
    "thin wall": ("rail wall beside the weld", Bench(wall=1.5, leg=12.0, foot=70.0, pressure=20.0, thickness=20.0)),
    "thin flange": ("rail wall in bending", Bench(rail=FLANGE, wall=6.0, leg=6.0)),
    "plate over the flange's edge": (
        "bead to the flange's edge",
        Bench(rail={**FLANGE, "face_to_mm": 30.0}, wall=20.0),
    ),
    "foot across a flange past its edge": (
        "bead to the flange's edge",
        Bench(rail={**FLANGE, "plates_lie": "across", "face_from_mm": -200.0, "face_to_mm": 90.0}, wall=40.0),
    ),
    "plate beside the box": (
        "foot off the rail's face",
        Bench(rail={"section": "box", "face_from_mm": -80.0, "face_to_mm": 25.0}, wall=30.0),
    ),
    "EN: small fillet that works hard": (
        "weld throat fatigue",
        Bench(leg=5.0, foot=60.0, pressure=8.0, thickness=20.0, use=HARD, rules={**EN, "skew_rad": 0.0}),
    ),
    "side force on a plate that works hard": (
        "plate at its weld, fatigue",
        Bench(thickness=8.0, pressure=14.0, use=HARD, rules={"skew_rad": math.radians(4)}),
    ),
    "narrow nose that works hard": (
        "net section at the pin, fatigue",
        Bench(nose=22.0, thickness=8.0, use=HARD, rules={"skew_rad": 0.0}),
    ),
    "small bolts": (
        "bolt shear",
        Bench(
            bolts=FOUR,
            nose=80.0,
            bolt=10.0,
            bolt_hole=11.0,
            thickness=20.0,
            pressure=18.0,
            rules={"skew_rad": 0.0, "bolt_grade": "4.6"},
        ),
    ),
    "bolts that are pried out": (
        "bolt tension with shear",
        Bench(
            bolts=FOUR,
            nose=80.0,
            bolt=12.0,
            bolt_hole=13.0,
            pressure=20.0,
            rules={"skew_rad": 1.3, "bolt_grade": "4.6"},
        ),
    ),
    "pretensioned bolts that slip": (
        "bolt slip",
        Bench(
            bolts=FOUR,
            nose=80.0,
            bolt=12.0,
            bolt_hole=13.0,
            pressure=28.0,
            rules={"pretensioned": True, "bolt_grade": "A325"},
        ),
    ),
    "bolts in a thin plate": (
        "bolt bearing and tear-out",
        Bench(bolts=FOUR, nose=85.0, thickness=1.0, pressure=21.5, rules={"skew_rad": 0.0, "bolt_grade": "A490"}),
    ),
    "bolts that tear a block out": (
        "block shear",
        Bench(
            bolts=(-12 + 12j, 12 + 12j, -12 - 12j, 12 - 12j),
            bolt=10.0,
            bolt_hole=11.0,
            pin=8.0,
            hole=8.5,
            nose=33.0,
            foot=40.0,
            thickness=1.5,
            pressure=14.2,
            rules={**STRAIGHT, "bolt_grade": "A490"},
        ),
    ),
    "side force on a small tie weld": (
        "tie weld throat stress",
        Bench(tie=True, leg=1.0, eye_width=60.0, rules={"skew_rad": 0.4}, pressure=20.0),
    ),
    "heat-treated rail": ("beads on heat-treated steel", Bench(wall_steel="4140-HT")),
    "filler that is not low-hydrogen": ("low-hydrogen filler", Bench(electrode="E7014")),
    "thin rod": ("rod buckling", Bench(rod=18.0, rules={"skew_rad": 0.0}, pressure=12.0)),
    "rod pushed aside": ("rod side load", Bench(rules={"skew_rad": 0.14})),
    "long driven tube": ("driven rod buckling", Bench(driven=Driven(diameter_mm=35.0, bore_mm=25.0, length_mm=1350.0))),
    "driven rod pushed off its line": (
        "driven rod bending",
        Bench(driven=Driven(diameter_mm=40.0, bore_mm=20.0, length_mm=500.0, arm_mm=80.0, at_mm=100.0)),
    ),
}

BOX_BELOW, BOX_ABOVE = box(-10.0, 14.0, 10.0, 24.0), box(-10.0, 22.75, 10.0, 30.0)
OPINIONS: dict[str, tuple[str, Bench]] = {
    "opening beside the hole": ("tension through the pin hole", Bench(nose=60.0, openings=(BOX_BELOW,), pressure=30.0)),
    "openings beyond and beside the hole": (
        "splitting beyond the pin hole",
        Bench(nose=60.0, openings=(box(-30, -9, -20.75, 9), BOX_ABOVE), rules=STRAIGHT, pressure=15.0, thickness=10.0),
    ),
    "opening beyond the hole": (
        "shear beyond the pin hole",
        Bench(nose=60.0, openings=(box(-30, -9, -17.75, 9),), rules=STRAIGHT, pressure=12.5, thickness=8.0),
    ),
    "bolts far from the pin": (
        "bolt group by its instantaneous centre",
        Bench(bolts=(-20 + 50j, 20 + 50j, -20 + 20j, 20 + 20j), bolt=10.0, bolt_hole=11.0, pressure=25.0),
    ),
    "small pin": ("bearing on the pin, lifting rule", Bench(pin=10.0, hole=10.5, thickness=6.0, pressure=12.0)),
}
"""Second opinions always: the rule for lifting devices, and the instantaneous centre of a bolt group."""
