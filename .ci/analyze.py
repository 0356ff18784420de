"""gcc's analyzer over every source file of the library and the program.

What gcc 12 takes for a fault and is none stands below with the reason; everything else fails. .ci/analyzer.h
tells it that a failure is never SX_OK.

usage: analyze.py BUILD_FOLDER
"""
import concurrent.futures
import json
import os
import pathlib
import re
import shlex
import subprocess
import sys

LEAK, NULL, UNSET = ("-Wanalyzer-" + kind for kind in ("malloc-leak", "null-dereference", "use-of-uninitialized-value"))
KNOWN = {
    ("src/core/problems.c", LEAK): "the copy is kept in the array of problems",
    ("src/report/whatif.c", LEAK): "the copies are kept in the array of cells",
    ("src/model/formation_tasks.c", NULL): "a front row has all three lanes, which the system's reader sees to",
    ("src/analysis/rank.c", NULL): "a list that is not empty has room",
    ("src/analysis/rank.c", "-Wanalyzer-double-free"): "what realloc gave takes the place of what it freed",
    ("src/report/worth_report.c", NULL): "who has a value in one skill has one in all",
}
ROOT = pathlib.Path(__file__).resolve().parent.parent
# Where the functions are defined, and where the build has no use of them.
PLAIN = {"src/core/error.c", "src/core/embed.c"}
FINDING = re.compile(r"^(\S+?):\d+:\d+: .*\[(-Wanalyzer-[a-z-]+)\]$")
# The last two leave out states, and two thirds of the time: of 40 planted faults, a free or a check for NULL left
# out, 9 are found so and 10 without.
OPTIONS = ["-O0", "-fanalyzer", "-fdiagnostics-plain-output", "-Wno-error", "-Wno-analyzer-too-complex",
           "--param=analyzer-max-enodes-per-program-point=3", "--param=analyzer-bb-explosion-factor=2"]


def jobs(build):
    seen = set()
    for entry in json.loads((build / "compile_commands.json").read_text()):
        file = (pathlib.Path(entry["directory"]) / entry["file"]).resolve()
        if file in seen or not file.is_relative_to(ROOT / "src"):
            continue
        seen.add(file)
        yield entry, str(file.relative_to(ROOT))


def analyze(job):
    entry, file = job
    words = [word for word in shlex.split(entry["command"]) if word not in ("ccache", "-Werror")]
    for option in ("-o", "-MF"):
        words[words.index(option) + 1] = "/dev/null"
    words += OPTIONS if file in PLAIN else OPTIONS + ["-include", str(ROOT / ".ci/analyzer.h")]
    done = subprocess.run(words, cwd=entry["directory"], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    found = []
    for line in done.stderr.splitlines():
        match = FINDING.match(line)
        if match:
            where = (pathlib.Path(entry["directory"]) / match[1]).resolve().relative_to(ROOT)
            found.append((str(where), match[2], line))
    return found


def main():
    wrong, seen = 0, set()
    with concurrent.futures.ThreadPoolExecutor(len(os.sched_getaffinity(0))) as pool:
        for found in pool.map(analyze, jobs(pathlib.Path(sys.argv[1]))):
            for file, kind, line in found:
                seen.add((file, kind))
                if (file, kind) not in KNOWN:
                    print(line)
                    wrong += 1
    for file, kind in sorted(KNOWN.keys() - seen):
        print(f"{file}: {kind} is no longer found and may leave the list")
    sys.exit(bool(wrong))


main()
