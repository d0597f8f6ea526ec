"""Typing mistakes, what is said about each, and the line or file that follows what was said.

    python -m tests.cli.mistakes && git diff tests/cli/mistakes.txt

The text is our own output, kept to be read line by line as the person who made the mistake: does it say what is wrong
with the value, and what to do? That the remedy works is tested beside it.
"""

from __future__ import annotations

import contextlib
import shlex
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from tests.cli.runner import Run, copy_of_house, run

PAGE: Final = Path(__file__).parent / "mistakes.txt"
NOW: Final = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
"""A Wednesday."""

_LOG: Final = """\
- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 54, "mass": 1400, "made": "2026-11-24", \
"discard": "2026-12-01", "at": "2026-11-24T10:00:00+00:00"}
- {"batch": "BER-1", "event": "open", "at": "2026-11-24T16:00:00+00:00"}
- {"batch": "BER-2", "syrup": "berry-syrup", "event": "made", "brix": 53, "mass": 900, "made": "2026-11-25", \
"discard": "2026-12-02", "at": "2026-11-25T10:00:00+00:00"}
"""
_MINT: Final = """\
syrup: mint syrup
standard: 50 °Bx
recipe: [1000 g white sugar, 1000 g water]
allergens: []
"""
_MENU: Final = "drink,ingredient,amount,method\nEbb,gold rum,60 ml,shaken\nEbb,lime juice,20 ml,shaken\n"
_UNPRINTABLE: Final = "燈台守の夏の夕暮れのサワー"
USUAL: Final = {"batches.yaml": _LOG, "syrups/mint.yaml": _MINT, "menu.csv": _MENU}
"""What the folder holds beside the tests' house; menu.csv stands above it."""


@dataclass(frozen=True)
class Mistake:
    """One slip of a person.

    name    what slipped
    wrong   the command line as typed
    right   the line that follows the remedy; "" where the file is mended instead
    says    what must be said: the value that is wrong, and the remedy
    files   files added, by their path in the folder
    mended  the same files after the remedy, where the file was wrong
    """

    name: str
    wrong: str
    right: str
    says: tuple[str, ...]
    files: Mapping[str, str] = field(default_factory=dict)
    mended: Mapping[str, str] = field(default_factory=dict)

    def typed(self) -> Run:
        """What is printed about the mistake."""
        return _run(self.wrong, self.files)

    def followed(self) -> Run:
        """What is printed once the remedy is followed."""
        return _run(self.right or self.wrong, {**self.files, **self.mended})

    def text(self, done: Run) -> str:
        """The mistake as it stands in the record, with what was printed about it."""
        lines = [f"# {self.name}", f"$ balancer {self.wrong}", done.out.rstrip("\n"), done.err.rstrip("\n")]
        lines.append(f"exit code {done.code}")
        lines += [f"mended: balancer {self.right}"] if self.right else []
        lines += [f"mended: {line}" for line in self.new_lines()]
        return "\n".join(line for line in lines if line)

    def new_lines(self) -> list[str]:
        """The lines of the mended files that the wrong ones do not have."""
        before = {line for text in self.files.values() for line in text.splitlines()}
        return [line.strip() for text in self.mended.values() for line in text.splitlines() if line not in before]


def _run(line: str, files: Mapping[str, str]) -> Run:
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        specs = copy_of_house(Path())
        drinks = specs / "drinks" / "sours.yaml"
        drinks.write_text(drinks.read_text(encoding="utf-8").replace(_UNPRINTABLE, "Lamp Room"), encoding="utf-8")
        for name, text in {**USUAL, **files}.items():
            path = Path(name) if name.endswith(".csv") else specs / name
            path.write_text(text, encoding="utf-8")
        return run(*shlex.split(line), specs=None, env={**NOW, "XDG_STATE_HOME": folder})


def _typed(name: str, wrong: str, right: str, *says: str) -> Mistake:
    return Mistake(name, wrong, right, says)


def _pour(name: str, wrong: str, right: str, *says: str) -> Mistake:
    """A mistake in a pour of a drink."""
    whole = "drink: New Drink\nmethod: shaken\npours:\n  - 45 ml gold rum\n  - {}\n"
    path = "drinks/new.yaml"
    return Mistake(name, "check", "", says, {path: whole.format(wrong)}, {path: whole.format(right)})


