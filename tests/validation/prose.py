"""What docs/validation.md says around its tables."""

from __future__ import annotations

from typing import Final

HEAD: Final = """\
# Validation: how far the numbers were checked

{answer}

Below: [outside values](#outside-values) by task, [every ±](#every--by-simulation) by simulation, [every
search](#every-search-by-brute-force) by brute force, [second opinions](#second-opinions) by libraries, and [what is
not validated](#what-is-not-validated). Each row names its file, and each part its command; they want `pip install -e
'.[dev]'`. A formula's own range and accuracy are in [formulas](reference/formulas.md), the works behind the keys in
square brackets in [sources](reference/sources.md), what a ± means in [explanation](explanation.md#what-the--means).
"""

ANSWER: Final = """\
- {compared:,} comparisons with outside values from {sources} sources of tables and from the examples, laws and
  records named below: {prints:,} prints, {again} of them met from another side as well, and {by_hand} figures worked
  by hand; {recalled} are from memory. Of {claims} stated accuracies {kept} hold as they
  stand, and {rounded} to half of their last digit.
- Largest deviations: a strength from its refractive index {strength} °Bx [ICUMSA1974]; the density of a syrup
  {density} kg/m³ to 70 °Bx, {density_at_84} at 84 [CRC]; ABV from mass {abv} % vol [USP]; the volume of sugar water
  {sucrose} % with sucrose, {glucose} % with glucose.
- Every ±: of {kinds} kinds of reading and result {short} hold less often than is claimed, the worst {least:.0f}
  times in 100 ([which](#less-often-than-claimed)).
- Every search: {problems:,} problems by brute force, {gap}; the first addition of a correction, which has one, is
  told apart below and not counted here.
- Nothing was found to compare with for sugar and alcohol together, cold ice and blended drinks ([what
  else](#what-is-not-validated)).
"""

SHORT_HEAD: Final = """\
### Less often than claimed

In bold above: what is short of its claim by more than the draws are unsure.
"""

SHORT: Final = """\
- **Few readings of samples that differ.** Two or three readings know their own spread badly: where samples lie 1 °Bx
  apart, the ± of two readings holds {two_apart:.0f} times in 100 ({two_apart_fine:.0f} with a fine instrument), of
  three {three_apart:.0f}, of five {five_apart:.0f}. Stir and read once, or read five times. `measure` warns where
  readings lie more than two divisions apart.
- **Charts of few batches.** Where nothing changed, the next batch lies within the limits of 8 batches
  {limits_few:.1f} times in 100, of 20 batches {limits:.1f}, instead of 99.7; within the spread of 8 batches
  {spread_few:.0f}, of 20 batches {spread:.0f}, instead of 95.
- **A shaken drink by the relation** {relation:.1f} times in 100 in the kitchen drawn here, a judgement of ours like
  the ± itself; other rooms and cold pours are below.
"""

OUTSIDE: Final = """\
## Outside values

Deviation is ours minus the print, the largest with its place; typical is the median of its size, in the same unit.
*To the digit* counts values that agree to half of the last printed digit; no figure there where the print is what
goes in. *Seen* says whether the print, or a transcription of it, was read (yes) or the values are from memory (no).
The largest deviations allowed, and values that are shown and not asserted, are in
[formulas](reference/formulas.md#deviations-from-published-values). Of the worked examples the largest are coarse
prints: WE-17 to WE-20 have strengths rounded to 10 °Bx and measure in cups, WE-40 is a rule of thumb, WE-59 names no
sugar.

```text
.venv/bin/python -m pytest tests/properties/test_check_values.py tests/engine/test_worked_examples.py
```
"""

OWN: Final = """\
### Tasks without outside values

Nobody publishes worked swaps, adjusted drinks or fits. `swap`, `fits`, `adjust`, `aim`, `rescale` and `standardise`
stand on the grams above, on sums by hand in their tests (Cramer's rule for sugar and acid, mass balances) and on the
brute force below. Sweetness is given as the range of published values, never as one
(`tests/reference/facts/relative_sweetness.csv`); what tasters notice is quoted (`difference_thresholds.csv`).
"""

CLAIMED: Final = """\
### Accuracy as it is stated

What the docstrings of the formulas claim, against the same prints. *Rounded*: the largest deviation is above
the figure, by less than half of its last digit. A test fails where it is more.
"""

