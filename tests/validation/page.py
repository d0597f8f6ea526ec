"""docs/validation.md: the answer first, then a table a kind of proof, then what nothing was found to compare with."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from string import ascii_lowercase
from typing import Final

from tests.reference import Row, read_rows
from tests.validation import prose
from tests.validation.claims import CLAIMS, Claim
from tests.validation.draws import DRAWS, SEED, Case, Found
from tests.validation.libraries import OPINIONS
from tests.validation.outside import (
    TASKS,
    Line,
    of_drinks,
    of_examples,
    of_facts,
    of_tables,
    plain,
    signed,
)
from tests.validation.searches import SEARCHES
from tests.validation.stored import CASES, found_apart, found_draws, found_gaps

PAGE: Final = Path(__file__).resolve().parents[2] / "docs" / "validation.md"
ROUNDING: Final = 0.15
"""Points: what 100,000 draws are sure to, two standard deviations at 95 %."""


def page() -> str:
    """All of it."""
    lines = [
        prose.HEAD.format(answer=_answer()),
        *_outside(),
        prose.OWN,
        *_claims(),
        prose.DRAWN.format(draws=DRAWS, seed=SEED),
        *_draws(meant=True),
        *_not_kept(),
        prose.LEFT_OUT,
        *_draws(meant=False),
        prose.SEARCHED.format(seed=SEED),
        *_searches(),
        prose.SEARCH_NOTE,
        prose.OPINED,
        *_opinions(),
        prose.NOT,
        prose.NOTICE,
        "",
    ]
    return "\n".join(lines)


@cache
def _lines() -> dict[str, list[Line]]:
    found = {task.name: [*of_tables(task), *of_examples(task)] for task in TASKS}
    found["Dilution by method, and a bottled drink"].append(of_drinks())
    found["Constants and ingredients"] = list(of_facts())
    return found


def _all_lines() -> list[Line]:
    return [line for lines in _lines().values() for line in lines]


def _answer() -> str:
    """The first paragraph: how many values, how far, what does not hold."""
    lines = _all_lines()
    compared = sum(line.values for line in lines)
    again = sum(line.values for line in lines if line.again)
    by_hand = sum(line.values for line in lines if line.source == "by hand")
    gaps, draws = found_gaps(), found_draws()
    meant = [case for case in CASES if case.meant]
    low = [draws[case.key].within for case in meant if _is_short(case, draws[case.key])]
    gap = max(gap.largest for key, gap in gaps.items() if key != "staged")
    return _listed(
        prose.ANSWER.format(
            compared=compared,
            sources=len({row.source for row in _rows()}),
            prints=compared - again - by_hand,
            again=again,
            by_hand=by_hand,
            recalled=sum(line.recalled for line in lines),
            kept=sum(claim.verdict() == "yes" for claim in CLAIMS),
            rounded=sum(claim.verdict() == "rounded" for claim in CLAIMS),
            claims=len(CLAIMS),
            strength=_largest("sucrose_brix_from_refractive_index", "ICUMSA1974"),
            density=_largest("sucrose_density", "CRC", 70.0),
            density_at_84=_largest("sucrose_density", "CRC"),
            abv=_largest("ethanol_abv_percent_60f", "USP"),
            sucrose=_percent("mixture_density_sucrose"),
            glucose=_percent("mixture_density_glucose"),
            kinds=len(meant),
            short=len(low),
            least=min(low),
            problems=sum(gap.cases for key, gap in gaps.items() if key != "staged"),
            gap=f"the largest gap {plain(gap)}" if gap else "no gap",
        )
    )


def _listed(text: str) -> str:
    """A list, each item wrapped anew: figures are longer and shorter than their names."""
    items = [" ".join(item.split()) for item in text.strip().removeprefix("- ").split("\n- ")]
    return "\n".join(textwrap.fill(f"- {item}", 118, subsequent_indent="  ", break_on_hyphens=False) for item in items)


@cache
def _rows() -> tuple[Row, ...]:
    return tuple(row for row in read_rows() if row.use == "check")


def _largest(stem: str, source: str, most: float = float("inf")) -> str:
    """The largest deviation of a table up to an input."""
    rows = [row for row in _rows() if row.stem == stem and row.source == source]
    return f"{max(abs(row.deviation()) for row in rows if next(iter(row.inputs.values())) <= most):.2g}"


def _percent(stem: str) -> str:
    """The same of a whole table, in %."""
    return f"{max(100.0 * abs(row.deviation()) / float(row.expected) for row in _rows() if row.stem == stem):.2g}"


def _outside() -> Iterator[str]:
    yield prose.OUTSIDE
    head = ("what", "source", "values", "seen", "largest deviation", "typical", "printed to", "to the digit")
    for name, lines in _lines().items():
        yield f"### {name}\n"
        yield from _table(
            head,
            [
                (
                    line.what,
                    line.source,
                    f"{line.values}",
                    _seen(line),
                    line.largest,
                    line.typical,
                    line.printed,
                    "" if line.exact is None else f"{line.exact}",
                )
                for line in lines
            ],
            right=(2, 7),
        )
        files = [f"[{Path(path).name}](../{path})" for path in dict.fromkeys(line.path for line in lines)]
        yield _listed(f"- values: {', '.join(files)}") + "\n"


def _seen(line: Line) -> str:
    return "yes" if not line.recalled else "no" if line.recalled == line.values else "in part"


def _claims() -> Iterator[str]:
    yield prose.CLAIMED
    rows = []
    for claim in CLAIMS:
        found, unit = claim.found(), " %" if claim.relative else ""
        rows.append(
            (
                f"`{claim.formula}`",
                claim.said,
                f"[{claim.source}] {_table_words(claim)}",
                f"{len(claim.rows())}",
                plain(found) + unit,
                claim.verdict(),
            )
        )
    yield from _table(("formula", "claimed", "against", "values", "largest", "kept"), rows, right=(3,))


def _table_words(claim: Claim) -> str:
    """The name of a table without what the formula's own says."""
    return claim.stem.removeprefix(f"{claim.formula.partition('.')[0]}_").replace("_", " ")


