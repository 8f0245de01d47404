"""The pictures of a steering study, as SVG text: plots over the sweep, the cylinder's places, the oil circuit,
the marks.
"""

import math

import numpy as np

from plategen.draw.svg import element
from plategen.ground.show import Show
from plategen.steering.circuit import Circuit
from plategen.steering.clearance import nearest
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import Floats
from plategen.tell.report.linkage import attachment_report
from plategen.tell.steering import svg
from plategen.tell.steering.svg import WIDTH, Curve, line_plot


def plots(study: SteeringStudy, show: Show) -> tuple[str, ...]:
    """Travel, alignment, ratio, toe and clearance over the sweep, as far as the study has them."""
    swept = study.sweep
    if swept is None:
        return ()
    along = np.degrees(swept.driver_rad)
    x_label = "box arm, degrees, left positive"
    per, unit = (25.4, "in") if show.units == "in" else (1.0, "mm")
    drawn: list[str] = []

    def add(name: str, title: str, y_label: str, curves: list[tuple[str, Floats]], *, zero: bool = True) -> None:
        lines = tuple(Curve(word, values) for word, values in curves)
        drawn.append(line_plot(f"steer-{name}", title, along, lines, x_label=x_label, y_label=y_label, zero=zero))

    if swept.steer_rad:
        wheels = [(f"{side} wheel", np.degrees(values)) for side, values in swept.steer_rad.items()]
        add("wheels", "Wheel angles", "degrees, left positive", wheels)
    if study.in_line is not None:
        pins = study.in_line.pins
        opened = (pins.length_mm - pins.straight_mm) / per
        add("travel", "Travel of the cylinder", unit, [("from ahead", opened)])
        aligned = study.in_line.aligned
        curves = [
            ("angle", np.degrees(aligned.angle_rad)),
            ("from above", np.degrees(aligned.level_rad)),
            ("from the side", np.degrees(aligned.upright_rad)),
        ]
        add("alignment", "Cylinder against its line", "degrees", curves)
        shares = [("push lost", 100.0 * aligned.push_lost), ("side load", 100.0 * aligned.side_share)]
        add("lost", "Push lost and side load", "% of the push", shares)
    if swept.ratio is not None:
        add("ratio", "Ratio, box to mean wheel", "degrees for a degree", [("ratio", swept.ratio)], zero=False)
    if swept.toe_error_rad is not None:
        add("toe", "Toe-out beyond free rolling", "degrees", [("toe error", np.degrees(swept.toe_error_rad))])
    if study.clearances:
        picked = svg.picked(len(along))
        gaps = tuple(Curve(f"{c.tyre}, {c.bar}", c.gaps_mm(picked) / per) for c in nearest(study.clearances, 4))
        drawn.append(
            line_plot(
                "steer-gap",
                "Tyre clearance, undeflected",
                along[picked],
                gaps,
                x_label=x_label,
                y_label=unit,
                zero=True,
            )
        )
    return tuple(drawn)


def trade_picture(study: SteeringStudy, show: Show) -> str:
    """Each place the cylinder could push: the stroke it needs against its least arm; one is paid in the other."""
    rows = [row for row in study.attachments if row.dead_rad is None]
    if not rows:
        return ""
    per, unit = (25.4, "in") if show.units == "in" else (1.0, "mm")
    across, up = [row.travel_mm / per for row in rows], [row.least_arm_mm / per for row in rows]
    x_ticks, y_ticks = svg.round_ticks(0.0, max(across)), svg.round_ticks(0.0, max(up))

    def place(x: float, y: float) -> tuple[float, float]:
        return 56.0 + x / x_ticks[-1] * (WIDTH - 76.0), 250.0 - y / y_ticks[-1] * 218.0

    body = [svg.words(56, 16, "Stroke against leverage, by place of the cylinder")]
    for tick in x_ticks:
        body.append(svg.line([place(tick, 0.0), place(tick, y_ticks[-1])], "grid", 1.0))
        body.append(svg.words(place(tick, 0.0)[0], 266, f"{tick:.4g}", anchor="middle"))
    for tick in y_ticks:
        body.append(svg.line([place(0.0, tick), place(x_ticks[-1], tick)], "grid", 1.0))
        body.append(svg.words(50, place(0.0, tick)[1] + 4, f"{tick:.4g}", anchor="end"))
    dots = [place(x, y) for x, y in zip(across, up, strict=True)]
    body += [svg.dot(*at, "a") for at in dots]
    body += [svg.words(x, y, words, kind="a") for x, y, words in svg.numbered(dots)]
    body.append(svg.words(56 + (WIDTH - 76.0) / 2, 284, f"stroke needed, {unit}", anchor="middle"))
    body.append(svg.words(14, 141, f"least arm on the wheel, {unit}", anchor="middle", turn=-90.0))
    words = "Numbers are the rows of the table: " + "; ".join(
        f"{i} {attachment_report(row).place}" for i, row in enumerate(rows, 1)
    )
    return svg.frame(WIDTH, 292.0, "Stroke against leverage", words, body, "steer-trade")


