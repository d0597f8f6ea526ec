"""Houses nobody thought of, written as a bar writes them: a folder of YAML and a log of JSON lines."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Final, Literal

from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.cli.runner import Run, run
from tests.examples import ALL, examples

NIGHT: Final = date(2026, 11, 25)
CLOCK: Final = {"BALANCER_NOW": f"{NIGHT}T18:00:00+00:00"}
US_OUNCE_ML: Final = 29.5735295625

_PHASES: Final = tuple(Phase) if ALL else (Phase.explicit, Phase.generate)
"""To make a failing house smaller takes minutes of commands: not before somebody looks into it."""


def tried(number: int) -> settings:
    """So many houses, of which the fast tests try a part."""
    return settings(max_examples=examples(number), phases=_PHASES)


Style = Literal["jigger", "scale", "free"]
Role = Literal["counts", "second", "past", "unread"]


@dataclass(frozen=True, slots=True)
class MadeHouse:
    """house.yaml, and what it lets the bar pour. Volumes in ml, masses in g, tolerances in % and °Bx."""

    text: str
    style: Style
    step_ml: float
    division_g: float
    lines_ml: tuple[float, ...]
    barspoon_ml: float | None
    tolerance: float
    batch_tolerance: float


@dataclass(frozen=True, slots=True)
class MadeSyrup:
    """A syrup's file. tolerance: its own, °Bx; None leaves it to the house."""

    name: str
    standard: float
    tolerance: float | None
    text: str

    @property
    def id(self) -> str:
        return self.name.replace(" ", "-")


@dataclass(frozen=True, slots=True)
class MadeBatch:
    """An open batch of the log. day: when it was opened, in days from the night; last: its last day of use."""

    id: str
    liquid: str
    role: Role
    day: int
    last: int
    brix: float | None = None
    acid: float | None = None

    def entries(self) -> list[str]:
        """Its two lines of the log."""
        opened = NIGHT + timedelta(days=self.day)
        made = {"batch": self.id, "syrup": self.liquid, "event": "made", "made": opened.isoformat()}
        made["discard"] = (NIGHT + timedelta(days=self.last)).isoformat()
        content = {"brix": self.brix} if self.brix is not None else {}
        acid = {"acid": f"{self.acid:g} g/l"} if self.acid is not None else {}
        first = {**made, **content, **acid, "at": f"{opened}T15:00:00+00:00"}
        return [f"- {json.dumps(one)}" for one in (first, self._open(f"{opened}T17:00:00+00:00"))]

    def _open(self, at: str) -> dict[str, str]:
        return {"batch": self.id, "event": "open", "at": at}


@dataclass(frozen=True, slots=True)
class Bar:
    """A whole folder."""

    house: MadeHouse
    syrups: tuple[MadeSyrup, ...]
    drinks: dict[str, str]
    batches: tuple[MadeBatch, ...]
    lime_acid: float

    def write(self, folder: Path) -> Path:
        """Write it into a folder that is there and empty; where it is."""
        for name in ("ingredients", "syrups", "drinks"):
            (folder / name).mkdir()
        (folder / "house.yaml").write_text(self.house.text, encoding="utf-8")
        (folder / "ingredients" / "all.yaml").write_text(_ingredients(self.lime_acid), encoding="utf-8")
        for syrup in self.syrups:
            (folder / "syrups" / f"{syrup.id}.yaml").write_text(syrup.text, encoding="utf-8")
        for name, text in self.drinks.items():
            (folder / "drinks" / f"{name.casefold()}.yaml").write_text(text, encoding="utf-8")
        lines = [line for batch in self.batches for line in batch.entries()]
        (folder / "batches.yaml").write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
        return folder

    @property
    def standards(self) -> dict[str, float]:
        """°Bx by syrup id."""
        return {syrup.id: syrup.standard for syrup in self.syrups}

    @property
    def usable(self) -> tuple[MadeBatch, ...]:
        """Open batches whose last day is not over, the first opened first."""
        return tuple(sorted((one for one in self.batches if one.last >= 0), key=lambda one: one.day))

    @property
    def read(self) -> tuple[tuple[MadeBatch, float], ...]:
        """Usable batches of syrups that have a strength, and which."""
        return tuple((one, one.brix) for one in self.usable if one.brix is not None)

    @property
    def juice(self) -> MadeBatch | None:
        """The measured juice that counts: the last opened that may be used."""
        measured = [one for one in self.usable if one.acid is not None]
        return measured[-1] if measured else None


