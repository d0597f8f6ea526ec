"""What countries call one standard drink, in grams of ethanol. Counts, not advice: local guidance decides."""

from __future__ import annotations

from typing import Final, Literal

StandardDrink = Literal["us", "uk", "au", "ca", "ie", "nz", "who"]

ETHANOL_G: Final[dict[StandardDrink, float]] = {
    "us": 14.0,  # [NIAAA] about 14 g, 0.6 US fl oz of pure alcohol
    "uk": 8.0,  # [NHS] a unit is 8 g or 10 ml of pure alcohol
    "au": 10.0,  # [NHMRC]
    "ca": 13.45,  # [CCSA] 17.05 ml or 13.45 g
    "ie": 10.0,  # [HSE]
    "nz": 10.0,  # [HNZ]
    "who": 10.0,  # [AUDIT] the questionnaire's own figure
}
