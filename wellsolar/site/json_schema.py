"""The JSON Schema of a site file, by which an editor completes and checks its keys.

What a key means stands in `schema` below it, what it holds when it is left out in the shipped
defaults, and what it may hold is told by its field. A schema can't tell whether a text is a
quantity within its bounds, nor see a mistake between two keys: `load_site` does.
"""

from __future__ import annotations

import ast
import inspect
import json
import re
from functools import cache
from typing import Any

from wellsolar.site import schema
from wellsolar.site.defaults import ALWAYS, default_of, is_filled
from wellsolar.site.locate import path_of
from wellsolar.site.schema import Site
from wellsolar.site.shape import field_at, is_array, most_of, table_at, table_of, usual_of
from wellsolar.site.table import Table

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_ABOUT = (
    "A house with its own well, for wellsolar. A quantity is a text with its unit, such as "
    '"85 ft"; it may be a range, "85 ft .. 110 ft", or a range with its likeliest value before '
    'it, "95 ft (85 ft .. 110 ft)".'
)

Keys = tuple[str, ...]


def site_schema() -> dict[str, Any]:
    """The schema of a whole site file, in JSON Schema 2020-12."""
    table = _table(Site, ())
    return {"$schema": DIALECT, "title": "Site file", **table, "description": _ABOUT}


def schema_text() -> str:
    """The schema as it is written to a file."""
    return json.dumps(site_schema(), indent=2, ensure_ascii=False) + "\n"


def meaning_of(key: str) -> str:
    """What a key of the site file means, in the words that its schema shows.

    Parameters:
        key: its path, such as `pump[1].cable`
    Returns:
        the first of its sentences, or of its parts
    """
    path = path_of(key)
    table = table_at(path[:-1]) if len(path) > 1 else Site
    assert table is not None, key
    return _meanings(table)[str(path[-1])].partition(";")[0]


@cache
def _meanings(model: type[Table]) -> dict[str, str]:
    """The docstrings below the fields of a table and of those that it is more than: field ->
    meaning."""
    fields: dict[str, str] = {}
    for ancestor in reversed(model.__mro__):
        for table in ast.parse(_sources().get(ancestor.__name__, "")).body:
            if not isinstance(table, ast.ClassDef):
                continue
            for field, below in zip(table.body, table.body[1:], strict=False):
                if not isinstance(field, ast.AnnAssign) or not isinstance(field.target, ast.Name):
                    continue
                if isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant):
                    fields[field.target.id] = " ".join(str(below.value.value).split())
    return fields


@cache
def _sources() -> dict[str, str]:
    """The source of each table, so that one alone need be read."""
    texts = re.split(r"^(?=class )", inspect.getsource(schema), flags=re.MULTILINE)[1:]
    return {re.split(r"\W", text, maxsplit=2)[1]: text for text in texts}


def _table(model: type[Table], above: Keys) -> dict[str, Any]:
    """The schema of one table; the same model has other defaults at another place."""
    plain = model.model_json_schema()["properties"]
    keys: dict[str, Any] = {}
    for name, field in model.model_fields.items():
        path = (*above, name)
        inner = table_of(field)
        if inner is None:
            keys[name] = _key(plain[name], path, _meanings(model)[name])
            continue
        entry = _table(inner, path)
        if is_array(field):
            entry = {"type": "array", "items": entry}
            if field.is_required():
                entry["minItems"] = 1
            entry["maxItems"] = most_of(field)
        keys[name] = {"description": _meanings(model)[name], **entry}
    needed = [
        name
        for name, field in model.model_fields.items()
        if field.is_required() and not _may_be_left_out((*above, name))
    ]
    table = {"type": "object", "properties": keys, "additionalProperties": False}
    return {**table, "required": needed} if needed else table


def _may_be_left_out(path: Keys) -> bool:
    """True where a default stands in; of the tables of a site only `ALWAYS` are made by them."""
    return path[0] in ALWAYS if len(path) == 1 else is_filled(path)


def _key(plain: dict[str, Any], path: Keys, meaning: str) -> dict[str, Any]:
    """A plain key: what pydantic says of its type, what it means, and what stands in for it."""
    # A key that may be left out is None in the model, which TOML can't write.
    kept, *_ = plain.pop("anyOf", [{}])
    entry = {key: value for key, value in {**plain, **kept}.items() if key != "title"}
    if entry.get("default", "") in (None, ""):
        entry.pop("default", None)
    holds = entry.pop("description", "")
    field = field_at(path)
    usual = None if field is None else usual_of(field)
    most = "" if usual is None else f"Most are {usual.text.replace('..', 'to')}."
    sentences = [meaning, f"{holds[:1].upper()}{holds[1:]}." if holds else "", most]
    default = default_of(path)
    if default is not None:
        entry["default"] = default.value
        sentences.append(f"Left out: {default.value} ({default.why}).")
    return {"description": " ".join(sentence for sentence in sentences if sentence), **entry}