def ask(specs: Path, *words: str) -> Run:
    """One command on the night."""
    return run(*words, specs=specs, env=CLOCK)


def answer(specs: Path, *words: str) -> Run:
    """One command on the night that must be answered: an open question about the house would hide every other."""
    done = ask(specs, *words)
    assert done.code == 0, f"{words}: exit {done.code}\n{done.out}\n{done.err}"
    return done


def taken(data: object) -> set[str]:
    """Every batch that an answer in JSON reckons with; those that it only tells of stand under other keys."""
    if isinstance(data, dict):
        here = {data["batch"]} if isinstance(data.get("batch"), str) else set()
        return here.union(*[taken(value) for value in data.values()])
    return set().union(*[taken(value) for value in data]) if isinstance(data, list) else set()


def _ingredients(lime_acid: float) -> str:
    return f"""\
- {{ingredient: gold rum, kind: spirit, abv: 40 %, sugar: 0 g/l, allergens: []}}
- {{ingredient: lime juice, kind: juice, sugar: 16.9 g/kg, acid: {lime_acid:g} g/l, allergens: []}}
- {{ingredient: soda water, kind: mixer, sugar: 0 g/l, top: true, allergens: []}}
- {{ingredient: orange liqueur, kind: liqueur, abv: 40 %, sugar: 235 g/l, allergens: []}}
- {{ingredient: herbal liqueur, kind: liqueur, abv: 30 %, allergens: []}}
- {{ingredient: aromatic bitters, kind: bitters, abv: 44 %, allergens: []}}
"""


def _steps(draw: DrawFn) -> tuple[list[str], float, tuple[float, ...], float | None]:
    """The lines of house.yaml about the jigger, and what they come to in ml."""
    ounce = draw(st.sampled_from([30.0, US_OUNCE_ML]))
    said = ["ounce: 30 ml"] if ounce == 30.0 else []
    match draw(st.sampled_from(["2.5 ml", "2.5 ml", "5 ml", "1/8 oz", "1/4 oz", "lines", "lines and a barspoon"])):
        case "2.5 ml" | "5 ml" as step:
            return [*said, f"jigger step: {step}", "show: ml"], float(step.split()[0]), (), None
        case "1/8 oz" | "1/4 oz" as step:
            eighths = 1 if step.startswith("1/8") else 2
            return [*said, f"jigger step: {step}", "show: oz"], eighths * ounce / 8, (), None
        case word:
            lines = draw(st.sampled_from([(15.0, 22.5, 30.0), (10.0, 15.0, 20.0, 25.0, 30.0, 45.0), (7.5, 20.0, 40.0)]))
            said.append(f"jigger lines: [{', '.join(f'{line:g} ml' for line in lines)}]")
            if word == "lines":
                return said, lines[0], lines, None
            return [*said, "jigger barspoon: true", "barspoon: 5 ml"], lines[0], lines, 5.0


@st.composite
def made_houses(draw: DrawFn, styles: tuple[Style, ...] = ("jigger", "jigger", "jigger", "scale", "free")) -> MadeHouse:
    """A house.yaml."""
    style = draw(st.sampled_from(styles))
    said, step_ml, lines, barspoon = _steps(draw)
    division = draw(st.sampled_from([None, 1.0, 0.1]))
    tolerance, batch_tolerance = draw(st.sampled_from([3, 4, 5, 5, 8])), draw(st.sampled_from([0.5, 1, 1, 2]))
    text = ["format: 1", "house: Nobody's Slip", f"pour style: {style}", *said]
    text += [f"tolerance: {tolerance} %", f"batch tolerance: {batch_tolerance} °Bx"]
    text += [f"scale: {{division: {division:g} g}}"] if division else []
    return MadeHouse(
        "\n".join(text) + "\n",
        style,
        step_ml,
        division or 1.0,
        lines,
        barspoon,
        float(tolerance),
        float(batch_tolerance),
    )


