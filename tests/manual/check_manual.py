"""The manual and the completions say what --help says. groff renders the pages and each shell that is
there completes a line; what they show is held against the program's help.

usage: check_manual.py PROGRAM FOLDER
"""
import pathlib
import re
import shutil
import subprocess
import sys


def run(*command, **more):
    done = subprocess.run(command, capture_output=True, text=True, **more)
    assert done.returncode == 0 and not done.stderr, (command, done.stderr)
    return done.stdout


def options_of(help_text):
    return set(re.findall(r"^  (-\S+)", help_text, flags=re.M))


def rendered(page):
    text = run("groff", "-man", "-ww", "-Tutf8", "-P-c", "-P-b", "-P-u", "-rLL=500n", str(page))
    return text.replace("\u2010", "-").replace("\u2212", "-").replace("\u2019", "'")


def missing_word(words, text):
    """The first of these words that the text does not have in this order."""
    at = 0
    for word in words:
        at = text.find(word, at)
        if at < 0:
            return word
        at += len(word)
    return None


def check_page(command, help_text, page):
    text = rendered(page)
    body = text[text.index("SYNOPSIS"):]
    words = help_text.removeprefix("usage:").split()
    assert missing_word(words, body) is None, (page.name, missing_word(words, body))
    shown = set(re.findall(r"^ {7}(-\S+)", text, flags=re.M))
    assert shown == options_of(help_text), (page.name, shown ^ options_of(help_text))
    assert f"sixturn-{command}" in text.split("SYNOPSIS")[0]


def bash_says(folder, *words):
    script = ('source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _sixturn; '
              'printf "%s\\n" "${COMPREPLY[@]}"')
    return set(run("bash", "-c", script, "bash", str(folder / "sixturn"), *words).split())


def zsh_says(folder, *words):
    """What the function hands to zsh's own helpers: options with their texts, or commands."""
    script = ('file=$1; shift; words=("$@"); CURRENT=$#; _arguments() { print -rl -- "$@" }; '
              '_describe() { print -rl -- "${(@P)2}" }; source $file')
    said = run("zsh", "-f", "-c", script, "zsh", str(folder / "_sixturn"), *words).splitlines()
    return {re.match(r"\*?(-*\w[\w-]*)", line)[1] for line in said if not line.startswith("*:")}


def fish_says(folder, *words):
    script = "source $argv[1]; complete -C \"$argv[2]\""
    said = run("fish", "--no-config", "-c", script, str(folder / "sixturn.fish"), " ".join(words))
    return {line.split("\t")[0] for line in said.splitlines()}


def check_shell(says, folder, commands, program):
    named = says(folder, "sixturn", "")
    assert set(commands) <= named, (says.__name__, set(commands) ^ named)
    for command in commands:
        expected = options_of(run(program, command, "--help"))
        if says is fish_says:  # fish shows short and long options apart
            shown = says(folder, "sixturn", command, "-") | says(folder, "sixturn", command, "--")
        else:
            shown = says(folder, "sixturn", command, "-")
        assert shown - {"--help", "-h"} == expected, (says.__name__, command, shown ^ expected)


def check_values(folder):
    """Values that the help lists are offered: a playing system."""
    assert "6-2-double" in bash_says(folder, "sixturn", "plan", "--system", "6-2-")
    assert bash_says(folder, "sixturn", "sheet", "--paper", "") == {"a4", "letter"}
    assert "5-1-outside" not in bash_says(folder, "sixturn", "plan", "--system", "6-2-")


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    commands = re.findall(r"^  ([a-z]\S*) {2,}", run(program, "--help"), flags=re.M)
    assert len(commands) > 10, commands
    pages = {page.name for page in folder.glob("sixturn*.1")}
    assert pages == {"sixturn.1"} | {f"sixturn-{command}.1" for command in commands}, pages
    listed = rendered(folder / "sixturn.1")
    for command in commands:
        assert f"sixturn-{command}(1)" in listed, command
        check_page(command, run(program, command, "--help"), folder / f"sixturn-{command}.1")
    check_values(folder)
    for shell, says in (("bash", bash_says), ("zsh", zsh_says), ("fish", fish_says)):
        if shutil.which(shell):
            check_shell(says, folder, commands, program)
        else:
            print(f"no {shell} here: its completion is not tried")


main()
