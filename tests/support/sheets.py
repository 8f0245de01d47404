"""Every example's shop sheet as a delivery makes it, with the cutting table and the plates on their sheet."""

import re
from functools import cache
from html import unescape

from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.ground.show import Show
from plategen.tell.picture.sheet_layout import nest_pictures
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import work_of


@cache
def delivered_sheet(name: str) -> str:
    """The sheet of one example, but for the room between parts, which only the solids tell."""
    work = work_of(name)
    parts = cut_parts(work)
    sheets = laid_out(work, parts)
    notes = cut_notes(work, parts, sheets)
    return sheet_html(work, cutting=notes, nest_svg=nest_pictures(sheets, Show(work.job.units)))


def read_words(html: str) -> list[str]:
    """What a person reads of it: each cell, paragraph, list item and word of a picture by itself, in order."""
    body = re.sub(r"<(script|style)\b.*?</\1>", "", html, flags=re.DOTALL)
    words = re.split(r"</?(?:td|th|p|li|small|caption|figcaption|text|tspan|h\d|dt|dd|div|title)\b[^>]*>", body)
    plain = (" ".join(unescape(re.sub(r"<[^>]+>", "", part)).split()) for part in words)
    return [part for part in plain if part]
