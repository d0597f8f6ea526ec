"""The files that a house reads: what may not be written over, and what a page that stays open watches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.files.house.base import HOUSE_FILE, PARTS, Layer
from balancer.files.house.folders import Found, house_files
from balancer.files.house.overrides import FILE as OVERRIDES
from balancer.files.house.print_look import look_files
from balancer.files.house.printed import FILE as PRINTED
from balancer.files.log.batch_log import FILE as LOG

OF_THE_HOUSE: Final = (HOUSE_FILE, LOG, PRINTED, OVERRIDES)
"""What is read in the folder itself, beside the folders of entries."""


def what_is_read(held: Sequence[Layer]) -> Found:
    """Every file that a house reads, and those of its bases, whether it is there or not: of fonts their folder.

    Its problems are those of the folders: what cannot be followed today may be tomorrow.
    """
    read = Found()
    for layer in held:
        read.files.extend(layer.folder / name for name in OF_THE_HOUSE)
        for found in house_files(layer.folder, PARTS[1:]).values():
            read.add(found)
    read.files.extend(look_files(held))
    return read
