"""Tables as Parquet, which databases and data frames read: columns with types, units beside them."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from balancer.errors import CannotError
from balancer.models.log_columns import ColumnKind, LogColumn

if TYPE_CHECKING:
    import pyarrow


def parquet_bytes(columns: Sequence[LogColumn], rows: Sequence[Sequence[Any]], about: Mapping[str, str]) -> bytes:
    """The file of a table.

    about  what is said of all of it, beside the unit and the meaning of each column; what is no empty text
    Unit and meaning stand in the metadata of each field, for Arrow's readers, and once more as JSON under `units` in
    that of the file, for those that read no other.
    Raises CannotError when pyarrow is not installed.
    """
    arrow, parquet = _arrow()
    types = _types(arrow)
    fields = [arrow.field(column.name, types[column.kind], metadata=_told(column)) for column in columns]
    units = {column.name: column.unit for column in columns if column.unit}
    schema = arrow.schema(fields, metadata={**about, "units": json.dumps(units, ensure_ascii=False)})
    values = zip(*rows, strict=True) if rows else ((),) * len(fields)
    arrays = [arrow.array(list(each), type=field.type) for each, field in zip(values, fields, strict=True)]
    file = io.BytesIO()
    parquet.write_table(arrow.Table.from_arrays(arrays, schema=schema), file, compression="zstd")
    return file.getvalue()


def said_about(path: Path, key: str) -> str | None:
    """What a file says of all of it under a key; None when it does not, is not there, or is no Parquet.

    Raises CannotError when pyarrow is not installed.
    """
    arrow, parquet = _arrow()
    with suppress(OSError, arrow.ArrowInvalid):
        found = parquet.read_metadata(path).metadata or {}
        value = found.get(key.encode())
        return value.decode(errors="replace") if value is not None else None
    return None


def read_columns(path: Path, names: Sequence[str]) -> list[tuple[Any, ...]] | None:
    """The rows of a file, of some columns; None when it has none of those, or is no Parquet.

    Raises CannotError when it may not be read, and when pyarrow is not installed.
    """
    arrow, parquet = _arrow()
    try:
        table = parquet.ParquetFile(path).read(columns=list(names))
        return list(zip(*(table.column(name).to_pylist() for name in names), strict=True))
    except PermissionError as error:
        told = f'"{path}" cannot be read: {error.strerror}'
        raise CannotError("unreadable", told, "see who may read it, then export again") from None
    except (OSError, KeyError, ValueError, TypeError, OverflowError, arrow.ArrowException):
        return None


def _told(column: LogColumn) -> Mapping[str, str]:
    return {"meaning": column.meaning, **({"unit": column.unit} if column.unit else {})}


def _arrow() -> tuple[Any, Any]:
    """The package and its part for Parquet: heavy, and an extra of its own."""
    try:
        import pyarrow  # noqa: PLC0415
        from pyarrow import parquet  # noqa: PLC0415
    except ModuleNotFoundError:
        raise CannotError(
            "not-installed",
            "Parquet needs pyarrow, which is not installed",
            f'"{sys.executable}" -m pip install "balancer[group]"',
        ) from None
    return pyarrow, parquet


def _types(arrow: Any) -> Mapping[ColumnKind, pyarrow.DataType]:
    return {
        "text": arrow.string(),
        "texts": arrow.list_(arrow.string()),
        "number": arrow.float64(),
        "whole": arrow.int32(),
        "flag": arrow.bool_(),
        "day": arrow.date32(),
        "moment": arrow.timestamp("us", tz="UTC"),
    }
