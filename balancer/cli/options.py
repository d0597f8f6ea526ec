"""The options and arguments that several commands share, each declared once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.completion import DRINKS

SpecsFolder = Annotated[
    Path | None,
    typer.Option("--specs", metavar="DIR", help="The bar's folder, where it is not found by itself.", readable=False),
]
Demo = Annotated[bool, typer.Option("--demo", help="The invented bar that comes with it, on its own evening.")]
AsJson = Annotated[bool, typer.Option("--json", help="Every digit, as JSON.")]
Steps = Annotated[bool, typer.Option("--steps", help="The working, line by line, in grams.")]

DrinkWords = Annotated[
    list[str], typer.Argument(metavar="DRINK", autocompletion=DRINKS, help="Its name, id, or the beginning of one.")
]
DrinkNames = Annotated[
    list[str] | None, typer.Argument(metavar="DRINK ...", autocompletion=DRINKS, help="Which drinks; all if left out.")
]
BrixNow = Annotated[str, typer.Option("--brix", "-b", metavar="BRIX", help="Strength of the batch, °Bx.")]
Uncertainty = Annotated[
    str | None, typer.Option("--uncertainty", metavar="BRIX", help="Standard uncertainty of the strength.")
]
CauseText = Annotated[
    str | None, typer.Option("--cause", metavar="WHY", help="Why it is off: boiled, watered or sugar.")
]
VolumeText = Annotated[str | None, typer.Option("--volume", "-v", metavar="VOLUME", help="Or how much, like 2l.")]
Night = Annotated[str | None, typer.Option("--date", "-d", metavar="DATE", help="Another night, like 2026-11-25.")]
Everything = Annotated[bool, typer.Option("--all", "-a", help="All of it, however many rows it takes.")]
Alone = Annotated[bool, typer.Option("--alone", help="Every other syrup at standard, whatever its open batch reads.")]
ForTonight = Annotated[bool, typer.Option("--tonight", help="As the open batches read; without it, for the spec.")]
Yes = Annotated[bool, typer.Option("--yes", "-y", help="What looks like a slip is meant.")]
Write = Annotated[bool, typer.Option("--write", "-w", help="Change the drink in its file: shown first, then asked.")]
AsName = Annotated[
    str | None, typer.Option("--as", metavar="NAME", help="Keep it as a new drink of this name; the old one stays.")
]
Sure = Annotated[bool, typer.Option("--yes", "-y", help="Write it without asking.")]
ByWhom = Annotated[str | None, typer.Option("--by", metavar="WHO", help="Who changes it, to be written in the file.")]
PageFile = Annotated[
    Path | None, typer.Option("--out", "-o", metavar="F", help="The file to print into: .pdf, .png or .svg.")
]
UnitsText = Annotated[
    str | None, typer.Option("--units", metavar="UNITS", help="ml, oz or both; the house's if left out.")
]
Dpi = Annotated[
    str | None,
    typer.Option("--dpi", metavar="N", help="Dots per inch of a .png, 72 to 1200, as the printer has; else 150."),
]
LABEL_SIZE = "62"
SizeText = Annotated[
    str,
    typer.Option(
        "--size",
        metavar="SIZE",
        help="A roll: 62, 58, 80 or 102 (mm); 2x1 (in); a sheet: 70x37, a4-21, -14, -8, letter-30, -10, -6.",
    ),
]
Copies = Annotated[int, typer.Option("--copies", metavar="N", help="How many of each.")]
Skip = Annotated[int, typer.Option("--skip", metavar="N", help="Places of a started sheet to leave empty.")]
TestSheet = Annotated[
    Path | None,
    typer.Option("--test-sheet", metavar="F", help="Print a sheet to taste it by: a .pdf, .png or .svg."),
]
SheetOn = Annotated[str | None, typer.Option("--on", metavar="PAPER", help="Its paper: a4, or letter.")]
