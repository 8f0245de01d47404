"""A picture of a solved plate: equivalent stress in bands, as one SVG drawing that needs nothing else."""

import numpy as np

from plategen.draw.svg import element, text_of
from plategen.ground.show import Show
from plategen.rules.elements import Field

BANDS = ("#313695", "#4575b4", "#74add1", "#abd9e9", "#e0f3f8", "#fee090", "#fdae61", "#f46d43", "#d73027", "#a50026")
"""Blue to red by ten equal steps, told apart in grey and by most colour-blind eyes."""

WIDTH = 640.0
"""Of the picture, in its own unit."""


def stress_svg(field: Field, show: Show, title: str, top_mpa: float | None = None) -> str:
    """The solved plate's equivalent stress, one path a band, with a legend in the job's units.

    ``top_mpa`` is the stress at the top of the last band, in which more is drawn too; left out, the largest there is.
    """
    mises = field.von_mises_mpa
    top = float(top_mpa or mises.max()) or 1.0
    corners = field.mesh.points[field.mesh.triangles]
    band = np.minimum((mises[field.mesh.triangles].mean(axis=1) / top * len(BANDS)).astype(int), len(BANDS) - 1)
    low, high = field.mesh.points.min(axis=0), field.mesh.points.max(axis=0)
    scale = WIDTH / float(high[0] - low[0])
    height = float(high[1] - low[1]) * scale
    drawn = np.round(np.stack([(corners[..., 0] - low[0]) * scale, (high[1] - corners[..., 1]) * scale], axis=-1), 1)
    paths = []
    for index, colour in enumerate(BANDS):
        triangles = drawn[band == index].tolist()
        if triangles:
            data = "".join(f"M{a[0]:g} {a[1]:g}L{b[0]:g} {b[1]:g}L{c[0]:g} {c[1]:g}Z" for a, b, c in triangles)
            paths.append(element("path", d=data, fill=colour, stroke=colour, stroke_width=".4"))
    step = WIDTH / len(BANDS)
    legend = [
        element("rect", x=i * step, y=f"{height + 14:.1f}", width=step, height="14", fill=colour)
        + element(
            "text",
            text_of(show.stress(top * (i + 1) / len(BANDS))),
            x=(i + 1) * step,
            y=f"{height + 42:.1f}",
            text_anchor="end",
        )
        for i, colour in enumerate(BANDS)
    ]
    return element(
        "svg",
        element("title", text_of(title)) + "".join(paths) + "".join(legend),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"-4 -4 {WIDTH + 8:g} {height + 56:.1f}",
        role="img",
        font_family="sans-serif",
        font_size="10",
    )