def _file(name: str, path: str, whole: str, wrong: str, right: str, *says: str) -> Mistake:
    """A mistake in a file; {} in its text is what is wrong."""
    return Mistake(name, "check", "", says, {path: whole.format(wrong)}, {path: whole.format(right)})


_JUICE: Final = "ingredient: apple juice\nkind: juice\nsugar: 96 g/kg\nacid: {}\nallergens: []\n"
_SYRUP: Final = "syrup: vanilla syrup\nstandard: {}\nallergens: []\n"
_RECIPE: Final = "syrup: vanilla syrup\nstandard: 50 °Bx\nrecipe: [{}, 1000 g water]\nallergens: []\n"
_DRINK: Final = "drink: New Drink\nmethod: shaken\npours: [45 ml gold rum]\n{}\n"
_HOUSE: Final = "format: 1\nhouse: The Test Quay\nounce: 30 ml\nglasses: {nick and nora: 150 ml, coupe: 180 ml}\n"

MISTAKES: Final = (
    # pour
    _typed("an amount without its unit", "pour 22.5 --standard 50 --brix 54", "pour 22.5ml --standard 50 --brix 54",
           '"22.5" has no unit', "22.5 ml or 22.5 oz?"),
    _typed("a lost decimal point", "pour 22.5ml --standard 50 --brix 540", "pour 22.5ml --standard 50 --brix 54",
           '"540"', "is it 54?"),
    _typed("a ratio for a strength", "pour 22.5ml --standard 2:1 --brix 64", "pour 22.5ml --standard 66.7 --brix 64",
           '"2:1"', "66.7 °Bx"),
    _typed("a comma that may part thousands", "pour 22,500ml --standard 50 --brix 54",
           "pour 22.5ml --standard 50 --brix 54", '"22,500"', "22.5"),
    _typed("a step of the jigger without its unit", "pour 22.5ml --standard 50 --brix 54 --step 5",
           "pour 22.5ml --standard 50 --brix 54 --step 5ml", '"5"', "--step 5ml"),
    # rescale
    _typed("a misspelt syrup", "rescale --syrup bery --brix 54", "rescale --syrup berry-syrup --brix 54",
           '"bery"', '"berry syrup"'),
    _typed("a strength ten times too small", "rescale --syrup berry --brix 5.4", "rescale --syrup berry --brix 54",
           "5.4 °Bx", "decimal point"),
    _typed("a cause that is none", "rescale --syrup berry --brix 54 --cause hot",
           "rescale --syrup berry --brix 54 --cause boiled", '"hot"', "boiled"),
    _typed("percent for °Bx", "rescale --syrup berry --brix 54%", "rescale --syrup berry --brix 54", '"54%"', "54 °Bx"),
    # tonight
    _typed("a misspelt command", "tonite", "tonight", '"tonite"', "balancer tonight"),
    _typed("a day and a month in figures", "tonight --date 21/11", "tonight --date '21 Nov'", '"21/11"', '"21 Nov"'),
    _typed("a day and a month that may be the other way round", "tonight --date 5/11", "tonight --date '5 Nov'",
           "5 Nov or 11 May", '"5 Nov"'),
    _typed("next friday: this week's or the one after", "tonight --date 'next friday'", "tonight --date 2026-11-27",
           '"next friday"', "2026-11-27"),
    _typed("a year of two digits", "tonight --date 25.11.26", "tonight --date 25.11.2026", '"25.11.26"', "four digits"),
    # totals
    _typed("a misspelt drink", "totals anchr", "totals anchor-sour", '"anchr"', '"Anchor Sour"'),
    _typed("an order that is none", "totals --sort sweetness", "totals --sort sugar", '"sweetness"', "sugar"),
    _typed("a drink to set beside none", "totals --against foam", "totals anchor --against foam",
           "nothing says which drink", "totals DRINK --against"),
    # measure
    _typed("a refractive index for a reading", "measure 1.333", "measure 1.333SG --temperature 20C",
           '"1.333"', "1.333SG"),
    _typed("a reading with its point in the wrong place", "measure 0.54 plain", "measure 54 plain", "0.54 °Bx", "(54)"),
    _typed("a temperature without its unit", "measure 50 --no-atc --temperature 75",
           "measure 50 --no-atc --temperature 75F", '"75"', "75 °C or 75 °F?"),
    _typed("a dilution without units", "measure 30 --dilute 100+100", "measure 30 --dilute 100g+100g",
           '"100"', "100g+100g"),
    _typed("acid in percent", "measure 50 --acid 6%", "measure 50 --acid 60g/kg", '"6%"', "60 g/kg"),
    _typed("a warm sample logged", "measure 54 berry --temperature 41C --log",
           "measure 54 berry --temperature 24C --log", "41 °C", "let it cool"),
    _typed("half of a scale", "measure 54 --scale 55", "measure 54 --scale 0-55", '"55"', "0-55"),
    _typed("nothing but a name", "measure berry", "measure 54 berry", '"berry"', "like 54"),
    # correct
    _typed("a mass without its unit", "correct --syrup berry --brix 54 --mass 2",
           "correct --syrup berry --brix 54 --mass 2kg", '"2" has no unit', "2 kg or 2 g?"),
    _typed("ounces on a scale", "correct --syrup berry --brix 54 --mass 50oz",
           "correct --syrup berry --brix 54 --volume 50oz", '"50oz"', "--volume 50oz"),
    _typed("a tub without its unit", "correct --syrup berry --brix 54 --mass 2kg --container 4",
           "correct --syrup berry --brix 54 --mass 2kg --container 4l", '"4"', "--container 4l"),
    _typed("a misspelt addition", "correct --syrup berry --brix 46 --with suger",
           "correct --syrup berry --brix 46 --with sugar", '"suger"', '"sugar"'),
    # make
    _typed("pounds", "make mint --mass 4lb", "make mint --mass '1814 g'", '"4lb"', "1814 g"),
    _typed("how much, but not of what", "make mint --have 500", "make mint --have '500 g white sugar'", '"500"',
           "500 g raspberries"),
    _typed("a ratio for a strength to make", "make mint --strength 1,5:1",
           "make mint --strength 60", '"1,5:1"', "60 °Bx"),
    # bottle
    _typed("a number in words", "bottle anchor --serves twelve", "bottle anchor --serves 12", '"twelve"', "like 12"),
    _typed("a bottle without its unit", "bottle anchor --volume 1", "bottle anchor --volume 1l", '"1"', "--volume 1l"),
    # batch
    _typed("a batch that weighs two", "batch add berry --brix 54 --mass 2", "batch add berry --brix 54 --mass 2kg",
           '"2" has no unit', "2 kg or 2 g?"),
    _typed("made in the future", "batch add berry --brix 54 --made '30 Nov'",
           "batch add berry --brix 54 --made '24 Nov'", "2026-11-30", "the day it was made"),
    _typed("a weekday that the date is not", "batch add berry --brix 54 --made 'Fri 21 Nov'",
           "batch add berry --brix 54 --made '21 Nov 2026'", "Saturday", '"21 Nov 2026"'),
    _typed("a misspelt batch", "batch open BRE-2", "batch open BER-2", '"BRE-2"', "BER-2"),
    _typed("a batch that is not there", "batch empty BER-9", "batch empty BER-1", '"BER-9"', "BER-1"),
    _typed("a misspelt verb", "batch dicard BER-2", "batch discard BER-2", '"dicard"', "balancer batch discard"),
    _typed("a weighed batch without its unit", "batch correct BER-1 --mass 1.4", "batch correct BER-1 --mass 1.4kg",
           '"1.4"', "--mass 1.4kg"),
    _typed("a reading without a number", "batch reading BER-1",
           "batch reading BER-1 --brix 53", "no reading", "--brix"),
    _typed("a batch poured into itself", "batch combine BER-1 BER-1", "batch combine BER-1 BER-2", "BER-1", "two"),
    _typed("a batch to undo that is not there", "batch undo BRE-1", "batch undo BER-1", '"BRE-1"', "BER-1"),
    _typed("a batch to show that is not there", "batch show BRE-1", "batch show BER-1", '"BRE-1"', "BER-1"),
    _typed("an option that is none", "batch list --al", "batch list --all", "--al", "--all"),
    _typed("how much, without its option", "make berry 2l", "make mint --volume 2l",
           '"2l" is too much for balancer make', "type it like: balancer make simple --volume 2l"),
    _typed("a pour and no strengths", "pour 22.5", "pour 22.5ml --standard 50 --brix 54",
           "balancer pour needs --standard BRIX", "type it like: balancer pour 22.5ml --standard 50 --brix 54"),
    _typed("sweeteners without their options", "swap anchor berry honey", "swap anchor --out berry --in honey",
           "balancer swap needs --out NAME", "type it like: balancer swap slipway --out raspberry --in honey"),
    _typed("a syrup without its option", "rescale berry", "rescale --syrup berry --brix 54",
           "balancer rescale needs --syrup NAME", "type it like: balancer rescale slipway --syrup raspberry --brix 54"),
    _typed("no drink", "calibrate", "calibrate foam",
           "balancer calibrate needs DRINK", "type it like: balancer calibrate"),
    _typed("an option without its value", "pour 22.5ml --standard 50 --brix", "pour 22.5ml --standard 50 --brix 54",
           "--brix needs a value", "--brix 54"),
    _typed("help of nothing", "help mesure", "help measure", 'no command "mesure"', "balancer measure"),
    # swap, fits, aim, compare, set
    _typed("a misspelt sweetener", "swap anchor --out berry --in hony", "swap anchor --out berry --in honey",
           '"hony"', '"honey"'),
    _typed("something that cannot be held", "swap anchor --out berry --in plain --hold sweet",
           "swap anchor --out berry --in plain --hold sweetness", '"sweet"', "sweetness"),
    _typed("a change without its sign", "adjust anchor --sugar 10%", "adjust anchor --sugar -10%",
           '"10%": more or less?', "--sugar -10%"),
    _typed("no drink and not all", "fits", "fits anchor", "name a drink"),
    _typed("one syrup in place of itself", "aim plain --for plain",
           "aim plain --for berry", "the same", "two sweeteners"),
    _typed("a sweetener that is none", "compare hony", "compare honey", '"hony"', '"honey"'),
    _typed("an amount to set without its unit", "set anchor lime 20 --yes",
           "set anchor lime 20ml --yes", '"20"', "20 ml"),
    _typed("an amount to set ten times too large", "set anchor lime 225ml", "set anchor lime 22.5ml", "225 ml",
           "decimal point"),
    # printing and files
    _typed("an option where none is", "standardise --brix 50", "standardise", "--brix",
           "type it like: balancer standardise"),
    _typed("a chart of nothing", "chart bery", "chart berry-syrup", '"bery"', '"berry syrup"'),
    _typed("a spread of a syrup that no drink asked about pours", "simulate anchor --sd mint=2 --draws 100",
           "simulate anchor --sd 2 --draws 100", "mint syrup", "leave it out"),
    _typed("a drink that was not weighed", "calibrate anchor", "calibrate foam", "Anchor Sour", "weigh"),
    _typed("cards as a document", "cards --out cards.doc", "cards --out cards.pdf", '"cards.doc"', ".pdf"),
    _typed("a paper that is none", "sheet rail --out rail.pdf --on a5",
           "sheet rail --out rail.pdf --on a4", '"a5"', "a4"),
    _typed("a list for a day in figures", "sheet prep --out prep.pdf --date 26/11",
           "sheet prep --out prep.pdf --date '26 Nov'", '"26/11"', '"26 Nov"'),
    _typed("a sheet without a file", "sheet allergens", "sheet allergens --out allergens.pdf", "--out"),
    _typed("strips as text", "strips --out strips.txt", "strips --out strips.pdf", '"strips.txt"', ".pdf"),
    _typed("no copies", "labels --out labels.pdf --copies 0", "labels --out labels.pdf --copies 1", "0", "from 1"),
    _typed("a table that is none", "export drink --out menu.csv", "export drinks --out menu.csv", '"drink"', "drinks"),
    _typed("a misspelt file", "import menu.cvs", "import menu.csv", '"menu.cvs"', "check its name"),
    _typed("a key that nobody needs", "page --key", "page --host 0.0.0.0 --key", "only this machine reaches the page",
           "--host 0.0.0.0"),
    _typed("a folder that is there", "start specs", "start bar", '"specs"', "does not exist yet"),
    _typed("a misspelt folder", "check --specs spec", "check --specs specs", '"spec"', "--specs DIR"),
    # files
    _file("acid in percent in a file", "ingredients/new.yaml", _JUICE, "6 %", "60 g/kg", '"6 %"', "60 g/kg"),
    _file("a bare number in a file", "ingredients/new.yaml", _JUICE, "6", "6 g/l", '"6" has no unit', "6 g/l"),
    _file("a ratio for a standard", "syrups/new.yaml", _SYRUP, "2:1", "66.7 °Bx", '"2:1"', "66.7 °Bx"),
    _file("a misspelt key", "drinks/new.yaml", _DRINK, "garnsh: lime", "garnish: lime", '"garnsh"', '"garnish"'),
    _file("a date without its year", "drinks/new.yaml", _DRINK, "date: 21 Nov", "date: 21 Nov 2026", '"21 Nov"',
          "21 Nov 2026"),
    _file("a misspelt part of a recipe", "syrups/new.yaml", _RECIPE, "1000 g white suger", "1000 g white sugar",
          '"white suger"', '"white sugar"'),
    _file("a recipe by the ton", "syrups/new.yaml", _RECIPE, "1000 kg white sugar", "1000 g white sugar",
          "1000 kg white sugar", "is its unit right?"),
    _file("a recipe for something else", "syrups/new.yaml", _RECIPE, "100 g white sugar", "1000 g white sugar",
          "9.1 °Bx", "its standard is 50"),
    _typed("a topic of no title", "safety lactic", "safety acids", '"lactic"', "Strong acids"),
    Mistake("a misspelt glass", "check", "", ('"Nick & Nore"', '"nick and nora"'),
            {"house.yaml": _HOUSE, "drinks/new.yaml": _DRINK.format("glass: Nick & Nore")},
            {"drinks/new.yaml": _DRINK.format("glass: Nick & Nora")}),
    _typed("a misspelt title", "safety acidd", "safety acids", '"acidd"', "Strong acids"),
    _pour("a pour without its unit", "60 gin", "60 ml dry gin", '"60 gin" has no unit', "60 ml dry gin"),
    _pour("a lost decimal point in a pour", "225 ml lime juice", "22.5 ml lime juice", "225 ml of lime juice",
          "decimal point"),
    _pour("a misspelt syrup in a pour", "20 ml bery syrup", "20 ml berry syrup", '"bery syrup"', '"berry syrup"'),
    _pour("what tops the drink", "top soda water", "{pour: 60 ml, of: soda water, top: true}", '"top soda water"',
          "{pour: 60 ml, of: soda water, top: true}"),
    _pour("two pours on one line", "22.5 ml lime juice, 20 ml berry syrup", "22.5 ml lime juice\n  - 20 ml berry syrup",
          "is 2 pours", "- 20 ml berry syrup"),
    _pour("a fruit", "1 lime", "22.5 ml lime juice", '"1 lime"', "22.5 ml lime juice"),
    _pour("the juice of a fruit", "juice of half a lime", "22.5 ml lime juice", '"juice of half a lime"',
          "22.5 ml lime juice"),
    _pour("a splash", "splash of soda", "10 ml soda water", "splash", "10 ml soda water"),
    _pour("two or three dashes", "2-3 dashes aromatic bitters", "2 dashes aromatic bitters", '"2-3 dashes', "2 dashes"),
    _pour("about so much", "about 20 ml lime juice", "20 ml lime juice", '"about 20 ml', "write 20 ml lime juice"),
    _pour("a number in words in a pour", "two dashes of aromatic bitters", "2 dashes aromatic bitters", '"two dashes',
          "2 dashes aromatic bitters"),
    _pour("the amount behind the name", "lime juice: 20 ml", "20 ml lime juice", "behind the name", "20 ml lime juice"),
)  # fmt: skip


def record() -> str:
    """Every mistake with what is said about it."""
    return "\n\n".join(mistake.text(mistake.typed()) for mistake in MISTAKES) + "\n"


if __name__ == "__main__":
    PAGE.write_text(record(), encoding="utf-8")
