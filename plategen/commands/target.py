"""``plategen target``: the pages to lay beside a pattern that is photographed."""

from pathlib import Path

import click

from plategen.commands.one_line import FILE
from plategen.ground.refusal import missing_library
from plategen.paper.size import PAPERS_MM, USUAL_PAPER


@click.command()
@click.option("--pages", default=4, show_default=True, help="How many, each another: 1 to 4.")
@click.option(
    "--paper",
    type=click.Choice(tuple(PAPERS_MM), case_sensitive=False),
    default=USUAL_PAPER,
    show_default=True,
    help="What they are printed on.",
)
@click.option("-o", "--out", type=FILE, default="target.pdf", show_default=True)
def target(pages: int, paper: str, out: Path) -> None:
    """Print pages to lay beside a cardboard pattern, or a plate, that is photographed."""
    from plategen.delivery.folder import locked, put

    try:
        from plategen.paper.target_pages import target_pdf

        pdf = target_pdf(pages, paper)
    except ModuleNotFoundError as missing:
        raise missing_library("the markers need", missing.name, "photo", "target") from None
    with locked(out.parent):
        put(out.parent, {out.name: pdf})
    click.echo(out)
    click.echo("Print at 100 %, never to fit, and lay a steel rule on the bars and the long side of the board.")
    click.echo("Then: plategen pattern PHOTO.jpg --thickness 1/8 --bar '7 7/8' -o front.csv")
