"""What will be printed, looked at before it is: the steps and measures of the bench sheet, and the true-scale paper."""

from plategen.cut.by_hand import torch_line_mm
from plategen.ground.show import Show
from plategen.paper.share import names, sharing
from plategen.paper.size import PAPERS
from plategen.paper.template import laid_tiles, template_svg
from plategen.tell.report.job import job_report
from plategen.tell.sheet import bench
from plategen.tell.sheet.cells import Table
from plategen.work import Work


def bench_sheet(work: Work) -> tuple[tuple[str, ...], Table]:
    """The steps at the bench, and the table of what is measured, as the shop sheet has them."""
    report, show = job_report(work, ()), Show(work.job.units)
    return bench.steps(work, report, show), bench.measured(work, report, show)


def papers(work: Work) -> list[tuple[str, str, str]]:
    """Of plates that share a paper: their names, the paper as SVG, and how many pages it takes on each size.

    Small plates are printed several to a page, so that all of them take fewer.
    """
    found = []
    for plates in sharing(work):
        plate = plates[0]
        of = work.of(plate)
        counts = {paper: len(laid_tiles(plate, paper, torch_line_mm(of.job, plate)).tiles) for paper in PAPERS}
        words = ", ".join(f"{paper} {count}" for paper, count in counts.items())
        picture = template_svg(of, plate).partition("\n")[2]  # without the line that heads a file
        found.append((names(plates), picture, f"pages by itself: {words}"))
    return found
