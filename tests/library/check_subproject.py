"""The library not installed, as a subproject of another Meson project.

usage: check_subproject.py MESON PROJECT_FOLDER VERSION PROGRAM.c
"""
import pathlib
import shlex
import shutil
import subprocess
import sys
import tempfile

OUTER = """project('outer', 'c')
executable('outer', 'outer.c', dependencies: dependency('sixturn', fallback: 'sixturn'))
"""
PARTS = ["src", "include", "datasets", "subprojects", "meson.build", "meson_options.txt"]


def run(*command):
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    if done.returncode:
        sys.exit(f"{command}:\n{done.stdout}")
    return done.stdout


def main():
    meson, project, version, source = sys.argv[1:]
    with tempfile.TemporaryDirectory() as name:
        outer = pathlib.Path(name)
        inner = outer / "subprojects/sixturn"
        inner.mkdir(parents=True)
        for part in PARTS:
            (inner / part).symlink_to(pathlib.Path(project).resolve() / part)
        shutil.copy(source, outer / "outer.c")
        (outer / "meson.build").write_text(OUTER)
        run(*shlex.split(meson), "setup", "--buildtype=plain", "--wrap-mode=nodownload",
            str(outer / "build"), str(outer))
        run("ninja", "-C", str(outer / "build"), "outer")
        assert run(str(outer / "build/outer")) == f"{version}\n"


main()
