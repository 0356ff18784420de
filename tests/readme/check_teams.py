"""README's line for those with hundreds of teams, as it stands there, over a folder of teams: each plan is what
the team has by itself, and a file that is no team costs no other its plan.

usage: check_teams.py PROGRAM PROJECT_FOLDER
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

TEAMS, SKIP = 6, 77


def make_teams(root, folder):
    """The demo teams with other ratings, so that plans differ."""
    for k in range(TEAMS):
        team = json.loads((root / f"datasets/{('junior-12', 'club-16')[k % 2]}.json").read_text())
        for number, player in enumerate(team["players"]):
            for skill in player["skills"]:
                player["skills"][skill] = max(0, round(player["skills"][skill] - (number * k % 5) / 4, 2))
        (folder / f"team-{k}.json").write_text(json.dumps(team))


def main():
    program, root = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    if not shutil.which("parallel"):
        print("GNU parallel is not installed")
        return SKIP
    line = re.search(r"^(parallel .*)$", (root / "README.md").read_text(), flags=re.M)
    assert line, "README has no line with parallel"
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "bin").mkdir()
        (folder / "bin/sixturn").symlink_to(program)
        (folder / "teams").mkdir()
        make_teams(root, folder / "teams")
        (folder / "teams/no-team.json").write_text("{}")
        env = {**os.environ, "PATH": f"{folder / 'bin'}:{os.environ['PATH']}", "HOME": name}
        ran = subprocess.run(["bash", "-c", line[1]], cwd=folder, env=env, capture_output=True, text=True)
        assert ran.returncode == 1, (ran.returncode, ran.stderr)  # jobs that failed
        assert "no-team.json" in ran.stderr
        for k in range(TEAMS):
            alone = subprocess.run([program, "plan", f"teams/team-{k}.json", "--json"], cwd=folder,
                                   capture_output=True, text=True, check=True).stdout
            assert (folder / f"teams/team-{k}.plan").read_text() == alone, k
    return 0


sys.exit(main())
