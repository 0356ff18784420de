"""A compile database in which every source file stands once.

Some files are compiled a second time, for the tool that computes the formation tables, and clang-tidy would
read them as often. What is kept is how the library compiles them.

usage: once.py BUILD_FOLDER NEW_FOLDER
"""
import json
import pathlib
import sys


def main(build, new):
    entries = json.loads((pathlib.Path(build) / "compile_commands.json").read_text())
    kept = {}
    for entry in entries:
        if entry["file"] not in kept or entry["output"].startswith("libsixturn"):
            kept[entry["file"]] = entry
    folder = pathlib.Path(new)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "compile_commands.json").write_text(json.dumps(list(kept.values()), indent=1))


main(*sys.argv[1:])