def circuit_picture(circuit: Circuit, study: SteeringStudy, show: Show) -> str:
    """The circuit with its parts at their heights: reservoir, pump, box, cylinder, cooler, lines between them."""
    entry = study.steering.circuit if study.steering is not None else None
    if entry is None:
        return ""
    heights = [
        ("pump", 160.0, entry.pump_mm),
        ("box", 270.0, entry.box_mm if entry.box_mm is not None else entry.pump_mm),
        ("cylinder", 385.0, entry.cylinder_mm if entry.cylinder_mm is not None else entry.pump_mm),
        ("cooler", 215.0, entry.cooler_mm),
        ("reservoir", 52.0, entry.reservoir_mm),
    ]
    known = [(name, x, z) for name, x, z in heights if z is not None]
    low, high = min(z for _, _, z in known), max(z for _, _, z in known)
    scale = 150.0 / max(high - low, 1.0)
    at = {name: (x, 210.0 - (z - low) * scale) for name, x, z in known}
    body: list[str] = []
    joins = [("reservoir", "pump", "a"), ("pump", "box", "b"), ("box", "cylinder", "b")]
    joins += [("box", "cooler", "c"), ("cooler", "reservoir", "c")] if "cooler" in at else [("box", "reservoir", "c")]
    for start, end, kind in joins:
        (x1, y1), (x2, y2) = at[start], at[end]
        body.append(svg.line([(x1, y1), ((x1 + x2) / 2, y1), ((x1 + x2) / 2, y2), (x2, y2)], kind, 2.0))
    for name, (x, y) in at.items():
        body.append(
            element(
                "rect",
                class_="part",
                x=svg.number(x - 38),
                y=svg.number(y - 14),
                width="76",
                height="28",
                rx="4",
                stroke_width="1.5",
            )
        )
        body.append(svg.words(x, y + 4, name, anchor="middle"))
    key = (("suction", "a"), ("pressure", "b"), ("return", "c"))
    for i, (name, kind) in enumerate(key):
        body.append(svg.line([(20 + 130 * i, 256), (54 + 130 * i, 256)], kind, 2.0))
        body.append(svg.words(60 + 130 * i, 260, name, kind=kind))
    words = (
        f"Reservoir {show.length(circuit.head_mm)} above the pump. Heat at relief "
        f"{show.power(circuit.heat_w / 1000.0)}. "
        "Heights to scale, distances not."
    )
    return svg.frame(WIDTH, 272.0, "Oil circuit", words, body, "steer-circuit")


def marks_picture(study: SteeringStudy) -> str:
    """The hub with its three lines, seen along the shaft: one on the housing, L and R on the hub."""
    swept = study.sweep
    if not study.marks or swept is None:
        return ""
    centre, hub, housing = complex(120, 120), 60.0, 92.0
    locks = (("L", float(swept.driver_rad[-1]), "a"), ("R", float(swept.driver_rad[0]), "b"))
    body = [
        element("circle", cx="120", cy="120", r=svg.number(hub), stroke_width="2"),
        element("circle", class_="grid", cx="120", cy="120", r=svg.number(housing), stroke_width="1"),
        svg.line([(120, 120 - housing), (120, 120 - hub)], "", 2.5),
        svg.words(120, 22, "housing", anchor="middle"),
    ]
    for name, angle, kind in locks:
        way = complex(math.sin(angle), -math.cos(angle))
        inner, outer = centre + way * hub * 0.72, centre + way * hub
        label = centre + way * hub * 0.55
        body.append(svg.line([(inner.real, inner.imag), (outer.real, outer.imag)], kind, 2.5, dash=""))
        body.append(svg.words(label.real, label.imag + 4, name, anchor="middle", kind=kind))
    words = "One line on the housing; on the hub the line L stands opposite it at the left lock, R at the right lock."
    return svg.frame(240.0, 240.0, "Marks on the steering box", words, body, "steer-marks")