DRAWN: Final = """\
## Every ±, by simulation

{draws:,} draws each, seed {seed}: a truth is drawn, then what a person would have seen of it, then the tool is asked.
*Within* is how often its answer was as near to the truth as its ± says; *ratio* is the standard deviation of the
error over the standard uncertainty (half of the ±). 95 % is claimed of a strength, because its ± is two standard
uncertainties; the ± of dilution is judged, to hold for nearly all drinks. An instrument is off all day by one amount,
anywhere within what its maker states. Code: `tests/validation/draws_reading.py`, `draws_after.py`; data:
`tests/validation/figures/draws.csv`.

```text
.venv/bin/python -m tests.validation --measure draws
```
"""

LEFT_OUT: Final = """\
### What a ± leaves out

The same where something happens that the ± does not count on. These are no faults of arithmetic; they are what an
answer does not know.
"""

SEARCHED: Final = """\
## Every search, by brute force

Made-up problems, seed {seed}; those with too many combinations to try are passed over and counted. A gap is how much
more the tool's answer costs than the best that was tried. A sum of 1 is one quantity off by its whole weight, like
sugar by 5 %. Code: `tests/validation/searches.py`, `trials.py`, where the physics of a trial is worked out apart from
the tool's; data: `tests/validation/figures/searches.csv`.

```text
.venv/bin/python -m tests.validation --measure searches
```
"""

SEARCH_NOTE: Final = """\
Given the exact amounts, the pours are proven best where volume and ABV are not asked. The exact amounts themselves
are found by damped least squares, not by trying: whether all that is asked can be had or not, a library finds nothing
nearer ([second opinions](#second-opinions)). A swap calls a quantity held within 0.000001 %, an adjusted drink what
is asked reached within 1 %. Pours over 200 ml were not tried.
"""

OPINED: Final = """\
## Second opinions

General-purpose libraries asked the same question: `tests/validation/libraries.py`,
`tests/properties/test_library_agreement.py`.

```text
.venv/bin/python -m tests.validation --measure libraries
```
"""

NOT: Final = """\
## What is not validated

- **Density and freezing point with alcohol and sugar together.** No published table of sugar, ethanol and water was
  found. Each pair agrees with its prints above; what the two do to each other is judged
  ([M1](reference/formulas.md#mixture): 0.02 to 0.5 % of volume; 0.4 K). One rule of thumb of law, [CFR], is all that
  touches it.
- **Dilution** rests on one author's relation, read in quotations of the book and compared with two ends of two
  printed ranges; the vessel constant of the balance was fitted to that same relation, so their agreement proves
  little. Three drinks that others measured are in [dilution](reference/dilution.md#measured-drinks), one of them
  contradicting itself.
- **Ice below 0 °C**: no weighed drink with cold ice was found. −18 °C takes off 12 to 24 points by our balance alone.
- **Cold pours**: juices and syrup from the fridge take off about 9 points by the same balance, and no ± says so
  unless `chill: {start: …}` is written.
- **Blended, swizzled, thrown and crushed-ice drinks**: no relation, no measurement. What is poured as ice all melts.
- **Acid in a strong syrup.** The convention and the mixing of refractive indices differ by 0.14 °Bx per %; no
  measured index of citric acid in strong syrup was found. All acid counts as citric; lactic acid takes 0.19 ml/g more
  ([formulas](reference/formulas.md#deviations-from-published-values)).
- **Glucose (corn) syrup reads too strong**: 4 % of its strength, 2.8 °Bx at 66, by [ISO-1743] for one kind of it.
  Nothing corrects for that, and `sugars: {glucose: …}` adds to it, because pure glucose reads low.
- **Honey and agave** beyond their refractive index: their densities count as sucrose, 0.6 % of volume too little at
  60 °Bx of glucose.
- **Temperature correction above 22 °C**: from memory to 30 °C, by the model alone beyond. Nothing says how well an
  instrument's own compensation works.
- **Pulp, cloud and unstirred tubs.** A refractometer reads what reaches its prism.
- **Answers without a ±**: totals, ABV and energy, `make`, `bottle`, `swap`, `adjust` and the vessel constant of
  `calibrate` carry the errors of what goes in and print none.
- **Jiggers and hands.** No ± counts them; the table above shows what 1 and 2.5 ml do to a sour.
- **Sweetness, and what a guest notices**: published values differ by up to half, and are quoted, not tested.
- **Figures of ingredients** vary from fruit to fruit and maker to maker: the pantry's are compared with their
  records, and a bottle in your hand may differ.
- **Safety**: water activity is compared with remembered osmotic coefficients and says nothing about what grows.
- **What was read only in transcriptions** is all marked so in [sources](reference/sources.md); no printed book was
  held.
"""

NOTICE: Final = "<!-- Written by `python -m tests.validation --write`. -->"
