"""What the two libraries show is what the public headers declare.

The shared library exports exactly the names marked SX_API, every declaration in a public header is
marked, and the static library defines no external name without our prefix and no data that can change.

usage: check_symbols.py NM SHARED STATIC HEADER_FOLDER
"""
import pathlib
import re
import subprocess
import sys


def without_comments(text):
    text = re.sub(r"/\*.*?\*/", " ", text, flags=re.S)
    return re.sub(r"^#(.*\\\n)*.*$", "", text, flags=re.M)


def outside_braces(text):
    depth, kept = 0, []
    for letter in text:
        depth -= letter == "}"
        if depth == 0:
            kept.append(letter)
        depth += letter == "{"
    return "".join(kept)


def declared(folder):
    """The names that headers declare, and the declarations that lack SX_API."""
    names, unmarked = set(), []
    for header in sorted(pathlib.Path(folder).glob("*.h")):
        text = outside_braces(without_comments(header.read_text()))
        text = re.sub(r"\bSX_C_(BEGIN|END)\b", "", text)
        text = re.sub(r"__attribute__\s*\(\(.*?\)\)(?=\s*;)", "", text, flags=re.S)
        for declaration in (part.strip() for part in text.split(";")):
            found = re.search(r"(\w+)\s*(\(|\[[^]]*\]\s*$|$)", re.sub(r"^SX_API ", "", declaration))
            if not found or re.match(r"(typedef|enum|struct \w+ *(\{|$)|\w+$)", declaration):
                continue
            names.add(found.group(1))
            if not declaration.startswith("SX_API "):
                unmarked.append(f"{header.name}: {found.group(1)}")
    return names, unmarked


def symbols(nm, *arguments):
    lines = subprocess.run([nm, *arguments], check=True, capture_output=True, text=True).stdout
    found = (line.split() for line in lines.splitlines())
    names = {words[2] for words in found if len(words) == 3 and words[1] in "TDBRVWC"}
    # Two underscores: the compiler's and the sanitizers' own.
    return {name for name in names if not name.startswith("__")}


def writable(nm, static):
    """Data that outlives a call: there must be none, or threads would meet in it."""
    lines = subprocess.run([nm, "--defined-only", "--format=sysv", static], check=True,
                           capture_output=True, text=True).stdout.splitlines()
    fields = ([field.strip() for field in line.split("|")] for line in lines)
    changing = re.compile(r"\.t?(data|bss)(?!\.rel\.ro)")
    return {words[0] for words in fields
            if len(words) == 7 and words[3] == "OBJECT" and changing.match(words[6])}


def complain(heading, names):
    for name in sorted(names):
        print(f"{heading}: {name}")
    return bool(names)


def main():
    nm, shared, static, folder = sys.argv[1:]
    names, unmarked = declared(folder)
    whole = subprocess.run([nm, static], check=True, capture_output=True, text=True).stdout
    exported = symbols(nm, "--dynamic", "--defined-only", shared)
    foreign = {name for name in symbols(nm, "--extern-only", "--defined-only", static)
               if not name.startswith(("sx_", "Sx"))}
    faults = [
        len(names) < 100 and complain("too few declarations were found", {str(len(names))}),
        complain("declared in a public header without SX_API", unmarked),
        complain("declared in a public header, not in the shared library", names - exported),
        complain("in the shared library, not declared in a public header", exported - names),
        "__asan_init" not in whole and complain("writable data in the library", writable(nm, static)),
        complain("external in the static library without the prefix sx_", foreign),
    ]
    sys.exit(any(faults))


main()
