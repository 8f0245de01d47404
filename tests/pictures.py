"""The read-me's pictures, made anew from the examples as they are built now: ``python -m tests.pictures``.

Wants Chromium, as the tests of pages do. The read-me itself says which examples it shows. The same machine draws the
same bytes; another release of the browser may set a letter a pixel aside.
"""

import re
import sys
from pathlib import Path

from plategen.tell.picture.drafter import alone
from plategen.tell.picture.labelled import labelled_view
from tests.conftest import CHROMIUM, FLAGS, NO_CHROMIUM
from tests.support.every_example import PROFILES, work_of

WIDTH_PX = 800
"""As wide as a read-me is shown on a desk; labels are then 14 px high."""


def shown() -> dict[str, Path]:
    """The picture of each example that the read-me shows, in its order."""
    readme = (PROFILES.parent / "README.md").read_text(encoding="utf-8")
    names = re.findall(r"!\[[^\]]*\]\(profiles/([\w-]+)/bracket\.png\)", readme)
    return {name: PROFILES / name / "bracket.png" for name in names}


def page_of(example: str) -> str:
    """A page that holds the picture of an example's bracket alone, on white."""
    style = f"body {{ margin: 0; background: #fff }} svg {{ display: block; width: {WIDTH_PX}px }}"
    return f"<!doctype html><style>{style}</style>{alone(labelled_view(work_of(example)))}"


def main() -> None:
    """Draw every picture over the one that is there, and say how large it is."""
    if CHROMIUM is None:
        sys.exit(NO_CHROMIUM)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        page = browser.new_page(viewport={"width": WIDTH_PX, "height": WIDTH_PX}, color_scheme="light")
        for name, path in shown().items():
            page.set_content(page_of(name))
            path.write_bytes(page.locator("svg").screenshot())
            print(f"{path.relative_to(PROFILES.parent)}: {path.stat().st_size:,} bytes")
        browser.close()


if __name__ == "__main__":
    main()
