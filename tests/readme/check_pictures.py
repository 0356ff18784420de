"""README's pictures are what the program draws of the demo team today: every word and number, every mark, line
and arrow by its name, and the marks where they stand. What only fonts decide, the width of a word and where a
line of words breaks, may differ.

usage: check_pictures.py PROGRAM PROJECT_FOLDER [--write]
With --write it makes the pictures anew.
"""
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

PICTURES = {"rotation.svg": ["--rotation", "1", "--phase", "receive"], "card.svg": ["--for", "4"]}
SVG = "{http://www.w3.org/2000/svg}"
NEAR = 6  # millimetres: marks are as large as the figures in them, and give way by that


def centre(item):
    get = lambda name: float(item.get(name, 0))
    if item.tag == SVG + "circle":
        return get("cx"), get("cy")
    return get("x") + get("width") / 2, get("y") + get("height") / 2


def contents(file):
    root = xml.parse(file).getroot()
    words = sorted(" ".join("".join(text.itertext()) for text in root.iter(SVG + "text")).split())
    named = {item.get("id"): item for item in root.iter() if item.get("id")}
    return words, named


def compare(name, kept, fresh):
    old_words, old = contents(kept)
    words, new = contents(fresh)
    assert words == old_words, f"{name}: other words: {set(words) ^ set(old_words)}"
    assert set(new) == set(old), f"{name}: other parts: {set(new) ^ set(old)}"
    marks = [key for key in new if re.search(r"-mark$", key)]
    assert len(marks) >= 6, name
    for key in marks:
        (x, y), (u, v) = centre(old[key]), centre(new[key])
        assert abs(x - u) <= NEAR and abs(y - v) <= NEAR, f"{name}: {key} has moved"


def main():
    program, root = sys.argv[1], pathlib.Path(sys.argv[2])
    readme = (root / "README.md").read_text()
    with tempfile.TemporaryDirectory() as folder:
        for name, options in PICTURES.items():
            kept = root / "datasets/pictures" / name
            fresh = kept if "--write" in sys.argv else pathlib.Path(folder) / name
            assert f"datasets/pictures/{name}" in readme, f"README does not show {name}"
            subprocess.run([program, "sheet", root / "datasets/junior-12.json", "-o", fresh, *options], check=True)
            compare(name, kept, fresh)


main()
