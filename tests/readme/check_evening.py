"""A coach's evening: the command lines under README's 'One evening', each as it stands there, in a folder of
their own. Spreadsheet, wishes, plan, sheet, cards, phone, a hurt setter, a new plan, new cards.

usage: check_evening.py PROGRAM PROJECT_FOLDER
"""
import csv
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile


def lines_under(readme, heading):
    """The lines of the first block of shell commands under a heading."""
    found = re.search(rf"^#+ {heading}\n.*?```sh\n(.*?)```", readme, flags=re.S | re.M)
    assert found, f"README has no commands under '{heading}'"
    return found[1].splitlines()


def slips(text):
    """The shirts of each line-up slip, by position as on court: IV III II, V VI I."""
    rows = [re.findall(r"\|\s+(\d+)\s+(?=\|)", line) for line in text.splitlines()]
    rows = [[int(shirt) for shirt in row] for row in rows if row]
    assert len(rows) == 2, text
    return [rows[0][k:k + 3] + rows[1][k:k + 3] for k in range(0, len(rows[0]), 3)]


def words_of(file):
    return subprocess.run(["pdftotext", "-layout", file, "-"], check=True, capture_output=True, text=True).stdout


def run(line, folder, path):
    ran = subprocess.run(["bash", "-c", line], cwd=folder, env={**os.environ, "PATH": path}, capture_output=True,
                         text=True)
    assert ran.returncode == 0, f"{line}\nends with {ran.returncode}: {ran.stderr}"
    return ran.stdout


def check(root, folder, said):
    """What the evening left behind, held to the spreadsheet and the wishes."""
    roster = {int(row["Number"]): row for row in csv.DictReader((root / "datasets/junior-12.csv").open())}
    team = json.loads((folder / "team.json").read_text())
    assert team["name"] == "Our juniors"
    assert {player["number"] for player in team["players"]} == set(roster)
    for player in team["players"]:
        row = roster[player["number"]]
        assert player["name"] == row["Name"]
        for skill, value in player["skills"].items():
            assert value == float(row[skill.capitalize()]), (player["name"], skill)
    plans = [text for line, text in said if " plan " in line]
    assert len(plans) == 2
    before, after = (slips(text) for text in plans)
    setters = {number for number, row in roster.items() if "setter" in row["Roles"].split("/")}
    for slip in before:
        assert 1 in slip and 12 in slip, "the first setter sets, and number 12 has her wish"
    for slip in after:
        assert 1 not in slip and setters & set(slip), "another sets for the hurt one"
    for slip in before + after:  # number 4 is not next to number 9: round the court I II III IV V VI
        turn = [slip[k] for k in (5, 2, 1, 0, 3, 4)]
        if 4 in turn and 9 in turn:
            assert (turn.index(4) - turn.index(9)) % 6 not in (1, 5)
    wall, cards, again = (words_of(folder / name) for name in ("wall.pdf", "cards.pdf", "cards-again.pdf"))
    for shirt in before[0]:
        first = roster[shirt]["Name"].split()[0]
        assert f"{shirt} {first}" in wall and f"{shirt} {roster[shirt]['Name']}" in cards
    for row in roster.values():
        assert f"{row['Number']} {row['Name']}" in cards, "everybody has a card"
    assert "They serve first" in wall and "We serve first" in wall
    assert "1 Nele Brandahl" not in again
    phone = (folder / "phone.html").read_text()
    assert "Our juniors" in phone and "If a player is absent" in phone
    absent = [text for line, text in said if " absent " in line][0]
    assert "without #1 Nele Brandahl" in absent


def main():
    program, root = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    evening = lines_under((root / "README.md").read_text(), "One evening")
    asked = [line.split()[1] for line in evening]
    assert all(line.startswith("sixturn ") for line in evening)
    assert {"import", "plan", "sheet", "report", "absent"} <= set(asked), asked
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "datasets").symlink_to(root / "datasets")
        (folder / "bin").mkdir()
        (folder / "bin/sixturn").symlink_to(program)
        path = f"{folder / 'bin'}:{os.environ['PATH']}"
        check(root, folder, [(f" {line} ", run(line, folder, path)) for line in evening])


main()
