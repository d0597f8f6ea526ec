"""JSON Schemas of a bar's files, so that an editor completes keys and marks mistakes while they are typed.

    python -m balancer.files.house.schema [DIR]

An editor reads YAML its own way (1984 is a number to it), so the schemas are wider than the models where
the models read text, and they leave to the loader what needs arithmetic or other files.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any, Final

from balancer.models.drink import Drink
from balancer.models.fields import AMOUNT_START, FileModel
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup

Schema = dict[str, Any]

FOLDER: Final = Path(__file__).resolve().parents[3] / "docs" / "reference" / "schema"
_PART: Final[Schema] = {
    "type": "string",
    "pattern": rf"^(?:\s*[Rr]inse|{AMOUNT_START}\S*)\s+\S",
    "examples": ["22.5 ml lime juice"],
}
_DROPPED: Final = ("title", "default", "description")
_ABOUT_FIELD: Final = re.compile(r"^ *(\w+) {2,}(\S.*)$", re.MULTILINE)


def schemas() -> dict[str, Schema]:
    """The schema of every kind of file, by the name of the kind."""
    return {
        "house": _named("house.yaml", _schema(House)),
        "ingredients": _one_or_list("ingredients/*.yaml", _schema(Ingredient)),
        "syrups": _one_or_list("syrups/*.yaml", _schema(Syrup)),
        "drinks": _one_or_list("drinks/*.yaml", _schema(Drink)),
    }


def schema_text(schema: Schema) -> str:
    """A schema as the text of its file."""
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


def write(folder: Path) -> None:
    """Write every schema into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, schema in schemas().items():
        (folder / f"{name}.json").write_text(schema_text(schema), encoding="utf-8")


def _named(title: str, schema: Schema) -> Schema:
    return {"$schema": "http://json-schema.org/draft-07/schema#", "title": title, **schema}


def _one_or_list(title: str, entry: Schema) -> Schema:
    return _named(title, {"definitions": {"entry": entry}, **_either({"$ref": "#/definitions/entry"})})


def _either(item: Schema) -> Schema:
    return {"anyOf": [item, {"type": "array", "items": item}]}


def _schema(model: type[FileModel]) -> Schema:
    """A model's schema in one piece: no titles, no defaults, no nulls, and what its docstring says of each field."""
    raw = model.model_json_schema()
    schema: Schema = _plain(raw, raw.get("$defs", {}))
    about = dict(_ABOUT_FIELD.findall(model.__doc__ or ""))
    for name, field in model.model_fields.items():
        if name in about:
            schema["properties"][field.alias or name]["description"] = about[name]
    for key in {"pours", "recipe"} & schema["properties"].keys():
        part = {"anyOf": [_PART, schema["properties"][key]["items"]]}
        schema["properties"][key] = _either(part)
    schema["required"] = [key for key in schema["required"] if key != "id"]
    return schema


def _plain(node: Any, definitions: Schema) -> Any:
    if isinstance(node, list):
        return [_plain(item, definitions) for item in node]
    if not isinstance(node, dict):
        return node
    if "$ref" in node:
        return _plain(definitions[node["$ref"].rpartition("/")[2]], definitions)
    wanted = [option for option in node.get("anyOf", ()) if option != {"type": "null"}]
    if len(wanted) == 1:
        return _plain(wanted[0], definitions)
    plain = {key: _plain(value, definitions) for key, value in node.items() if key not in (*_DROPPED, "$defs")}
    if "properties" in node:
        plain["properties"] = {key: _plain(value, definitions) for key, value in node["properties"].items()}
        plain["additionalProperties"] = False
    return plain


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
