"""Data for the scripts of sheet and page, as JSON within a script element."""

import json


def script_data(value: object) -> str:
    r"""A value as JSON in which no sign ends the element.

    >>> print(script_data(["</script>", 1]))
    ["\u003c/script>",1]
    """
    return in_script(json.dumps(value, separators=(",", ":")))


def in_script(text: str) -> str:
    """JSON that is written already, likewise."""
    return text.replace("<", "\\u003c")
