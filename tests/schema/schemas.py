"""JSON Schema (2020-12) by a general validator that others wrote: Debian's python3-jsonschema.

Schemas refer to each other by relative file names ("shared.json#/$defs/player").
"""
import functools
import json
import pathlib

import jsonschema


def read(path):
    return json.loads(pathlib.Path(path).read_text(encoding="utf-8"))


@functools.lru_cache
def all_schemas(folder):
    """Every schema of the project by its URI, read and indexed once."""
    known = {path.as_uri(): read(path) for path in folder.rglob("*.json")}
    try:
        import referencing
    except ImportError:  # before version 4.18
        return known
    make = referencing.Resource.from_contents
    return referencing.Registry().with_resources((uri, make(schema)) for uri, schema in known.items()).crawl()


@functools.lru_cache
def validator(path):
    """A validator for the schema in this file, which must itself be a valid schema."""
    path = pathlib.Path(path).resolve()
    schema = read(path)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema", path
    judge = jsonschema.Draft202012Validator
    judge.check_schema(schema)
    known = all_schemas(next(folder for folder in path.parents if folder.name == "schema"))
    if isinstance(known, dict):
        return judge(schema, resolver=jsonschema.RefResolver(path.as_uri(), schema, store=known))
    return judge({"$ref": path.as_uri()}, registry=known)


def faults(schema, value):
    """What is wrong with a value, as sentences 'path: message'; none if it is valid."""
    found = sorted(validator(schema).iter_errors(value), key=lambda error: error.json_path)
    return [f"{error.json_path}: {error.message[:300]}" for error in found]