def _is_short(case: Case, found: Found) -> bool:
    return found.within < case.claimed - ROUNDING


class Notes:
    """Texts that several rows share, told once below their table, by letter."""

    def __init__(self) -> None:
        self._texts: list[str] = []

    def letter(self, text: str) -> str:
        if text not in self._texts:
            self._texts.append(text)
        return ascii_lowercase[self._texts.index(text)]

    def listed(self) -> str:
        return _listed("\n- ".join(f"{self.letter(text)}: {text}" for text in self._texts)) + "\n"


def _draws(*, meant: bool) -> Iterator[str]:
    found, notes = found_draws(), Notes()
    rows = []
    for case in CASES:
        if case.meant is not meant:
            continue
        one = found[case.key]
        within = f"{one.within:.1f} %"
        rows.append(
            (
                case.what,
                notes.letter(case.assumes),
                f"±{plain(one.shown)} {case.unit}" if case.unit else "–",
                f"**{within}**" if meant and _is_short(case, one) else within,
                *([f"{case.claimed:g} %"] if meant else []),
                f"{one.ratio:.2f}" if case.unit else "–",
                f"{signed(one.bias)}" if case.unit and abs(one.bias) > 0.1 * one.shown else "",
            )
        )
    head = ("asked", "drawn", "mean ±", "within", *(("claimed",) if meant else ()), "ratio", "bias")
    yield from _table(head, rows, right=range(2, len(head)))
    yield notes.listed()


def _not_kept() -> Iterator[str]:
    yield prose.SHORT_HEAD
    yield _listed(prose.SHORT.format(**{key.replace(" ", "_"): one.within for key, one in found_draws().items()}))
    yield ""


def _searches() -> Iterator[str]:
    found, notes = found_gaps(), Notes()
    rows = []
    for search in SEARCHES:
        gap = found[search.key]
        largest = f"{plain(gap.largest)} {search.unit}" if gap.worse else "none"
        over = f"{gap.passed_over}" if gap.passed_over else ""
        rows.append((search.what, notes.letter(search.bound), f"{gap.cases:,}", over, f"{gap.worse}", largest))
    yield from _table(("search", "tried", "problems", "too large", "with a gap", "largest"), rows, right=(2, 3, 4))
    yield notes.listed()


def _opinions() -> Iterator[str]:
    found = found_apart()
    rows = []
    for opinion in OPINIONS:
        one = found[opinion.key]
        tiny = abs(one.largest) < 1e-6
        largest = "less than 0.000001" if tiny else f"{signed(one.largest)} at {one.at}".replace("-", "−")
        rows.append(
            (opinion.what, opinion.library, f"{one.points}", largest, "" if tiny else plain(one.typical), opinion.unit)
        )
    yield from _table(
        ("question", "library", "points", "largest, ours minus theirs", "typical", "unit"), rows, right=(2,)
    )


def _table(head: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield "|" + "".join("---:|" if place in right else "---|" for place in range(len(head)))
    for row in rows:
        yield f"| {' | '.join(row)} |"
    yield ""
