"""Permissions of files that hold for root too, so that what nobody may read is refused on any machine."""

from __future__ import annotations

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

_VERSION: Final = 0x20080522
_PASSES_BY: Final = 1 << 1 | 1 << 2
"""The two rights of Linux by which root reads what it may not: CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH."""


class _Header(ctypes.Structure):
    _fields_ = (("version", ctypes.c_uint32), ("pid", ctypes.c_int))


class _Rights(ctypes.Structure):
    _fields_ = (("effective", ctypes.c_uint32), ("permitted", ctypes.c_uint32), ("inheritable", ctypes.c_uint32))


@contextmanager
def permissions_hold() -> Iterator[None]:
    """Within it this thread is refused what the permissions of a file refuse, as anybody is who is not root.

    Raises OSError where that cannot be had: root on another system than Linux.
    """
    if os.geteuid() != 0:
        yield
        return
    kernel, header, rights = ctypes.CDLL(None, use_errno=True), _Header(_VERSION, 0), (_Rights * 2)()
    _done(kernel.capget(ctypes.byref(header), rights))
    had = rights[0].effective
    rights[0].effective = had & ~_PASSES_BY
    _done(kernel.capset(ctypes.byref(header), rights))
    try:
        yield
    finally:
        rights[0].effective = had
        _done(kernel.capset(ctypes.byref(header), rights))


def _done(result: int) -> None:
    if result != 0:
        raise OSError(ctypes.get_errno(), "the rights of root cannot be laid down")
