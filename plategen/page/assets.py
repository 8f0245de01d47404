"""The texts that the page sends to a browser as they stand: scripts and styles, its own and those of the shop sheet."""

from collections.abc import Callable
from functools import cache
from importlib import resources
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from plategen.tell.picture.drafter import style
from plategen.tell.picture.linkage import script as linkage_script
from plategen.tell.picture.turntable import script as turntable_script
from plategen.tell.steering.section import css

SHARED = {"picture.css": style, "steer.css": css, "turntable.js": turntable_script, "linkage.js": linkage_script}
"""What the sheet has too."""

OWN = {
    "page.js", "show.js", "stay.js", "beside.js", "hold.js", "keys.js", "typed.js", "photo.js", "post.js", "files.js",
    "trials.js", "first.js", "page.css",
}  # fmt: skip
"""What the page alone has."""

_TYPES = {"js": "text/javascript; charset=utf-8", "css": "text/css; charset=utf-8"}


async def static(request: Request) -> Response:
    """One of them, by its name."""
    name = request.path_params["name"]
    if name not in SHARED and name not in OWN:
        raise HTTPException(404, "there is no such file")
    text = SHARED[name]() if name in SHARED else own_text(f"static/{name}")
    return Response(text, media_type=_TYPES[name.rpartition(".")[2]])


def own_text(name: str) -> str:
    """A text of this room."""
    return resources.files("plategen.page").joinpath(name).read_text(encoding="utf-8")


@cache
def template(name: str) -> Any:
    """One of this room's templates, made ready once."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(own_text(f"templates/{name}"))


def part_macro(name: str) -> Callable[..., str]:
    """What makes a part of the page of its values."""
    made: Callable[..., str] = getattr(template("parts.html").module, name)
    return lambda *args: str(made(*args)).strip()
