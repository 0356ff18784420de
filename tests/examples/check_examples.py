"""The example programs say what is so, and the README files show them as they are.

judge: the arithmetic is done by hand here. odds: a recursion of our own over the score, with both
teams' rotations, by the numbers in the example. plan: the lineup that the program's own JSON gives.

usage: check_examples.py PROGRAM EXAMPLE... (from the project's folder)
"""
import functools
import json
import pathlib
import re
import subprocess
import sys

FOLDER = pathlib.Path("tests/examples")


def run(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def check_judge(_, example):
    # Middle back (6) must be behind middle front (3), FIVB 7.4.3.1: 1.08 m is 0.12 m short of
    # 1.20 m.
    said = run(example).splitlines()
    assert said[0] == "not legal", said
    assert said[1] == "fault, position 6 against 3: 12 cm (FIVB 7.4.3.1)", said
    assert not any(line.startswith("fault") for line in said[2:]), said


def numbers(name, source):
    return [float(word) for word in re.search(name + r"\[\w+\] = {(.*?)}", source)[1].split(",")]


def set_odds(side_out, break_point, target):
    """Odds from 0-0 by our rotation and server. Our rates do not ask for their rotation, so it plays
    no part. From target - 1 all, whoever wins two rallies running wins: four pairs of results."""
    @functools.cache
    def tied(depth, turn, we_serve):
        if depth == 0:
            return 0.5
        first = break_point[turn] if we_serve else side_out[turn]
        after = turn if we_serve else (turn + 1) % 6
        level = (1 - break_point[after]) * tied(depth - 1, after, False)
        win = first * (break_point[after] + level)
        return win + (1 - first) * side_out[turn] * tied(depth - 1, (turn + 1) % 6, True)

    @functools.cache
    def win(ours, theirs, turn, we_serve):
        if ours == target or theirs == target:
            return float(ours == target)
        if ours == theirs == target - 1:
            return tied(400, turn, we_serve)
        chance = break_point[turn] if we_serve else side_out[turn]
        return (chance * win(ours + 1, theirs, turn if we_serve else (turn + 1) % 6, True)
                + (1 - chance) * win(ours, theirs + 1, turn, False))

    return [(win(0, 0, turn, False), win(0, 0, turn, True)) for turn in range(6)]


def check_odds(_, example):
    source = (FOLDER / "odds.c").read_text()
    expected = set_odds(numbers("side_out", source), numbers("break_point", source), 25)
    found = re.findall(r"rotation (\d): (\S+) receiving first, (\S+) serving", run(example))
    assert [int(line[0]) for line in found] == [1, 2, 3, 4, 5, 6], found
    for line, odds in zip(found, expected):
        for said, true in zip(line[1:], odds):
            assert abs(float(said) - true) <= 0.00006, (line, odds)


def check_plan(program, example):
    for team in ("datasets/junior-12.json", "datasets/club-16.json"):
        answer = json.loads(run(program, "plan", team, "--json"))
        names = {player["id"]: player["name"] for player in json.load(open(team))["players"]}
        expected = [f"start in rotation {answer['start_rotation']}"]
        expected += [names[slot["front"]] for slot in answer["order"]]
        assert run(example, team).splitlines() == expected, team
    missing = subprocess.run([example, "no-such-team.json"], capture_output=True, text=True)
    assert missing.returncode == 3 and "no-such-team.json" in missing.stderr, missing


def check_readme(name):
    readme = pathlib.Path("include/sixturn/README.md").read_text()
    quoted = re.search(rf"<!-- {FOLDER}/{name}\.c -->\n```c\n(.*?)```\n", readme, flags=re.S)
    assert quoted, f"README does not quote {name}.c"
    assert quoted[1] == (FOLDER / f"{name}.c").read_text(), f"README quotes another {name}.c"


def check_shown(program):
    """What the commands' README shows after '$ sixturn ...' is how the program's answer begins."""
    shown = re.findall(r"```\n\$ sixturn (.*?)\n(.*?)```\n", pathlib.Path("src/cli/README.md").read_text(), flags=re.S)
    assert {words.split()[0] for words, _ in shown} >= {"check", "moment"}, shown
    for words, text in shown:
        said = subprocess.run([program, *words.split()], capture_output=True, text=True).stdout
        assert said.startswith(text), f"README's sixturn {words} is not what it prints:\n{said}"


def main():
    program, *examples = sys.argv[1:]
    check_shown(program)
    for example in examples:
        name = pathlib.Path(example).name.removeprefix("example_")
        globals()[f"check_{name}"](program, example)
        check_readme(name)


main()
