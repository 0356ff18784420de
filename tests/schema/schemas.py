"""JSON Schema (2020-12) by a general validator that others wrote: Debian's python3-jsonschema.

Schemas refer to each other by relative file names ("shared.json#/$defs/player").
"""
import json
import pathlib
import urllib.parse

import jsonschema


def read(path):
    return json.loads(pathlib.Path(path).read_text(encoding="utf-8"))


def of_uri(uri):
    return read(urllib.parse.unquote(urllib.parse.urlparse(uri).path))


def validator(path):
    """A validator for the schema in this file, which must itself be a valid schema."""
    path = pathlib.Path(path).resolve()
    schema = read(path)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema", path
    judge = jsonschema.Draft202012Validator
    judge.check_schema(schema)
    try:
        import referencing
    except ImportError:  # before version 4.18
        return judge(schema, resolver=jsonschema.RefResolver(path.as_uri(), schema))
    registry = referencing.Registry(
        retrieve=lambda uri: referencing.Resource.from_contents(of_uri(uri)))
    return judge({"$ref": path.as_uri()}, registry=registry)


def faults(schema, value):
    """What is wrong with a value, as sentences 'path: message'; none if it is valid."""
    found = sorted(validator(schema).iter_errors(value), key=lambda error: error.json_path)
    return [f"{error.json_path}: {error.message[:300]}" for error in found]
