"""Runs of every command with --json, so many that every key shows, by the sections of docs/reference/json.md."""

from __future__ import annotations

import contextlib
import shlex
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from tests.cli.runner import CHECKOUT, run
from tests.docs.pages import NOW

EXTRA: Final = {
    "ingredients/extra": "{ingredient: signal amaro, abv: 28 %}\n",
    "syrups/extra": "{syrup: amaro syrup, standard: 50 °Bx, recipe: [100 g signal amaro, 100 g water]}\n",
    "drinks/extra": "{drink: Signal, method: shaken, pours: [20 ml signal amaro, 20 ml raspberry syrup]}\n",
    "drinks/twin": "{drink: Twin, method: shaken, pours: [50 ml gin, 30 ml raspberry syrup, 7.5 ml pineapple syrup]}\n",
    "drinks/scale": "{drink: Weighed, method: shaken, pours: [50 ml gin, 24 g raspberry syrup]}\n",
    "drinks/dashes": "{drink: Dashes, method: stirred, pours: [50 ml gin, 6 dashes rich syrup]}\n",
    "drinks/freezer": "{drink: Freezer, method: shaken, chill: {ice temperature: -18 °C}, pours: [50 ml gin]}\n",
    "drinks/vial": "{drink: Vial, method: shaken, pours: [50 ml gin, "
    "{pour: 20 ml, of: raspberry syrup, fixed: true}]}\n",
    "drinks/old": """\
- {drink: Old Long, method: shaken, pours: [50 ml gin, 35 ml raspberry syrup], written for: {raspberry syrup: 46 °Bx}}
- {drink: Old Sour, method: shaken, pours: [50 ml gin, 30 ml raspberry syrup], written for: {raspberry syrup: 46 °Bx}}
- drink: Old Vial
  method: shaken
  pours: [50 ml gin, {pour: 20 ml, of: raspberry syrup, fixed: true}]
  written for: {raspberry syrup: 46 °Bx}
- drink: Old Cup
  method: shaken
  pours: [50 ml gin, 30 ml passion fruit syrup]
  written for: {passion fruit syrup: 44 °Bx}
""",
    "../stair/house": "{format: 1, house: The Low Stair, base: ../specs}\n",
    "../stair/drinks/twin": "{drink: Twin, method: shaken, pours: [50 ml gin]}\n",
    "../stair/overrides": '- {"kind": "drinks", "id": "twin", "said": {"drink": "Twin"}, "at": "2026-11-01"}\n',
}
"""What the demo house does not have: something of unknown sugar in a syrup, and beside one; a drink of two syrups that
are off, one that is weighed, and one that no pour is right for; some that are written for other strengths; and a house
on it with its own of one drink."""

ADDED: Final = "".join(
    f'- {{"batch": "RAS-{number}", "syrup": "raspberry-syrup", "event": "made", "brix": 47.5}}\n'
    for number in range(13, 21)
)
"""So many batches that are weaker, that the chart sees the change."""

SHEET: Final = """\
Cocktail,Item,Qty,Method,Glass,Cost
Slack Water,gold rum,50 ml,shaken,Collins,1.2
,pear syrop,20 ml,,,
,Lemon,20 ml,,,
Broken,gold rum,04-Mar,shaken,,
Total,,,,,1.2
"""
"""What somebody keeps in a spreadsheet."""

