"""What stands in the margins of every printed page of the sheet."""

from plategen.work import Work


def paged(work: Work) -> str:
    """What every printed page says at its head and foot (CSS Paged Media Module Level 3, margin boxes)."""
    stamp, stop = work.stamp, "STOP: do not build. " if work.stopped else ""
    revision = "" if stamp is None else f"revision {stamp.letter}, inputs {stamp.shown}"
    boxes = {
        "top-left": _css_string(f"{stop}{work.job.title}"),
        "top-right": _css_string(revision),
        "bottom-left": _css_string("Nothing here certifies a vehicle, a machine, a weld or a part."),
        "bottom-right": '"page " counter(page) " of " counter(pages)',
    }
    # near the text, so that no printer's white rim takes them
    font = 'font: 8pt "Liberation Sans", Arial, sans-serif; color: #444; padding: 2.5mm 0;'
    side = {"top": "vertical-align: bottom;", "bottom": "vertical-align: top;"}
    styled = (f"@{at} {{ content: {words}; {font} {side[at.partition('-')[0]]} }}" for at, words in boxes.items())
    return f"@page {{ {' '.join(styled)} }}"


def _css_string(words: str) -> str:
    """Words as a string of a style sheet that no sign in them can end."""
    return '"' + "".join(c if c.isalnum() or c in " ,.:-" else f"\\{ord(c):x} " for c in words) + '"'
