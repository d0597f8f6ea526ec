"""The Python interface: a bar's folder that answers what the commands answer.

`balancer.load` opens one. Each method asks the same function as the command of its name, and puts its own words
into what goes wrong: the argument in place of the option.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from os import PathLike
from pathlib import Path
from typing import Final, overload

from balancer.asking.adjust import adjusted
from balancer.asking.arguments import asked
from balancer.asking.batches import batches_of
from balancer.asking.correct import corrected
from balancer.asking.in_python import argument, told
from balancer.asking.measure import Read, measured
from balancer.asking.reply import Reply, reply
from balancer.asking.rescale import rescaled
from balancer.asking.side_by_side import side_by_side
from balancer.asking.simulate import simulated
from balancer.asking.swap import MenuSwaps, StandIns, open_instead, swapped, swapped_everywhere
from balancer.asking.tonight import told_tonight
from balancer.asking.totals import sorted_by, totals_of, totals_of_menu
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.folder import find_folder
from balancer.desk.swapping import wanted
from balancer.engine.batch.notes import BatchNow
from balancer.engine.drink.menu_totals import MenuTotals
from balancer.engine.drink.totals import Totals
from balancer.engine.prep.measure import Judged
from balancer.engine.prep.tub import Corrected
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.tonight import Tonight
from balancer.engine.simulate.result import Simulation
from balancer.engine.simulate.simulate import DRAWS, SEED
from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.adjust_goals import Asked
from balancer.engine.swaps.against import Against
from balancer.engine.swaps.swap import Swap
from balancer.errors import Problem, UsageError
from balancer.models.batch import LogEntry

_CHANGE: Final = 'a text like "-10%" or "18g"'


class BarFolder:
    """A bar's folder, read once; every answer is about what it held then, at the moment `at`.

    Numbers are in the unit that the argument's name ends in, and have the ranges of the command. Names are as on the
    command line: an id, a name or another name, or a beginning of one that only one thing has. `alone` counts every
    other syrup at its standard. `yes` says that what looks like a slip is meant; without it that is refused.
    Nothing is ever written. Every method raises BalancerError: UsageError for a question that makes no sense and for
    an argument that is of no type it can be, ProblemsError for what did not load, CannotError for what has no answer.
    """

    @asked()
    def __init__(
        self, folder: str | PathLike[str] | None = None, *, demo: bool = False, at: datetime | None = None
    ) -> None:
        if folder is not None and demo:
            raise UsageError("usage", "folder and demo: one of them says which bar", "leave one out")
        with told():
            found = None if demo else find_folder(None if folder is None else Path(folder))
            there = None if found is None else found.absolute()  # the log is read later, and a program may go elsewhere
            self._read = Desk(there, as_json=True, is_demo=demo, at=at, calls=argument)
            self._loaded = self._read.loaded

    def __repr__(self) -> str:
        return f"<BarFolder {str(self.folder)!r}: {len(self.drinks)} drinks>"

    @property
    def folder(self) -> Path:
        """Where it is, from the root."""
        return self._read.folder

    @property
    def at(self) -> datetime:
        """The moment of every answer: the one given to `load`, else the clock's when it was first asked for."""
        return self._read.at

    @property
    def drinks(self) -> tuple[str, ...]:
        """Ids of the drinks that loaded."""
        return tuple(self._loaded.specs.drinks)

    @property
    def syrups(self) -> tuple[str, ...]:
        """Ids of the syrups that loaded."""
        return tuple(self._loaded.specs.syrups)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything in its files and its log that a person has to mend. Raises ProblemsError for no readable log."""
        desk = self._read.again()
        _ = desk.loaded, desk.entries
        return desk.problems()

    @overload
    def totals(self, drink: str, *, against: None = None) -> Reply[Totals]: ...
    @overload
    def totals(self, drink: str, *, against: str) -> Reply[Against]: ...
    @overload
    def totals(self, drink: None = None, *, sort: str | None = None, reverse: bool = False) -> Reply[MenuTotals]: ...
    @asked()
    def totals(
        self, drink: str | None = None, *, against: str | None = None, sort: str | None = None, reverse: bool = False
    ) -> Reply[Totals] | Reply[Against] | Reply[MenuTotals]:
        """What a drink holds; two side by side; or, without a drink, the whole menu.

        against  another drink, FILE.yaml or FILE.yaml:NAME, or "printed"; a file is read when it is asked about
        sort     the menu by one of the words of the command's --sort, the most first
        """
        desk = self._read.again()
        if drink is None:
            if against is not None:
                raise UsageError("usage", "against: nothing says which drink", "name it first")
            return reply(desk, totals_of_menu(desk, sorted_by(desk, sort), reverse=reverse))
        if sort is not None or reverse:
            raise UsageError("usage", "sort and reverse are for the whole menu", "leave the drink out")
        if against is not None:
            with told():
                return reply(desk, side_by_side(desk, drink, against))
        return reply(desk, totals_of(desk, drink))

    @asked()
    def rescale(
        self,
        syrup: str,
        brix: float,
        drinks: str | Sequence[str] = (),
        *,
        uncertainty_brix: float | None = None,
        cause: str | None = None,
        alone: bool = False,
        yes: bool = False,
    ) -> Reply[Rescale]:
        """What each drink, or some, pour of a syrup that is off-strength, and what to do about the batch.

        brix    its strength now, above 0 and up to 85; uncertainty_brix: the standard uncertainty of it
        drinks  a name or several; all that pour it if left out
        cause   why it is off: boiled, watered or sugar
        """
        desk = self._read.again()
        outcome = rescaled(
            desk, syrup, brix, _each(drinks), uncertainty=uncertainty_brix, cause=cause, alone=alone, is_meant=yes
        )
        return reply(desk, outcome)

    @asked(date='a date, or a text like "2026-11-25"')
    def tonight(self, date: date | str | None = None) -> Reply[Tonight]:
        """Every open batch against the menu: on a night, or on the working day that it is at `at`."""
        desk = self._read.again()
        return reply(desk, told_tonight(desk, date))

    @asked()
    def swap(self, drink: str, out: str, into: str, *, hold: str | None = None, tonight: bool = False) -> Reply[Swap]:
        """A sweetener or sour of a drink replaced by another.

        into     what comes; also a syrup that does not exist yet, like "50 °Bx, acid 9 g/kg"
        hold     of sugar, acid, volume, abv, sweetness, with commas; sugar if left out, acid of a sour
        tonight  as the open batches read; else for the spec
        """
        desk = self._read.again()
        return reply(desk, swapped(desk, drink, out, into, hold, tonight=tonight).outcome)

    @asked()
    def swap_everywhere(
        self, out: str, into: str, *, hold: str | None = None, tonight: bool = False
    ) -> Reply[MenuSwaps]:
        """The same in every drink that pours what goes: `swap --all`."""
        desk = self._read.again()
        return reply(desk, swapped_everywhere(desk, out, into, hold, tonight=tonight))

    @asked()
    def stand_ins(self, drink: str, out: str, *, hold: str | None = None) -> Reply[StandIns]:
        """What is open and could stand in for what has run out, the least change first: `swap` without --in."""
        desk = self._read.again()
        return reply(desk, open_instead(desk, drink, out, hold))

    @asked(sugar=_CHANGE, acid=_CHANGE)
    def adjust(
        self,
        drink: str,
        *,
        sugar: str | None = None,
        acid: str | None = None,
        abv_percent: float | None = None,
        volume_ml: float | None = None,
        glass: str | None = None,
    ) -> Reply[AdjustedDrink]:
        """A drink made drier, sweeter, sourer, lighter, stronger or larger; what is not asked stays.

        sugar, acid  a change like "-10%", or grams like "18g"
        abv_percent, volume_ml  as served; glass: the one that it should fill as it fills its own
        """
        desk = self._read.again()
        wish = Asked(
            None if sugar is None else wanted(sugar, "sugar"),
            None if acid is None else wanted(acid, "acid"),
            None if abv_percent is None else values.strength_of_drink(abv_percent, "abv_percent"),
            None if volume_ml is None else values.volume(volume_ml, "volume_ml", desk.bar.measures),
            glass,
        )
        return reply(desk, adjusted(desk, drink, wish))

    @asked(batch='the id of a batch, like "RAS-12"')
    def correct(  # noqa: PLR0913 - one for each option
        self,
        batch: str | None = None,
        *,
        syrup: str | None = None,
        brix: float | None = None,
        mass_g: float | None = None,
        volume_ml: float | None = None,
        target_brix: float | None = None,
        add: str | float | None = None,
        container_ml: float | None = None,
        uncertainty_brix: float | None = None,
        stirred: bool = False,
        alone: bool = False,
        yes: bool = False,
    ) -> Reply[Corrected]:
        """What to add to bring a batch to strength: one of the log, or of a syrup, or only so strong.

        add      water, sugar, something of the house, or its strength, °Bx; the best of them if left out
        stirred  it was stirred well before it was read
        """
        desk = self._read.again()
        outcome = corrected(
            desk,
            batch,
            syrup,
            brix=brix,
            mass=mass_g,
            volume=volume_ml,
            target=target_brix,
            additive=add,
            container=container_ml,
            uncertainty=uncertainty_brix,
            stirred=stirred,
            alone=alone,
            is_meant=yes,
        )
        return reply(desk, outcome)

    @asked(acid='a text like "12 g/kg"', dilute='a text like "100 g + 100 g"', scale='a text like "0-55"')
    def measure(  # noqa: PLR0913 - one for each option
        self,
        readings: float | str | Sequence[float | str],
        of: str = "",
        *,
        temperature_c: float | None = None,
        atc: bool | None = None,
        scale: str | None = None,
        division_brix: float | None = None,
        accuracy_brix: float | None = None,
        zero_brix: float | None = None,
        acid: str | None = None,
        abv_percent: float | None = None,
        dilute: str | None = None,
        cause: str | None = None,
        alone: bool = False,
        yes: bool = False,
    ) -> Reply[Judged]:
        """The strength of a syrup by a refractometer, how sure it is, and what it means for the menu.

        readings  of one sample: °Bx, or as typed, like "1.4201nD" or "1.235SG"
        of        the syrup that was read, or its batch; without it nothing is said of the menu
        scale, division_brix, accuracy_brix, atc  of the refractometer, where it is not the house's; scale like "0-55"
        zero_brix what it reads in water; temperature_c: of prism and sample
        acid      of the syrup, as citric, like "12 g/kg", and abv_percent, where its file does not say
        dilute    sample and water that were mixed before reading, like "100 g + 100 g"
        """
        desk = self._read.again()
        typed = [readings] if isinstance(readings, str | float | int) else readings
        if not typed:
            raise UsageError("usage", "readings: there is none in it", "give what the refractometer reads, like 54")
        read = Read(
            typed,
            temperature=temperature_c,
            atc=atc,
            scale=scale,
            division=division_brix,
            accuracy=accuracy_brix,
            zero=zero_brix,
            acid=acid,
            abv=abv_percent,
            dilute=dilute,
        )
        return reply(desk, measured(desk, read, of, cause=cause, alone=alone, is_meant=yes).outcome)

    @asked()
    def simulate(
        self,
        drinks: str | Sequence[str] = (),
        *,
        sd_brix: float | None = None,
        own_sd_brix: Mapping[str, float] | None = None,
        uncertainty_brix: float | None = None,
        draws: int = DRAWS,
        seed: int = SEED,
    ) -> Reply[Simulation]:
        """How many drinks of the menu, or of some, leave tolerance as written, with new pours, and corrected.

        drinks            a name or several; the whole menu if left out
        sd_brix           standard deviation of every syrup, 0 to 15; own_sd_brix: of some, by name; else as the log
                          has them
        uncertainty_brix  of one reading; that of the house's instrument if left out
        draws             how often each drink is poured, 100 to 10,000,000; the same seed draws the same batches
        """
        desk = self._read.again()
        own = [*(own_sd_brix or {}).items()]
        outcome = simulated(
            desk, _each(drinks), sd=sd_brix, own_sd=own, uncertainty=uncertainty_brix, draws=draws, seed=seed
        )
        return reply(desk, outcome)

    def batches(self) -> Reply[tuple[BatchNow, ...]]:
        """Every batch of the log as it stands now, the closed ones too: `batch list`."""
        desk = self._read.again()
        return reply(desk, batches_of(desk))

    def log(self) -> tuple[LogEntry, ...]:
        """Every entry of the log that could be read, in the order of its lines, also those taken back later."""
        return self._read.again().entries


def _each(names: str | Sequence[str]) -> Sequence[str]:
    """Some names: a text is one of them, and never its letters."""
    return [names] if isinstance(names, str) else names