SYRUP_NAMES: Final = ("ash syrup", "beech syrup", "cedar syrup", "dogwood syrup", "elder syrup", "fennel syrup")
DRINK_NAMES: Final = ("Anchor", "Beacon", "Capstan", "Dinghy", "Eddy", "Fathom", "Gunwale", "Halyard")
_ML: Final = (5.0, 7.5, 10.0, 12.5, 15.0, 17.5, 20.0, 20.0, 22.5, 22.5, 25.0, 30.0, 37.5)
_OZ: Final = ("1/4 oz", "1/3 oz", "1/2 oz", "3/4 oz", "3/4 oz", "1 oz", "1¼ oz")


@st.composite
def made_syrups(draw: DrawFn, name: str) -> MadeSyrup:
    """A syrup's file."""
    standard = draw(st.one_of(st.sampled_from([50.0, 60.0]), st.integers(300, 720).map(lambda tenths: tenths / 10)))
    tolerance = draw(st.sampled_from([None, None, None, 0.3, 2.0]))
    text = [f"syrup: {name}", f"standard: {standard:g} °Bx", "allergens: []"]
    text += draw(st.sampled_from([[], [], ["acid: 9 g/kg"], ["acid: 15 g/kg"]]))
    text += draw(st.sampled_from([[], [], ["sugar share: 93 %"]]))
    text += draw(st.sampled_from([[], ["flavour: none"], ["sugars: {fructose: 55 %, glucose: 45 %}"]]))
    text += [f"tolerance: {tolerance:g} °Bx"] if tolerance else []
    return MadeSyrup(name, standard, tolerance, "\n".join(text) + "\n")


@st.composite
def strengths(draw: DrawFn, standard: float) -> float:
    """What a batch of it may read: at standard, a little off, or up to a fifth off; always a syrup."""
    most = draw(st.sampled_from([0, 15, 15, 90, 90, 90, 200]))
    tenths: int = draw(st.sampled_from([-most, *range(-most, most, 7), most]))
    return min(max(round(standard * (1.0 + tenths / 1000.0), 1), 24.0), 79.5)


@st.composite
def _amounts(draw: DrawFn, house: MadeHouse) -> str:
    """An amount of a syrup, as the specs of this house say it."""
    kind = draw(st.sampled_from(["ml"] * 6 + ["g", "oz"]))
    if kind == "g":
        return f"{draw(st.integers(6, 36))} g"
    if kind == "oz" or "show: oz" in house.text:
        return draw(st.sampled_from(_OZ))
    return f"{draw(st.sampled_from(_ML)):g} ml"


@st.composite
def _written_for(draw: DrawFn, syrups: tuple[MadeSyrup, ...]) -> str:
    """The line of a drink about the strengths it is written for: a little or well off the standard, or just it."""
    said = {}
    for syrup in syrups:
        off = draw(st.sampled_from([None, None, -6.0, -4.0, -1.3, -0.4, 0.0, 0.7, 2.0, 3.9, 7.5]))
        if off is not None:
            said[syrup.name] = round(syrup.standard + off, 1)
    return f"written for: {{{', '.join(f'{name}: {brix:g} °Bx' for name, brix in said.items())}}}\n" if said else ""


