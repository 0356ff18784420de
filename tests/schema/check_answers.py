"""Every answer of the program in JSON is what its schema says, for both demo teams, and the schemas are
strict: an answer with one member more, anywhere, is refused.

usage: check_answers.py PROGRAM PROJECT_FOLDER
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

import schemas

TEAMS = {"junior-12": {"absent": ["nele-brandahl", "pia-osterloh"], "bench": "pia-osterloh"},
         "club-16": {"absent": ["katinka-rossow", "britta-ohlsen"], "bench": "britta-ohlsen"}}


def plain_cases(team, known, folder):
    """Schema, arguments, and a file to keep the answer in."""
    file = f"datasets/{team}.json"
    first, second = f"{folder}/{team}-first.json", f"{folder}/{team}-second.json"
    yield "plan", ["plan", file], first
    yield "plan", ["plan", file, "--system", "6-2-double"], second
    yield "shares", ["plan", file, "--sets", "2"], None
    yield "rank", ["rank", file, "--top", "3"], None
    yield "absent", ["absent", file, *known["absent"]], None
    yield "setters", ["setters", file], None
    yield "systems", ["systems", file], None
    yield "versus", ["versus", file, first, second], None
    yield "worth", ["worth", file, known["bench"]], None
    yield "odds", ["odds", file], None
    yield "moment", ["moment", file], None
    yield "receive", ["receive", file, "--rotation", "2"], None
    yield "fit", ["fit", file, "datasets/club-16-log.csv"], None


def special_cases(team, known):
    """Members that only some options bring, and what is not possible."""
    file = f"datasets/{team}.json"
    setter, other = known["absent"]
    yield "plan", ["plan", file, "--goal", "set"], None
    yield "rank", ["rank", file, "--top", "2", "--doubt", "0.5", "--draws", "5"], None
    yield "absent", ["absent", file, "--pairs", setter, other], None
    yield "setters", ["setters", file, "--out", setter], None
    yield "receive", ["receive", file, "--passers", "4", "--top", "2"], None
    yield "systems", ["systems", file, "--out", setter], None
    yield "odds", ["odds", file, "--opponent", "datasets/opponent.json", "--system", "6-2-double"], None
    yield "plan", ["plan", file, "--plan", "datasets/junior-12-own.json", "--goal", "score"], None
    yield "mend", ["mend", "datasets/junior-12-formations.json", "--fewest"], None
    yield "fit", ["fit", file, "--rallies", "3 receive ww 5 serve l"], None
    yield "moment", ["moment", file, "--rules", "nfhs", "--score", "20-20", "--rotation", "2", "--serving", "us",
                     "--card"], None
    yield "moment", ["moment", file, "--opponent", "datasets/opponent.json", "--their-rotation", "4"], None


def wished_cases():
    """The same questions with a plan that has wishes."""
    file, plan = "datasets/junior-12.json", "datasets/junior-12-plan.json"
    for name, command in (("shares", "plan"), ("rank", "rank"), ("absent", "absent"), ("systems", "systems")):
        yield name, [command, file, "--plan", plan] + (["--sets", "2"] if name == "shares" else []), None
    yield "versus", ["versus", file, plan, plan], None


def drawn_cases():
    file = "datasets/junior-12-formations.json"
    yield "check", ["check", file], None
    yield "mend", ["mend", file], None


def stopped_cases(folder):
    """What is told of what was not finished: twelve who play everything are more than these seconds are for."""
    team = json.loads(pathlib.Path("datasets/junior-12.json").read_text())
    for player in team["players"]:
        player["roles"] = ["setter", "outside", "middle", "opposite", "libero", "specialist"]
    file = f"{folder}/everybody.json"
    pathlib.Path(file).write_text(json.dumps(team))
    for command in "setters", "systems", "absent", "worth":
        yield command, [command, file, "--time-limit", "0.5"], None


def answer(program, arguments, keep):
    run = subprocess.run([program, *arguments, "--json"], capture_output=True, text=True)
    if "--time-limit" in arguments and run.returncode == 6:
        return None  # a machine too busy for any answer
    assert run.returncode in (0, 1) and run.stdout, (arguments, run.returncode, run.stderr)
    if keep:
        pathlib.Path(keep).write_text(run.stdout)
    return json.loads(run.stdout)


def objects(value, path=()):
    """Every object in a value, with its path; of a list, those of the first three members."""
    if isinstance(value, dict):
        yield path
        for key, member in value.items():
            yield from objects(member, path + (key,))
    elif isinstance(value, list):
        for index, member in enumerate(value[:3]):
            yield from objects(member, path + (index,))


def at(value, path):
    for step in path:
        value = value[step]
    return value


def looseness(validator, value):
    """Places at which one more member is let through."""
    for path in objects(value):
        changed = copy.deepcopy(value)
        at(changed, path)["no-such-member"] = {}
        if validator.is_valid(changed):
            yield "/".join(map(str, path)) or "the whole"


def main():
    program, folder = sys.argv[1:]
    schema_folder = pathlib.Path(folder) / "datasets/schema/answers"
    wrong, seen = [], set()
    with tempfile.TemporaryDirectory() as temporary:
        everything = list(drawn_cases())
        for team, known in TEAMS.items():
            everything += plain_cases(team, known, temporary)
        everything += special_cases("junior-12", TEAMS["junior-12"])
        everything += wished_cases()
        everything += stopped_cases(temporary)
        for name, arguments, keep in everything:
            value = answer(program, arguments, keep)
            if value is None:
                continue
            path = schema_folder / f"{name}.json"
            wrong += [f"{' '.join(arguments)}: {fault}" for fault in schemas.faults(path, value)]
            if name not in seen:
                wrong += [f"{path.name} lets a strange member through in {place}"
                          for place in looseness(schemas.validator(path), value)]
            seen.add(name)
    print("\n".join(wrong))
    without = {path.stem for path in schema_folder.glob("*.json")} - seen - {"shared", "bench", "import"}  # the last two: check_door.py
    assert not without, f"schemas that no answer was held against: {without}"
    sys.exit(bool(wrong))


main()
