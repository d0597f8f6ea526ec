"""The days of the invented week: who typed what, in order."""

from __future__ import annotations

from typing import Final

from tests.week.script import Day, Line

BROKEN_DRINK: Final = """\
drink: Slipway Sour
family: sour
method: shaken
pours:
  - 60 gold rum
  - 22.5 ml lime juice
  - 22.5 ml rasberry syrup
glass: coupe
"""
MENDED_DRINK: Final = """\
drink: Slipway Sour
family: sour
method: shaken
time: 12 s
pours:
  - 60 ml gold rum
  - 22.5 ml lime juice
  - 22.5 ml raspberry syrup
strain: double
glass: coupe
garnish: lime wheel
version: 4
date: 2026-11-21
by: Ilse
"""
OLD_SHEET: Final = """\
Drink,Ingredient,Amount,Method,Glass
Rusty Davit,rye whiskey,45 ml,stir,rocks
,sweet vermouth,15 ml,,
,demerara syrup,1 barspoon,,
Gull's Breakfast,gin,50 ml,shake & strain,coupe
,lemon juice,22.5 ml,,
,honey syrup,20 ml,,
"""

MONDAY_16 = Day(
    "2026-11-16",
    "Monday",
    "The log is new. Runa preps raspberry syrup; Ansgar works the bar.",
    (
        Line("14:00", ""),
        Line("14:01", "check", ("20 drinks", "12 syrups")),
        Line("14:05", "make raspberry --mass 1.4kg"),
        Line(
            "15:10", "batch add raspberry --mass 1.4kg --by Runa", ("RAS-1", "22 Nov")
        ),  # seven days, the 16th is day 1
        Line("15:12", "measure 0.2 0.2 0.3"),
        Line("15:15", "measure 54 53.5 54 RAS-1 --zero 0.2 --log --by Runa"),
        Line("15:17", "correct --batch RAS-1"),
        Line("15:40", "batch correct RAS-1 --brix 50.4 --by Runa"),
        Line("15:45", "measure 50.5 51 50.5 RAS-1 --zero 0.2 --log --by Runa"),
        Line("16:00", "batch add simple --brix 5.1 --mass 3kg --by Runa", code=1),  # a slip of the decimal point
        Line("16:01", "batch add simple --brix 51 --mass 3kg --by Runa", ("SIM-1", "29 Nov")),  # fourteen days
        Line("17:00", "batch open RAS-1 --by Ansgar"),
        Line("17:01", "batch open SIM-1 --by Ansgar"),
        Line("17:30", "tonight"),
        Line("23:50", "totals slipway"),
    ),
)

TUESDAY_17 = Day(
    "2026-11-17",
    "Tuesday",
    "Ginger comes out weak. Ansgar wants pours, not prep.",
    (
        Line("15:00", "measure 46,5 ginger"),
        Line("15:02", "batch add ginger 46.1 --mass 900g --cause watered --open --by Ansgar", ("GIN-1",)),
        Line("15:03", "rescale --syrup ginger --brix 46.1"),
        # ICUMSA densities 1.2090 and 1.2296 g/ml: 22.5 × 50 × 1.2296 / (46.1 × 1.2090) = 24.8
        Line("15:04", "pour 22.5ml --standard 50 --brix 46.1", ("pour 25 ml",)),
        Line("15:05", "pour 22.5 --standard 50 --brix 46.1", code=2),
        Line("17:20", "tonight"),
        Line("17:25", "strips --out strips.pdf"),
        Line("17:26", "labels --out labels.pdf"),
    ),
)

WEDNESDAY_18 = Day(
    "2026-11-18",
    "Wednesday",
    "Sharp limes; a wrong entry, taken back.",
    (
        Line("16:40", "batch add lime-juice --acid 52 --by Ansgar", code=2),
        Line("16:41", "batch add lime-juice --acid 52g/l --by Ansgar", ("LIM-1",)),
        Line("16:42", "batch open LIM-1"),
        Line("16:50", "tonight"),
        Line("17:00", "measure 40 SIM-1 --log --by Ansgar --yes"),
        Line("17:01", "batch show SIM-1"),
        Line("17:02", "batch undo SIM-1 --by Ansgar"),
        Line("17:03", "batch show SIM-1"),
        Line("17:04", "tonight"),
        Line("17:10", "rescale --syrup simple --brix 54 --alone"),
        Line("17:20", "make lime-cordial --mass 1kg"),
    ),
)

