"""The demo house with two drinks only: one pours two syrups, of which one is off; the jigger has steps of 5 ml."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Final

from balancer.files.house.demo import demo_folder
from tests.cli.runner import run

DRINKS: Final = """\
- drink: Half Half
  method: shaken
  pours: [60 ml gold rum, 22.5 ml lime juice, 15 ml raspberry syrup, 15 ml strawberry syrup]
- {drink: Pilot, method: shaken, pours: [60 ml gold rum, 22.5 ml lime juice, 15 ml strawberry syrup]}
"""


def half_half(folder: Path, patch_now: str = "2026-11-25T18:30+01:00") -> Path:
    """The house, with RAS-12 corrected and read at its standard, so that STR-1 alone is off."""
    specs = folder / "specs"
    shutil.copytree(demo_folder(), specs)
    shutil.rmtree(specs / "drinks")
    (specs / "drinks").mkdir()
    (specs / "drinks" / "two.yaml").write_text(DRINKS, encoding="utf-8")
    house = (specs / "house.yaml").read_text(encoding="utf-8")
    told = re.sub(r"(?m)^jigger step:.*$", "jigger step: 5 ml", re.sub(r"(?m)^show:.*$", "show: ml", house))
    (specs / "house.yaml").write_text(told, encoding="utf-8")
    env = {"BALANCER_NOW": patch_now}
    for words in (
        ("batch", "correct", "RAS-12", "--brix", "50", "--mass", "1566g"),
        ("measure", "50.3", "--batch", "RAS-12", "--log"),
    ):
        assert run(*words, specs=specs, env=env).code in (0, 1)
    return specs