@st.composite
def _drinks(
    draw: DrawFn, name: str, house: MadeHouse, syrups: tuple[MadeSyrup, ...], amounts: list[str], *, apart: bool
) -> str:
    most = 3 if house.division_g < 1.0 else 4  # of a tenth of a gram there are too many ways for a brute force
    number = min(draw(st.sampled_from([1, 2, 2, 2, 3, 4])), most, len(syrups))
    chosen = draw(st.permutations(syrups))[:number]
    pours = [draw(st.sampled_from(["50 ml gold rum", "30 ml gold rum", "2 oz gold rum"]))]
    pours += draw(st.sampled_from([[], ["22.5 ml lime juice"], ["20 ml lime juice"], ["30 ml lime juice"]]))
    pours += draw(st.sampled_from([[], [], [], ["15 ml orange liqueur"], ["20 ml herbal liqueur"]]))
    for syrup in chosen:
        amount = draw(st.sampled_from(amounts))
        fixed = draw(st.sampled_from([False] * 7 + [True]))
        pours.append(f"{{pour: {amount}, of: {syrup.name}, fixed: true}}" if fixed else f"{amount} {syrup.name}")
    pours += draw(st.sampled_from([[], [], ["60 ml soda water"], ["2 dashes aromatic bitters"]]))
    listed = "".join(f"  - {pour}\n" for pour in pours)
    strengths = draw(_written_for(tuple(chosen))) if apart else ""
    return f"drink: {name}\nmethod: shaken\npours:\n{listed}{strengths}dilution: 45 %\n"


@st.composite
def _batches_of(draw: DrawFn, syrup: MadeSyrup) -> list[MadeBatch]:
    """Its open batches: mostly one, sometimes none, two, one past its day or one that nobody read."""
    roles: list[Role] = draw(
        st.sampled_from(
            [
                *[["counts"]] * 20,
                ["counts", "second"],
                ["past", "counts"],
                ["unread", "counts"],
                ["past"],
                ["unread"],
                [],
            ]
        )
    )
    prefix, found = syrup.name[:3].upper(), []
    for number, role in enumerate(roles):
        day, last = (-9, -1) if role == "past" else (number - 5, draw(st.sampled_from([0, 1, 4])))
        brix = None if role == "unread" else draw(strengths(syrup.standard))
        found.append(MadeBatch(f"{prefix}-{number + 1}", syrup.id, role, day, last, brix))
    return found


@st.composite
def _juices(draw: DrawFn, acid: float) -> list[MadeBatch]:
    """Open lime juice: none, measured, or measured and only good for yesterday."""
    match draw(st.sampled_from(["none", "none", "measured", "past", "both"])):
        case "none":
            return []
        case which:
            factor = 1.0 + draw(st.floats(-0.25, 0.25))
            past = MadeBatch("LIM-1", "lime-juice", "past", -2, -1, acid=round(acid * 1.3, 1))
            today = MadeBatch("LIM-2", "lime-juice", "counts", 0, 0, acid=round(acid * factor, 1))
            return [*[past] * (which != "measured"), *[today] * (which != "past")]


@st.composite
def bars(
    draw: DrawFn,
    styles: tuple[Style, ...] = ("jigger", "jigger", "jigger", "scale", "free"),
    *,
    most_syrups: int = 6,
    most_drinks: int = 8,
    apart: bool | None = None,
) -> Bar:
    """A whole folder: one to six syrups, one to eight drinks, and a log in which one to four syrups are off.

    apart  whether drinks are written for other strengths than the standards; in one house of three when None
    """
    apart = draw(st.sampled_from([False, False, True])) if apart is None else apart
    house = draw(made_houses(styles))
    names = SYRUP_NAMES[: min(draw(st.sampled_from([1, 2, 3, 3, 4, 4, 4, 6])), most_syrups)]
    syrups = tuple(draw(made_syrups(name)) for name in names)
    usual = [draw(_amounts(house)) for _ in range(4)]  # specs repeat themselves: one bottle's line serves many
    drinks = {
        name: draw(_drinks(name, house, syrups, usual, apart=apart))
        for name in DRINK_NAMES[: min(draw(st.sampled_from([2, 4, 6, 8])), most_drinks)]
    }
    batches = [batch for syrup in syrups[:4] for batch in draw(_batches_of(syrup))]
    lime_acid = draw(st.sampled_from([46.0, 60.0]))
    return Bar(house, syrups, drinks, (*batches, *draw(_juices(lime_acid))), lime_acid)
