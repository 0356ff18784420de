"""The page has a sentence for every wish of the table, and asks for what it says.

usage: check_wishes.py PROJECT_FOLDER
"""
import pathlib
import re
import sys

FORM = {
    "read_players": "one",
    "read_pairs": "two",
    "read_min_rotations": "count",
    "read_slots": "place",
    "read_max_substitutions": "limit",
}


def main():
    source = pathlib.Path(sys.argv[1]) / "src"
    table = (source / "core/wish_table.h").read_text(encoding="utf-8")
    page = (source / "page/wishes.tsx").read_text(encoding="utf-8")
    wishes = {key: FORM[reader] for key, reader in
              re.findall(r'^WISH\(SX_\w+,\s*"(\w+)",\s*(\w+),', table, re.M)}
    said = dict(re.findall(r'\{ kind: "(\w+)", form: "(\w+)"', page))
    assert len(wishes) == len(re.findall(r"^WISH\(", table, re.M)) > 0
    assert said == wishes, sorted(set(said.items()) ^ set(wishes.items()))


main()
