"""What the checks do not cover, for the sheet and the judge to say beside their table."""

NOT_COVERED = (
    "Fatigue is not checked: a steering bracket is loaded millions of times. Look at weld ends and the pin hole's rim "
    "for cracks at every service; design category C and a larger shock factor leave room, they do not prove a life.",
    "A shock beyond the shock factor is not covered. Forces are those at relief pressure times that factor, 1.5 unless "
    "the job gives another: a wheel that strikes a stump drives the shut-in oil above the relief setting before the "
    "valve can open (common practice, no source).",
    "The rail's wall is checked in shear beside the welds; its own bending between its corners, and the rail as a "
    "whole, are not. Do not weld across a heat-treated rail or on its flange's edge without its maker's word.",
    "The plates are taken as flat and the welds as made: no undercut, no crater, full leg along the whole run.",
    "Prying is not counted in bolts under tension; the pattern shares its load elastically.",
    "The parts of a weld's load are added as vectors on the throat, the conservative of the two conventions in use, "
    "and no gain is taken for welds loaded across.",
    "Values marked as common practice or from memory have no document behind them here: look them up before relying "
    "on them. None of this is a certificate; local vehicle codes, a qualified welder and a licensed engineer decide.",
)
"""One sentence or two each; they hold for every bracket."""
