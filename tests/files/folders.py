"""A small sound bar as files, and a way to write it down with changes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from balancer.files.house.load import Loaded, load

SOUND: Final[dict[str, str]] = {
    "house.yaml": """\
format: 1
house: The Test Slip
ounce: 30 ml                 # ours
jigger step: 2.5 ml
tolerance: 5 %
instrument: {scale: 0-55 °Bx, division: 0.5 °Bx, atc: true}
glasses: {coupe: 180 ml, rocks: 300 ml}
day ends: "06:00"
""",
    "ingredients/bar.yaml": """\
- ingredient: gold rum
  kind: spirit
  abv: 40 %
  sugar: 0 g/l
  allergens: []
- ingredient: lime juice
  kind: juice
  also: [juice of limes]
  sugar: 16.9 g/kg
  acid: 46 g/l
  acids: {citric: 90 %, malic: 10 %}
- ingredient: soda water
  kind: mixer
  sugar: 0 g/l
  top: true
- ingredient: granulated sugar
  kind: sugar
  sugar: 998 g/kg
  each: {cube: 4 g, teaspoon: 4.2 g}
""",
    "syrups/raspberry-syrup.yaml": """\
syrup: raspberry syrup
standard: 50 °Bx
sugars: {sucrose: 60 %, glucose: 20 %, fructose: 20 %}
acid: 9 g/kg
recipe:
  - 1000 g granulated sugar
  - 1000 g water
keeps: 7 days
""",
    "syrups/simple-syrup.yaml": "syrup: simple syrup\nstandard reading: 50 °Bx\n",
    "drinks/slipway-sour.yaml": """\
drink: Slipway Sour
method: shaken
pours:
  - 60 ml gold rum
  - 22.5 ml lime juice
  - {pour: 22.5 ml, of: raspberry syrup, fixed: true}
glass: coupe
garnish: lime wheel
notes: >
  shake hard,
  strain twice
""",
    "drinks/long/two.yaml": """\
- drink: Quay Cooler
  method: built
  pours:
    - 45 ml gold rum
    - 2 cubes granulated sugar
    - 90 ml soda water
  dilution: 20 %
- drink: Half Tide
  method: stirred
  pours: [60 ml gold rum, 7.5 ml simple syrup]
  weighed: {before: 68 g, after: 90 g}
""",
}
"""Every kind of layout in a few files: lists, single entries, [ ], { }, folded text, comments, a subfolder."""


def write(folder: Path, changes: Mapping[str, str | bytes] | None = None) -> Path:
    """Write the sound bar, with other or further files in place of some."""
    for name, text in {**SOUND, **(changes or {})}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def load_with(folder: Path, changes: Mapping[str, str | bytes] | None = None) -> Loaded:
    """The sound bar with changes, loaded."""
    return load(write(folder, changes))


def codes(loaded: Loaded) -> list[str]:
    """The codes of every problem, in order."""
    return [problem.code for problem in loaded.problems]
