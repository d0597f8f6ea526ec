"""Tables and sentences of docs/performance.md that depend on how the figures came out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

ROOMS: Final = ("one", "several")
AS_QUICK: Final = 1.25
"""Times up to this ratio are called equal: the machine was busy."""
_WAYS: Final = {
    "as written": "as written",
    "rule of thumb": "ratio, jigger",
    "workbook": "workbook, jigger",
    "balancer": "balancer",
    "no pour works": "no pour",
}
_GRAMS: Final = {
    "as written": "as written",
    "rule of thumb, to the drop": "ratio, exact",
    "workbook, to the drop": "workbook, exact",
    "rule of thumb, on the jigger": "ratio, jigger",
    "workbook, on the jigger": "workbook, jigger",
    "balancer, on the jigger": "balancer",
}


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table of Markdown, numbers to the right."""
    lines = [head, ["---", *["---:"] * (len(head) - 1)], *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def span(seconds: float) -> str:
    """A time as it is read: two or three digits, in s or ms, so that ratios of them are those that are told.

    >>> span(1.234), span(0.0421), span(0.00021)
    ('1.2 s', '42 ms', '0.21 ms')
    """
    if seconds >= 0.9995:
        return f"{seconds:.1f} s"
    ms = 1000.0 * seconds
    digits = 0 if ms >= 9.95 else 1 if ms >= 0.995 else 2
    return f"{ms:.{digits}f} ms"


def as_shown(seconds: float) -> float:
    """A time as `span` rounds it, s.

    >>> as_shown(0.02271), as_shown(1.234)
    (0.023, 1.2)
    """
    number, unit = span(seconds).split()
    return float(number) / (1000.0 if unit == "ms" else 1.0)


def busy(before: float, after: float, cores: int) -> str:
    """What else the machine had to do, by its load before and after, and what of the times to compare then.

    >>> busy(0.2, 1.1, 2)
    'its load was 0.2 before and 1.1 after, so clock and CPU tell the same'
    >>> busy(13.5, 16.3, 2).partition(", so ")[2]
    'it was busy with other work and the clock shows more than the CPU: compare the CPU'
    """
    so = "so clock and CPU tell the same"
    if max(before, after) > cores:
        so = "so it was busy with other work and the clock shows more than the CPU: compare the CPU"
    return f"its load was {before:g} before and {after:g} after, {so}"


def grams(value: float) -> str:
    """Grams to a hundredth; what is less is said so.

    >>> grams(0.134), grams(0.001), grams(0.0)
    ('0.13', '<0.01', '0')
    """
    return "0" if value == 0.0 else "<0.01" if value < 0.005 else f"{value:.2f}"


def times_table(times: Mapping[str, Any]) -> str:
    """Every time that was taken, by the size of the menu."""
    sizes = times["sizes"]

    def taken(time: Mapping[str, float]) -> str:
        return f"{span(time['cpu'])} ({span(time['clock'])})"

    def ours(what: str) -> list[str]:
        return [taken(times["ours"][str(size)][what]) for size in sizes]

    def theirs(book: str, what: str) -> list[str]:
        return [taken(times["office"][f"{book}-{size}"][what]) for size in sizes]

    rows = [
        ["**cold**: `balancer tonight`", *ours("command")],
        ["LibreOffice, by name", *theirs("whole", "command")],
        ["LibreOffice, by block", *theirs("blocks", "command")],
        ["its start alone", *[taken(times["office"]["start"])] * len(sizes)],
        ["**open**: balancer, the folder", *ours("open")],
        ["LibreOffice, by name", *theirs("whole", "open")],
        ["LibreOffice, by block", *theirs("blocks", "open")],
        ["**all anew**: balancer", *ours("all")],
        ["workbook, by name", *theirs("whole", "all")],
        ["workbook, by block", *theirs("blocks", "all")],
        ["**a reading typed**: balancer", *ours("reading")],
        ["workbook, by name", *theirs("whole", "reading")],
        ["workbook, by block", *theirs("blocks", "reading")],
    ]
    return table(["drinks", *(f"{size:,}" for size in sizes)], rows)


def grams_table(drawn: Mapping[str, Any]) -> str:
    """Grams of sugar off by every way."""
    rows = [
        [name, *(f"{grams(drawn[room][way]['mean_g'])} ({grams(drawn[room][way]['p95_g'])})" for room in ROOMS)]
        for name, way in _GRAMS.items()
    ]
    return table(["g of sugar off", "one syrup", "two or more"], rows)


def evening_table(figures: Mapping[str, Any]) -> str:
    """The evening that was timed, by the size of the menu: grams off, and what LibreOffice's cells hold."""
    rows = []
    for size in figures["times"]["sizes"]:
        agreed, judged = figures["agreement"][str(size)], figures["evening"][str(size)]
        ways = [judged[way] for way in ("ratio, jigger", "workbook, jigger", "balancer")]
        rows.append(
            [
                f"{size:,}",
                f"{grams(agreed['mean_g'])} ({grams(agreed['worst_g'])})",
                f"{agreed['other_pours']}",
                *(f"{grams(way['mean_g'])} ({way['out_percent']:.0f} %)" for way in ways),
            ]
        )
    head = ["drinks", "workbook's sugar − ours, g", "other pours", "rule of thumb, g", "workbook, g", "balancer, g"]
    return table(head, rows)


def out_table(by_key: Mapping[str, Any], key_words: str) -> str:
    """Percent of drinks out of tolerance by every way, a line a key."""
    words = {"one": "one syrup", "several": "two or more"}
    rows = [
        [
            f"{words[room]}, {key_words.format(key)}",
            *(f"{found[room][way]['out_percent']:.1f}" for way in _WAYS.values()),
        ]
        for room in ROOMS
        for key, found in by_key.items()
        if key != "count"
    ]
    return table(["% of drinks", *_WAYS], rows)


def against(ours: float, theirs: float) -> str:
    """How much quicker or slower we are, in words, by the times as they are shown.

    >>> against(1.0, 1.1), against(1.0, 3.0), against(3.0, 1.0)
    ('as quick', '3.0 times as quick', '3.0 times slower')
    """
    ratio = as_shown(theirs) / as_shown(ours)
    if 1.0 / AS_QUICK <= ratio <= AS_QUICK:
        return "as quick"
    return f"{ratio:.1f} times as quick" if ratio > 1.0 else f"{1.0 / ratio:.1f} times slower"


def time_short(times: Mapping[str, Any]) -> str:
    """The answer on time, in a line or two."""
    largest = times["sizes"][-1]
    mine, book = times["ours"][str(largest)]["command"]["cpu"], times["office"][f"blocks-{largest}"]
    reading = book["reading"]["cpu"]
    return (
        f"Cold and at {largest:,} drinks the command takes {span(mine)} of CPU, LibreOffice "
        f"{span(book['command']['cpu'])} with the quicker workbook, of which its start is "
        f"{span(times['office']['start']['cpu'])}. A workbook that stays open answers a typed reading in "
        f"{span(reading)}, "
        f"{'sooner' if reading < mine else 'later'} than the command, which starts anew each time."
    )


def time_reading(times: Mapping[str, Any]) -> str:
    """A point for every size of the menu."""
    points = []
    for size in times["sizes"]:
        mine = times["ours"][str(size)]
        books = [times["office"][f"{book}-{size}"] for book in ("whole", "blocks")]
        quickest = min(book["reading"]["cpu"] for book in books)
        cold = min(book["command"]["cpu"] for book in books)
        is_quicker = quickest < mine["command"]["cpu"]
        points.append(
            f"- **{size:,} drinks.** Cold, we are {against(mine['command']['cpu'], cold)}. "
            f"After one reading, all open, we are {against(mine['reading']['cpu'], quickest)} "
            f"({span(mine['reading']['cpu'])} against {span(quickest)} of the quicker workbook). The "
            f"command starts anew "
            f"each time and takes {span(mine['command']['cpu'])}, so the open workbook is "
            f"{'quicker' if is_quicker else 'slower all the same'}."
        )
    return "\n\n".join(points)


def ratio_reach(sweep: Sequence[Mapping[str, Any]]) -> str:
    """From which offset on a drink leaves tolerance by the ratio, poured exactly."""
    bad = [abs(row["off_brix"]) for row in sweep for room in ROOMS if row[room]["ratio, exact"]["out_percent"] > 0.0]
    if not bad:
        return f"By itself it takes no drink out of tolerance up to {max(row['off_brix'] for row in sweep):g} °Bx off."
    return f"By itself it takes the first drink out of tolerance at {min(bad):g} °Bx off."


def weak_side(figures: Mapping[str, Any]) -> str:
    """Where others do better, for the short answer."""
    fine = figures["steps"]["1"]["several"]
    ours, thumb, book = (fine[way]["out_percent"] for way in ("balancer", "ratio, jigger", "workbook, jigger"))
    better = [name for name, out in (("the rule of thumb", thumb), ("the workbook", book)) if out < ours]
    behind = [abs(row["off_brix"]) for row in figures["sweep"] if any(row[room]["behind"]["drinks"] for room in ROOMS)]
    if not better and not behind:
        return "- **Nowhere measured here** do the others bring more drinks within tolerance."
    said = (
        [f"with a jigger of 1 ml {' and '.join(better)} bring more drinks within tolerance than we do"]
        if better
        else []
    )
    said += [f"with syrups {min(behind):g} °Bx off and more the workbook can"] if behind else []
    return f"- **Small pours are our weak side**: {'; '.join(said)}. See [below](#out-of-tolerance)."


def tolerance_reading(figures: Mapping[str, Any], small_ml: float, small_percent: float) -> str:
    """Where we do worse than the workbook, and why: counted, not guessed."""
    rows = [row for row in figures["sweep"] if any(row[room]["behind"]["drinks"] for room in ROOMS)]
    if not rows:
        return "Nowhere here does the workbook bring a drink within tolerance that we leave out."
    behind = sum(row[room]["behind"]["drinks"] for row in rows for room in ROOMS)
    small = sum(row[room]["behind"]["small"] for row in rows for room in ROOMS)
    both = "each of them" if small == behind else f"{small:,} of them"
    near = min(abs(row["off_brix"]) for row in rows)
    return (
        f"From {near:g} °Bx off on there are drinks that the workbook brings within tolerance and we do "
        f"not, {behind:,} on "
        f"all the offsets drawn. In {both} a pour of {small_ml:g} ml or less was left as written: the "
        f"house leaves it alone "
        f"until its drink is {small_percent:g} % off, because a jigger is no better on so small a pour. "
        f"On a jigger of 1 ml "
        "that rule costs more than it saves, as the second table shows; it does not look at the jigger. "
        "Syrups as far off "
        "as that should be corrected and not poured."
    )


def as_good(figures: Mapping[str, Any], sd: str) -> str:
    """What is to be said for the others."""
    times = figures["times"]
    size = times["sizes"][1]
    one, fine = figures["evenings"][sd]["one"], figures["steps"]["1"]["several"]
    points = [
        (
            f"- **Open all evening**, at {size:,} drinks, it answers a typed reading in "
            f"{span(times['office'][f'whole-{size}']['reading']['cpu'])} of CPU; our command starts anew and takes "
            f"{span(times['ours'][str(size)]['command']['cpu'])}."
        ),
        (
            f"- **One syrup off**, its pours are as good: {one['workbook, jigger']['out_percent']:.1f} % "
            f"out of tolerance, "
            f"ours {one['balancer']['out_percent']:.1f} %."
        ),
        (
            f"- **On a jigger of 1 ml** it leaves {fine['workbook, jigger']['out_percent']:.1f} % of the "
            f"drinks with two "
            f"syrups or more out of tolerance, the rule of thumb "
            f"{fine['ratio, jigger']['out_percent']:.1f} %, and we "
            f"{fine['balancer']['out_percent']:.1f} %."
        ),
        (
            "- **The rule of thumb** needs a pocket calculator and nothing else. With one syrup a few "
            "°Bx off it will do."
        ),
        ("Dilution, acid, unknowns, the log and everything printed were not compared: no workbook was built for them."),
    ]
    return "\n\n".join(points)
