"""The read-me's pictures: those it shows are there, made by the one command, and none lies about unshown."""

import struct

from plategen.tell.picture.plate_features import spoken
from tests.pictures import WIDTH_PX, page_of, shown
from tests.support.every_example import PROFILES, work_of


def size_px(png: bytes) -> tuple[int, int]:
    width, height = struct.unpack(">II", png[16:24])
    return width, height


def test_every_picture_is_shown_and_was_made_by_the_command() -> None:
    assert len(shown()) >= 4
    assert set(shown().values()) == set(PROFILES.glob("*/*.png"))
    assert {size_px(path.read_bytes())[0] for path in shown().values()} == {WIDTH_PX}


def test_a_picture_names_the_parts_and_is_drawn_alike_again(browser) -> None:
    name = next(iter(shown()))
    html = page_of(name)
    assert all(f">{spoken(plate)}<" in html for plate in work_of(name).bracket.plates)
    page = browser.new_page(viewport={"width": WIDTH_PX, "height": WIDTH_PX})
    page.set_content(html)
    once, again = page.locator("svg").screenshot(), page.locator("svg").screenshot()
    page.close()
    assert once == again
    assert size_px(once)[0] == WIDTH_PX
