"""Reading takes time in proportion: long files in one piece, and the batch log against bare JSON.

python tests/benchmarks/reading.py
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from balancer.files.log.batch_log import read_log
from balancer.files.yaml.document import Document
from balancer.files.yaml.tree import read_document
from tests.benchmarks.report import Report
from tests.files.log.test_batch_log import json_line
from tests.files.yaml.test_tree import LONG


def seconds(work: Callable[[], object]) -> float:
    """The least processor time of three runs."""
    taken = []
    for _ in range(3):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def read(text: str) -> Document:
    """The tree of a text."""
    return read_document("long.yaml", text.encode())


def main() -> int:
    """Print the ratios; 1 when one misses its limit."""
    report = Report()
    for name, text in ((name, make()) for name, make in LONG.items()):
        if text.count("\n") < 1000:
            continue  # half of one line is not the same kind of file
        half = text[: text.rfind("\n", 0, len(text) // 2) + 1]
        whole = seconds(partial(read, text))
        ratio = whole / seconds(partial(read, half)) * len(half) / len(text)
        report.ratio(f"time per character, {name}", ratio, 2.0, f"{whole:.2f} s whole, against half of it")
    lines = [json_line(number) for number in range(10_000)]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "batches.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
        log = seconds(lambda: read_log(Path(folder)))
    bare = seconds(lambda: [json.loads(line[2:]) for line in lines])
    report.ratio("10,000 log lines against bare JSON", log / bare, 12.0, f"{log:.2f} s")
    return report.exit_code()


if __name__ == "__main__":
    sys.exit(main())
