"""What a delivery did, as plain data for other programs; the numbers of the job itself lie in its ``report.json``."""

from pathlib import Path
from typing import Any

from plategen.checks.finding import must_stop
from plategen.delivery.deliver import Delivered
from plategen.ground.show import Show
from plategen.tell.report import report
from plategen.work import Work


def delivery_report(work: Work, folder: Path, delivered: Delivered) -> dict[str, Any]:
    """Files, revision, what changed, and the findings that do not simply hold.

    Args:
        work: The job delivered.
        folder: Where to.
        delivered: What was done there.
    """
    stamp, findings = delivered.stamp, report(work)["findings"]
    return {
        "format": 1,
        "title": work.job.title,
        "units": work.job.units,
        "folder": str(folder),
        "files": [path.name for path in delivered.files],
        "missing": list(delivered.missing),
        "revision": {"letter": stamp.letter, "fingerprint": stamp.fingerprint} if stamp else None,
        "changes": list(delivered.changes),
        "earlier": str(delivered.earlier) if delivered.earlier else None,
        "stop": must_stop(work.findings),
        "findings": [finding for finding in findings if finding["verdict"] != "ok" and not finding["opinion"]],
        "cautions": [Show(work.job.units).text(words) for words in work.cautions],
    }
