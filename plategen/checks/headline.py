"""What all checks come to, in one line that says no more than was checked."""

from collections.abc import Iterable

from plategen.checks.finding import OVER, Finding


def headline(findings: Iterable[Finding]) -> str:
    """How many of the findings that decide fail, are over a limit that only warns, are near theirs, and hold.

    >>> headline(())
    'Nothing was checked.'
    """
    deciding = [finding for finding in findings if finding.decides]
    stop = sum(finding.verdict == "stop" for finding in deciding)
    warned = [finding for finding in deciding if finding.verdict == "caution"]
    over = sum(finding.ratio > OVER for finding in warned)
    counts = ((over, "over a limit that warns"), (len(warned) - over, "near the limit"))
    words = " and ".join(f"{count} {'is' if count == 1 else 'are'} {what}" for count, what in counts if count)
    if not deciding:
        return "Nothing was checked."
    if stop:
        more = f" Beside them {words}." if words else ""
        return f"STOP: {stop} of {len(deciding)} checks {'fails' if stop == 1 else 'fail'}.{more} Do not build this."
    if words:
        return f"Of {len(deciding)} checks {words}; the rest hold."
    return f"All {len(deciding)} checks that were made hold."