RUNS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Problems", ("rescale --syrup nonsuch --brix 54",)),
    ("pour", ("pour 22.5ml --standard 50 --brix 54",)),
    ("start", ("start bar", "start bar --pantry juices")),
    ("safety", ("safety",)),
    ("check", ("check", "check stair", "check stair specs", "check stair --agree all")),
    (
        "adjust",
        (
            "adjust slipway --sugar -10%",
            "adjust slipway --sugar -10% --write",
            "adjust port-hand --sugar -30%",
            "adjust chandlers --abv 10%",
            "adjust last-lamp --volume 140ml",
            "adjust last-lamp --volume 140ml --test-sheet test.pdf",
        ),
    ),
    ("totals", ("totals last-lamp", "totals slipway", "totals freezer", "totals winter", "totals old-sour")),
    ("totals without DRINK", ("totals --sort sugar",)),
    ("totals --against", ("totals slipway --against last-lamp", "totals slipway --against winter")),
    ("calibrate", ("calibrate chandlers",)),
    ("rescale", ("rescale --syrup raspberry --brix 54",)),
    (
        "measure",
        (
            "measure 55 --syrup rich",
            "measure 53.2 53.4 --syrup rich --dilute 100g+25g",
            "measure 54 --syrup raspberry",
            "measure 25 --dilute 30ml+30ml",
            "measure 30 --abv 0.5%",
            "measure 1.4201nD",
        ),
    ),
    (
        "correct",
        (
            "correct --syrup raspberry --brix 46",
            "correct --syrup raspberry --brix 53",
            "correct --syrup rich --brix 62 --container 1l",
        ),
    ),
    ("standardise", ("standardise",)),
    ("make", ("make lime-cordial --acid 45g/l", "make raspberry --have '800 g raspberries'", "make amaro")),
    (
        "swap",
        (
            "swap slipway --out raspberry --in honey-syrup",
            "swap slipway --out raspberry --in honey-syrup --write",
            "swap chandlers --out ginger --in lime-cordial --hold sugar,acid",
            "swap last-lamp --out sweet --in rich",
            "swap dashes --out rich --in simple-syrup",
            "swap lock --out honey-syrup --in passion-fruit-syrup --hold sugar,acid,abv",
            "swap pontoon --out raspberry --in pineapple-syrup",
            "swap slipway --out raspberry --in 'orange liqueur' --hold sugar,volume",
            "swap slipway --out raspberry --in honey-syrup --test-sheet test.pdf",
        ),
    ),
    ("swap --all", ("swap --all --out strawberry --in honey",)),
    ("swap without --in", ("swap slipway --out raspberry",)),
    ("compare", ("compare", "compare 'signal amaro'")),
    ("aim", ("aim strawberry --for raspberry", "aim simple --for raspberry")),
    (
        "fits",
        (
            "fits dashes",
            "fits slipway",
        ),
    ),
    ("fits --all", ("fits --all --out strawberry --csv fits.csv", "fits --all --out rich")),
    (
        "bottle",
        (
            "bottle ferrymans --volume 750ml",
            "bottle slipway --serves 6 --out six.pdf",
            "bottle slipway --serves 12 --from RAS-12 --log --out bottle.pdf",
        ),
    ),
    ("batch", ("batch reading RAS-12 --brix 47", "batch add lime --acid 50g/l")),
    ("chart", ("chart raspberry --out raspberry.svg",)),
    ("simulate", ("simulate --draws 200", "simulate --sd 2 --draws 200")),
    ("tonight", ("tonight",)),
    ("page", ("page --host 0.0.0.0 --key",)),
    ("strips", ("strips --out strips.pdf",)),
    ("labels", ("labels --out labels.pdf", "labels --opened 'sweet vermouth' --out opened.pdf")),
    (
        "batch",
        (
            "batch open RAS-13 --replaces RAS-12",
            "batch correct RAS-13",
            "batch empty RAS-13",
            "batch combine GIN-1 GIN-2",
            "batch discard ALM-1",
        ),
    ),
    ("import", ("import sheet.csv",)),
    ("batch undo", ("batch undo", "batch undo --restore", "batch undo SIM-1 2")),
    ("batch show", ("batch show SIM-1", "batch show LIM-2")),
    ("batch list", ("batch list",)),
    ("batch", ("batch add almond 50 --open --replaces STR-1",)),
    ("tonight", ("tonight",)),
    ("bottle", ("bottle port-hand --serves 6",)),
    ("sheet rail", ("sheet rail --out rail.pdf",)),
    ("sheet prep", ("sheet prep --out prep.pdf",)),
    ("sheet allergens", ("sheet allergens --out allergens.pdf",)),
    ("sheet test", ("sheet test winter --against slipway --out test.pdf",)),
    (
        "export",
        (
            "export drinks --out menu.csv",
            "export totals --out totals.csv",
            "export batches --out batches.csv",
            "export log --out logs",
        ),
    ),
    ("cards", ("cards slipway cormorants --on a4 --out cards.pdf",)),
    ("set", ("set slipway raspberry 20ml", "set slipway lime 20ml --yes")),
    ("cards", ("cards --changed --out changed.pdf", "cards --copy-template look")),
    ("cards", ("cards slipway --template look/card.typ --remember --out own.pdf",)),
    ("set standard", ("set raspberry standard 56 --keep-drinks",)),
    ("measure", ("measure 50.2 --zero 0.2 --batch SIM-1 --log",)),
)


def answers() -> Iterator[tuple[str, str, Any]]:
    """Section, command line, and what it prints, one after the other in one copy of the demo house."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        shutil.copytree(CHECKOUT / "specs", "specs")
        Path("stair/drinks").mkdir(parents=True)
        for name, text in EXTRA.items():
            Path(f"specs/{name}.yaml").write_text(text, encoding="utf-8")
        Path("sheet.csv").write_text(SHEET, encoding="utf-8")
        with Path("specs/batches.yaml").open("a", encoding="utf-8") as log:
            log.write(ADDED)
        for section, lines in RUNS:
            for line in lines:
                env = {"BALANCER_NOW": NOW, "XDG_STATE_HOME": folder}
                yield section, line, run(*shlex.split(line), "--json", specs=None, env=env).data


def paths(data: Any, prefix: str = "") -> Iterator[str]:
    """Every key that holds no object: `drinks[].pour.spec_ml`. An empty list or null stands for itself."""
    if isinstance(data, dict) and data:
        for key, value in data.items():
            yield from paths(value, f"{prefix}.{key}" if prefix else key)
    elif isinstance(data, list) and any(isinstance(item, dict) for item in data):
        for item in data:
            yield from paths(item, f"{prefix}[]")
    else:
        yield prefix
