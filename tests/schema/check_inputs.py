"""The files of datasets/ are what their schemas say, and schema and program agree on what is wrong:
in each file every member is left out in turn, and a strange one added to every object; whenever the
schema refuses the result, so does the program, and the other way round for missing and strange
members.

usage: check_inputs.py PROGRAM PROJECT_FOLDER
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

import schemas

TEAM = "datasets/junior-12.json"
BAD_INPUT = 3

# Schema, files, and how the program is made to read one quickly.
KINDS = [
    ("team", ["datasets/junior-12.json", "datasets/club-16.json"], ["plan", "{}"]),
    ("plan", ["datasets/junior-12-plan.json", "datasets/junior-12-own.json"], ["plan", TEAM, "--plan", "{}"]),
    ("formation", ["datasets/junior-12-formations.json"], ["check", "{}"]),
    ("opponent", ["datasets/opponent.json"], ["odds", TEAM, "--opponent", "{}"]),
    ("rules", sorted(map(str, pathlib.Path("datasets/rules").glob("*.json"))),
     ["plan", TEAM, "--rules", "{}"]),
    ("system", sorted(map(str, pathlib.Path("datasets/systems").glob("*.json"))),
     ["plan", TEAM, "--system", "{}"]),
    ("formation-terms", ["datasets/formation-terms.json"], ["plan", TEAM, "--formation-terms", "{}"]),
    ("rally-model", ["datasets/rally-model.json"], None),
]
MADE = [  # files that the program itself writes
    ("lineup", ["plan", TEAM, "--json"], None, ["versus", TEAM, "{}", "{}"]),
    ("rates", ["fit", "datasets/club-16.json", "datasets/club-16-log.csv", "--write-rates", "{}"], "{}",
     ["odds", "datasets/club-16.json", "--rates", "{}"]),
]


def places(value, path=()):
    """Every object, once for each way of keys (of a list, the first member stands for all)."""
    if isinstance(value, dict):
        yield path
        for key, member in value.items():
            yield from places(member, path + (key,))
    elif isinstance(value, list) and value:
        yield from places(value[0], path + (0,))


def at(value, path):
    for step in path:
        value = value[step]
    return value


def spoiled(value):
    """What was done, and the result."""
    for path in places(value):
        # Maps from players or duties take any name: a strange member needs a strange value.
        changed = copy.deepcopy(value)
        at(changed, path)["no-such-member"] = None
        yield f"no-such-member added at {'/'.join(map(str, path))}", changed
        for key in at(value, path):
            changed = copy.deepcopy(value)
            del at(changed, path)[key]
            yield f"{'/'.join(map(str, path + (key,)))} left out", changed


def read_by_program(program, command, value, folder):
    file = f"{folder}/spoiled.json"
    pathlib.Path(file).write_text(json.dumps(value))
    return subprocess.run([program, *[word.format(file) for word in command]],
                          capture_output=True, text=True)


def compare(program, name, value, command, schema, folder):
    wrong, refused = [], 0
    validator = schemas.validator(schema)
    for done, changed in spoiled(value):
        valid = validator.is_valid(changed)
        refused += not valid
        run = read_by_program(program, command, changed, folder)
        told = "is missing" in run.stderr or "no such field" in run.stderr
        if not valid and run.returncode != BAD_INPUT:
            wrong.append(f"{name}, {done}: the schema refuses it, the program does not")
        if valid and run.returncode == BAD_INPUT and told:
            wrong.append(f"{name}, {done}: the program refuses it, the schema does not: {run.stderr}")
    assert refused > 3, (name, refused)
    return wrong


def made(program, folder):
    for name, command, keep, reader in MADE:
        file = f"{folder}/{name}.json"
        run = subprocess.run([program, *[word.format(file) for word in command]],
                             capture_output=True, text=True, check=True)
        if not keep:
            pathlib.Path(file).write_text(run.stdout)
        yield name, file, reader


def needed(value, schema):
    """Only what a lax schema names: a lineup printed for people holds much more."""
    if isinstance(value, dict) and "properties" in schema:
        return {key: needed(member, schema["properties"][key]) for key, member in value.items()
                if key in schema["properties"]}
    if isinstance(value, list) and "items" in schema:
        return [needed(member, schema["items"]) for member in value]
    return value


def lists_all_shipped(folder_of_schemas):
    """Editors offer the ids that the schemas list: those of all shipped files."""
    known = schemas.read(folder_of_schemas / "shared.json")["$defs"]
    for name, folder in ("rules", "rules"), ("system", "systems"):
        listed = set(known[name]["anyOf"][0]["enum"])
        shipped = {path.stem for path in (folder_of_schemas.parent / folder).glob("*.json")}
        if listed != shipped:
            yield f"shared.json lists {sorted(listed)} for {name}, shipped are {sorted(shipped)}"


def main():
    program, project = sys.argv[1:]
    folder_of_schemas = pathlib.Path(project) / "datasets/schema"
    wrong, seen = list(lists_all_shipped(folder_of_schemas)), {"shared", "request", "answer"}  # the last two: check_door.py
    with tempfile.TemporaryDirectory() as folder:
        everything = [(name, file, command if file == files[0] else None)
                      for name, files, command in KINDS for file in files]
        for name, file, command in everything + list(made(program, folder)):
            schema = folder_of_schemas / f"{name}.json"
            value = schemas.read(file)
            wrong += [f"{file}: {fault}" for fault in schemas.faults(schema, value)]
            seen.add(name)
            if name == "lineup":
                value = needed(value, schemas.read(schema))
            if command:
                wrong += compare(program, name, value, command, schema, folder)
    print("\n".join(wrong))
    without = {path.stem for path in folder_of_schemas.glob("*.json")} - seen
    assert not without, f"schemas that no file was held against: {without}"
    sys.exit(bool(wrong))


main()