THURSDAY_19 = Day(
    "2026-11-19",
    "Thursday",
    "A quiet day. Ilse works on the menu, Runa on almond syrup.",
    (
        Line("11:00", "totals salt"),
        Line("11:05", 'swap "slipway sour" --out raspberry --in "passion fruit syrup"'),
        Line("11:10", 'fits "slipway sour"'),
        Line("11:15", "aim strawberry --for raspberry"),
        Line("11:20", "compare simple honey agave-syrup"),
        Line("11:30", "set coal-barge rich 7.5ml --yes"),
        Line("11:31", "totals coal"),
        Line("11:40", "cards --changed --out changed.pdf"),
        Line("14:40", "batch add almond 50.6 --mass 1150g --made today --by Runa", ("ALM-1", "23 Nov")),  # five days
        Line("14:45", "batch open ALM-1"),
        Line("15:00", "sheet prep --out prep.pdf"),
    ),
)

FRIDAY_20 = Day(
    "2026-11-20",
    "Friday",
    "The busy night: two syrups off at once, and a second bottle.",
    (
        Line("15:00", "batch add strawberry 54.6 --mass 1.3kg --cause sugar --open --by Runa", ("STR-1",)),
        Line("15:10", "batch add raspberry 54 --mass 1.4kg --by Runa", ("RAS-2", "26 Nov")),
        Line("18:00", "tonight --all"),
        Line("19:20", "batch open RAS-2 --replaces RAS-1 --by Ansgar"),
        Line("19:21", "tonight"),
        Line("19:30", "batch list"),
        Line("21:00", "measure 75 RAS-2"),
        Line("21:01", "measure 1.43 RAS-2", code=2),
        Line("21:02", "measure 54 RAS-2 --temperature 28", code=2),
        Line("21:03", "measure 54 RAS-2 --temperature 28C"),
        Line("23:30", "correct --batch STR-1"),
        Line("23:31", "correct --batch STR-1 --steps"),
    ),
)

SATURDAY_21 = Day(
    "2026-11-21",
    "Saturday",
    "Ilse saves a spec with slips in it while the bar is open. Ansgar bottles a drink.",
    (
        Line("17:00", "tonight", code=1, file=("drinks/slipway-sour.yaml", BROKEN_DRINK)),
        Line("17:01", "check", code=1),
        Line("17:02", "check", file=("drinks/slipway-sour.yaml", MENDED_DRINK)),
        Line("17:05", "tonight"),
        Line("17:20", "bottle last-lamp --serves 12"),
        Line("17:25", "bottle cormorants --volume 750ml"),
        Line("17:30", "rescale --syrup honey --brix 48"),
        Line("17:40", "batch add honey 48 --mass 1.2kg --open --by Runa"),
        Line("17:41", "tonight --date tomorrow"),
        Line("17:42", "tonight --date 22/11", code=2),
    ),
)

SUNDAY_22 = Day(
    "2026-11-22",
    "Sunday",
    "Prep for the week: what to correct, what to discard.",
    (
        Line("13:00", "batch list"),
        Line("13:05", "standardise"),
        Line("13:10", "batch correct STR-1 --brix 50.2 --by Runa"),
        Line("13:15", "batch discard LIM-1 --by Runa"),
        Line("13:16", "batch discard LIM-1 --by Runa", code=1),
        Line("13:20", "batch combine RAS-2 STR-1", code=1),
        Line("18:00", "tonight"),
    ),
)

MONDAY_23 = Day(
    "2026-11-23",
    "Monday",
    "The manager looks back and prints; ALM-1 has its last day.",
    (
        Line("10:00", "chart raspberry"),
        Line("10:05", "export batches --out batches.csv"),
        Line("10:06", "export totals --out totals.csv"),
        Line("10:10", "import old.csv", file=("../old.csv", OLD_SHEET)),
        Line("10:12", "import old.csv --write"),
        Line("10:13", "totals rusty"),
        Line("10:20", "cards --on a4 --out cards.pdf"),
        Line("10:25", "sheet allergens --out allergens.pdf"),
        Line("17:00", "tonight"),
        Line("17:05", "tonight --date tuesday"),
        Line("17:06", "tonight --json"),
    ),
)

WEEK: Final = (MONDAY_16, TUESDAY_17, WEDNESDAY_18, THURSDAY_19, FRIDAY_20, SATURDAY_21, SUNDAY_22, MONDAY_23)
