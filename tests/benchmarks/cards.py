"""60 different cards, four to a page, in the step that fits them all: how long, beside an HTML-to-PDF library.

Run it with `python -m tests.benchmarks.cards`, with WeasyPrint installed beside the tests' own packages. It is given
the same texts and sizes as HTML and need not shrink anything: it has no way to measure first.
"""

from __future__ import annotations

import html
import io
import random
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import Card, card
from balancer.files.house.load import load
from balancer.output.paper.cards import SIZES, cards_page
from balancer.output.paper.imposition import PAPERS, impose
from balancer.output.paper.language import words_of
from balancer.output.paper.typeset import TEMPLATES, typeset
from tests.benchmarks.report import Report

if TYPE_CHECKING:
    from collections.abc import Callable

CARDS = 60
ROUNDS = 3
AT = datetime(2026, 11, 25, tzinfo=UTC)
SECONDS = 1.0
_WORDS = (
    "pier",
    "tide",
    "slip",
    "barge",
    "lamp",
    "rope",
    "weir",
    "reed",
    "keel",
    "mast",
    "dock",
    "quay",
    "foam",
    "buoy",
)
_LIQUIDS = (
    "gold rum", "dry gin", "rye whiskey", "lime juice", "lemon juice", "honey syrup", "berry syrup", "white vermouth",
    "herbal liqueur", "soda water",
)  # fmt: skip


def house(folder: Path, seed: int) -> Path:
    """The tests' house with 60 drinks of two to ten pours, so that many must shrink and no two are the same."""
    rng = random.Random(seed)  # noqa: S311 - made up, and the same every time
    specs = folder / str(seed)
    for path in (Path(__file__).parent.parent / "cli" / "house").rglob("*.yaml"):
        if path.parent.name != "drinks":
            copy = specs / path.parent.name / path.name if path.parent.name != "house" else specs / path.name
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(path.read_bytes())
    lines = []
    for number in range(CARDS):
        name = " ".join(rng.choices(_WORDS, k=rng.randint(1, 6))).title()
        pours = rng.sample(_LIQUIDS, rng.randint(2, 10))
        lines += [f"- drink: {name} {number}", "  method: shaken", f"  time: {rng.randint(8, 15)} s", "  pours:"]
        lines += [f"    - {rng.choice((60, 45, 22.5, 15, 7.5))} ml {pour}" for pour in pours]
        lines += [f"  garnish: {' '.join(rng.choices(_WORDS, k=rng.randint(1, 12)))}", "  glass: coupe", "  steps:"]
        lines += [f"    - {' '.join(rng.choices(_WORDS, k=rng.randint(3, 15)))}" for _ in range(rng.randint(1, 3))]
    (specs / "drinks").mkdir()
    (specs / "drinks" / "all.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return specs


def as_html(page: dict[str, Any]) -> str:
    """The same texts in the same sizes, as HTML."""
    cards = "".join(_card(item) for item in page["items"])
    style = (
        "@page {size: 210mm 297mm; margin: 0} body {margin: 0; font-family: sans-serif}"
        "section {float: left; width: 91mm; height: 134mm; padding: 7mm; overflow: hidden; font-size: 12pt}"
        "h1 {font-size: 31pt; margin: 0; border-bottom: 3pt solid} td:first-child {font: bold 21pt sans-serif}"
    )
    return f"<html lang=en><head><title>{page['title']}</title><style>{style}</style></head><body>{cards}</body></html>"


def _card(item: dict[str, Any]) -> str:
    rows = "".join(
        f"<tr><td>{pour['number']}</td><td>{pour['unit']}</td><td>{pour['name']} {pour['note'] or ''}</td></tr>"
        for pour in item["pours"]
    )
    details = "".join(f"<li>{one['word']} {html.escape(one['text'])}</li>" for one in item["details"])
    told = html.escape(", ".join([*item["listed"], *item["unknown"], *item["cautions"]]))
    return (
        f"<section><h1>{html.escape(item['name'])}</h1><p><b>{item['method']}</b> {item['glass']}</p>"
        f"<table>{rows}</table><ul>{details}</ul><p>{told}</p><p>{item['spec']} {item['made']}</p></section>"
    )


def _pdf(page: dict[str, Any]) -> bytes:
    from weasyprint import HTML  # noqa: PLC0415 - installed for this benchmark only

    file = io.BytesIO()
    HTML(string=as_html(page)).write_pdf(file)
    return file.getvalue()


def _set(page: dict[str, Any]) -> bytes:
    return typeset(TEMPLATES / "card.typ", page, "pdf", AT)[0]


def _seconds(work: Callable[[dict[str, Any]], bytes], page: dict[str, Any]) -> tuple[float, int]:
    start = time.perf_counter()
    made = work(page)
    return time.perf_counter() - start, len(made)


def _page(folder: Path, seed: int) -> dict[str, Any]:
    size = SIZES["a6"]
    layout = impose(size.sheet, PAPERS["a4"])
    assert layout is not None
    bar = Bar(load(house(folder, seed)).specs)
    cards: list[Card] = [card(bar, drink) for drink in bar.specs.drinks.values()]
    assert len(cards) == CARDS
    return cards_page(cards, bar.specs.house, size, layout, "ml", words_of("en"), None, {}, extras=False)


def main() -> int:
    """Print both times and what they come to."""
    report = Report()
    with tempfile.TemporaryDirectory() as folder:
        # Other cards each time: the typesetter remembers what it has set before.
        pages = [_page(Path(folder), seed) for seed in range(ROUNDS)]
    ours = [_seconds(_set, page) for page in pages]
    others = [_seconds(_pdf, page) for page in pages]
    (seconds, size), (other, _) = min(ours), min(others)
    report.ratio(f"{CARDS} cards four-up, in s", seconds / SECONDS, 1.0, f"{seconds:.2f} s, {size // 1000} kB")
    report.ratio("the same against HTML to PDF", seconds / other, 1.0, f"{other:.2f} s, {other / seconds:.1f} x ours")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
