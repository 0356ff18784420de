"""The installed library as another project meets it: `meson install` into a folder of its own, then a
small program built with nothing but what pkg-config says about it.

usage: check_install.py MESON BUILD_FOLDER PREFIX VERSION PROGRAM.c COMPILER...
"""
import pathlib
import shlex
import subprocess
import sys
import tempfile


def run(*command, **more):
    return subprocess.run(command, check=True, capture_output=True, text=True, **more).stdout


def only(folder, pattern):
    found = sorted(folder.rglob(pattern))
    assert len(found) == 1, f"{pattern}: {found}"
    return found[0]


def main():
    meson, build, prefix, version, source, *compiler = sys.argv[1:]
    with tempfile.TemporaryDirectory() as name:
        run(*shlex.split(meson), "install", "-C", build, "--no-rebuild", "--quiet", "--destdir", name)
        root = pathlib.Path(name + prefix)
        config = only(root, "sixturn.pc")
        library = only(root, "libsixturn.so").parent
        only(root, "libsixturn.a")
        assert only(root, "libsixturn.so.0").resolve().name == f"libsixturn.so.{version}"
        assert (root / "include/sixturn/sixturn.h").is_file()
        for place in ("share/man/man1/sixturn.1", "share/man/man1/sixturn-plan.1",
                      "share/bash-completion/completions/sixturn",
                      "share/zsh/site-functions/_sixturn",
                      "share/fish/vendor_completions.d/sixturn.fish"):
            assert (root / place).stat().st_size > 0, place
        about = ["pkg-config", f"--define-variable=prefix={root}", str(config)]
        assert run(*about, "--modversion").strip() == version
        flags = shlex.split(run(*about, "--cflags", "--libs"))
        program = pathlib.Path(name) / "program"
        run(*compiler, "-Wall", "-Werror", source, "-o", str(program), *flags)
        # The archive alone needs what it was built with: Libs.private and Requires.private.
        whole = run(*about, "--static", "--cflags", "--libs")
        whole = whole.replace("-lsixturn", "-l:libsixturn.a")
        archived = pathlib.Path(name) / "archived"
        run(*compiler, source, "-o", str(archived), *shlex.split(whole))
        assert run(str(archived)) == f"{version}\n"
        said = run(str(program), env={"LD_LIBRARY_PATH": str(library)})
        assert said == f"{version}\n", said
        assert run(str(root / "bin/sixturn"), "--version") == f"sixturn {version}\n"


main()
