"""Every public header stands alone, in strict C17 and C++17, with warnings as errors; sixturn.h includes
them all, and each opens and closes the declarations for C++.

usage: check_headers.py INCLUDE_FOLDER CC CXX
"""
import pathlib
import re
import subprocess
import sys

WARNINGS = ["-fsyntax-only", "-Wall", "-Wextra", "-Wpedantic", "-Werror"]


def complaint(compiler, language, standard, folder, header):
    program = f'#include "sixturn/{header}"\nint sx_here;\n'
    command = [compiler, f"-x{language}", f"-std={standard}", *WARNINGS, f"-I{folder}", "-"]
    done = subprocess.run(command, input=program, capture_output=True, text=True)
    return done.stderr if done.returncode else ""


def main():
    folder, c, cxx = sys.argv[1:]
    headers = sorted(path.name for path in (pathlib.Path(folder) / "sixturn").glob("*.h"))
    whole = (pathlib.Path(folder) / "sixturn/sixturn.h").read_text()
    wrong = []
    for header in headers:
        wrong.append(complaint(c, "c", "c17", folder, header))
        wrong.append(complaint(cxx, "c++", "c++17", folder, header))
        text = (pathlib.Path(folder) / "sixturn" / header).read_text()
        if header in ("sixturn.h", "api.h"):
            continue
        if f'#include "sixturn/{header}"' not in whole:
            wrong.append(f"sixturn.h does not include {header}")
        if len(re.findall(r"^SX_C_(?:BEGIN|END)$", text, flags=re.M)) != 2:
            wrong.append(f"{header} lacks SX_C_BEGIN or SX_C_END")
    wrong = [text for text in wrong if text]
    print("\n".join(wrong))
    sys.exit(bool(wrong))


main()
