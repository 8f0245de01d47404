"""Every example's shop sheet as a delivery makes it, with the cutting table and the plates on their sheet."""

import re
from html import unescape

from plategen.delivery.render import Source, shop_sheet
from plategen.paper.size import USUAL_PAPER
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import work_of
from tests.support.once import once_a_run


@once_a_run
def delivered_sheet(name: str) -> str:
    """The sheet of one example, with the room between parts where the solid kernel can be loaded to measure it."""
    return shop_sheet(Source(work_of(name), USUAL_PAPER, solid=True)).decode()


@once_a_run
def plain_sheet(name: str) -> str:
    """The sheet of one example as it stands in its job alone: no cutting table, no room between parts."""
    return sheet_html(work_of(name))


def read_words(html: str) -> list[str]:
    """What a person reads of it: each cell, paragraph, list item and word of a picture by itself, in order."""
    body = re.sub(r"<(script|style)\b.*?</\1>", "", html, flags=re.DOTALL)
    words = re.split(r"</?(?:td|th|p|li|small|caption|figcaption|text|tspan|h\d|dt|dd|div|title)\b[^>]*>", body)
    plain = (" ".join(unescape(re.sub(r"<[^>]+>", "", part)).split()) for part in words)
    return [part for part in plain if part]
