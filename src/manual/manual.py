"""Writes the manual pages and the completions for bash, zsh and fish from what the program itself says
with --help, so that each command is described in one place, its table of options.

usage: manual.py PROGRAM FOLDER
"""
import dataclasses
import pathlib
import re
import subprocess
import sys


@dataclasses.dataclass
class Option:
    name: str
    value: str  # how help shows it; "" for a flag
    brief: str


@dataclasses.dataclass
class Command:
    name: str
    brief: str
    usage: str = ""
    description: list = dataclasses.field(default_factory=list)  # paragraphs
    options: list = dataclasses.field(default_factory=list)
    notes: list = dataclasses.field(default_factory=list)  # lines as they stand


OPTION = re.compile(r"  (-\S+)(?: (\S+))?(?: {2,}|(?<=.{24}) )(\S.*)")
OVERVIEW = re.compile(r"  ([a-z]\S*) {2,}(\S.*)")


def said(program, *words):
    return subprocess.run([program, *words], check=True, capture_output=True, text=True).stdout


def read_option(line):
    """An option's line: its name, perhaps a value, then what it does, in a column of its own."""
    match = OPTION.fullmatch(line)
    if not match:
        sys.exit(f"manual: cannot read this line of --help: {line!r}")
    return Option(match[1], match[2] or "", match[3])


def read_command(program, name, brief):
    command = Command(name, brief)
    first, *blocks = said(program, name, "--help").rstrip("\n").split("\n\n")
    if not first.startswith("usage: "):
        sys.exit(f"manual: the help of {name} does not open with its usage")
    command.usage = " ".join(first.removeprefix("usage: ").split())
    for block in blocks:
        lines = block.split("\n")
        if lines[0].startswith("  -"):
            for line in lines:
                if line.startswith(" " * 8) and command.options:  # what did not fit on one line
                    command.options[-1].brief += " " + line.strip()
                else:
                    command.options.append(read_option(line))
        elif command.options:
            command.notes.append(lines)
        else:
            command.description.append(lines)
    return command


def read_program(program):
    overview = said(program, "--help").split("\n")
    title = overview[0].partition(": ")[2]
    found = filter(None, map(OVERVIEW.fullmatch, overview))
    commands = [read_command(program, match[1], match[2]) for match in found]
    ending = " ".join(overview[[line.startswith("exit status") for line in overview].index(True):])
    return title, commands, " ".join(ending.split()).removeprefix("exit status: ")


# Manual pages


def roff(text):
    text = text.replace("\\", "\\e").replace("-", "\\-")
    return "\\&" + text if text[:1] in (".", "'") else text


def page_head(name, version, brief):
    return [f'.TH {roff(name.upper())} 1 "" "{roff(version)}" "sixturn"', ".nh", ".SH NAME",
            f"{roff(name)} \\- {roff(brief)}"]


def exit_section(ending):
    lines = [".SH EXIT STATUS"]
    for part in ending.split(", "):
        number, _, meaning = part.partition(" ")
        if number.isdigit():
            lines += [".TP", number, roff(meaning)]
        else:
            lines[-1] += ", " + roff(part)
    return lines


def as_it_stands(lines):
    return [".PP", ".nf", *map(roff, lines), ".fi"]


def command_page(command, version, ending):
    lines = page_head(f"sixturn-{command.name}", version, command.brief)
    lines += [".SH SYNOPSIS", roff(command.usage), ".SH DESCRIPTION"]
    for paragraph in command.description:
        lines += [".PP", roff(" ".join(line.strip() for line in paragraph))]
    if command.options:
        lines.append(".SH OPTIONS")
    for option in command.options:
        value = f" \\fI{roff(option.value)}\\fR" if option.value else ""
        lines += [".TP", f"\\fB{roff(option.name)}\\fR{value}", roff(option.brief)]
    if command.notes:
        lines.append(".SH NOTES")
    for block in command.notes:
        lines += as_it_stands(block)
    return lines + exit_section(ending) + [".SH SEE ALSO", ".BR sixturn (1)"]


def main_page(title, commands, version, ending):
    lines = page_head("sixturn", version, title)
    lines += [".SH SYNOPSIS", "sixturn \\fICOMMAND\\fR ...", ".SH COMMANDS"]
    for command in commands:
        lines += [".TP", f".BR sixturn\\-{roff(command.name)} (1)", roff(command.brief)]
    lines += exit_section(ending)
    lines += [".SH CAUTION",
              "The competition's own rule book and its referees prevail over the rule profiles.",
              "sixturn is no medical advice: who plays after an injury is for the medical staff to say."]
    pages = [f".BR sixturn\\-{roff(command.name)} (1)" for command in commands]
    return lines + [".SH SEE ALSO"] + [page + "," for page in pages[:-1]] + pages[-1:]


# Completions


def listed_words(commands):
    """The words that help lists below the options: "systems: 5-1 6-2" for --system."""
    lists = {}
    for line in (line for command in commands for block in command.notes for line in block):
        key, colon, words = line.partition(":")
        if colon and re.fullmatch(r"[a-z]+s", key):
            lists.setdefault("--" + key, words.split())
            lists.setdefault("--" + key[:-1], words.split())
    taken = {option.name for command in commands for option in command.options}
    return {name: words for name, words in lists.items() if name in taken}


def choices(option, lists):
    """Words that a value may be: given as a|b in the table of options, or listed below it."""
    return option.value.split("|") if "|" in option.value else lists.get(option.name, [])


def takes_file(option):
    return option.value == "FILE" or option.value == "ID" or "." in option.value


HEAD = "# Written from what sixturn --help says."


BASH = """_sixturn() {{
    local current="${{COMP_WORDS[COMP_CWORD]}}" before="${{COMP_WORDS[COMP_CWORD-1]}}"
    local command="${{COMP_WORDS[1]}}" words="" files=""
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        words="{names} --help --version"
    else
        case "$command $before" in
{values}
        *)
            case "$command $current" in
{options}
            *) files=yes ;;
            esac ;;
        esac
    fi
    [ -n "$words" ] && COMPREPLY=($(compgen -W "$words" -- "$current"))
    [ -n "$files" ] && compopt -o filenames 2>/dev/null
    [ -n "$files" ] && COMPREPLY+=($(compgen -f -- "$current"))
    return 0
}}
complete -F _sixturn sixturn"""


def bash(commands, lists):
    values, options = [], []
    for command in commands:
        options.append(f'            "{command.name} -"*) '
                       f'words="{" ".join(option.name for option in command.options)} --help" ;;')
        for option in (option for option in command.options if option.value):
            files = "; files=yes" if takes_file(option) else ""
            values.append(f'        "{command.name} {option.name}") '
                          f'words="{" ".join(choices(option, lists))}"{files} ;;')
    names = " ".join(command.name for command in commands)
    return [HEAD, BASH.format(names=names, values="\n".join(values), options="\n".join(options))]


def zsh_text(text):
    return re.sub(r"([\[\]:\\])", r"\\\1", text).replace("'", "'\\''")


def zsh_value(option, lists):
    words = choices(option, lists)
    if words and takes_file(option):
        return f':{zsh_text(option.value)}:{{ compadd -- {" ".join(words)}; _files }}'
    if words:
        return f':{zsh_text(option.value)}:({" ".join(words)})'
    return f":{zsh_text(option.value)}:{'_files' if takes_file(option) else ' '}"


def zsh(commands, lists):
    lines = ["#compdef sixturn", HEAD, "_sixturn() {", "    local -a commands=("]
    lines += [f"        '{command.name}:{zsh_text(command.brief)}'" for command in commands]
    lines += ["    )", "    if (( CURRENT == 2 )); then", "        _describe command commands",
              "        return", "    fi", '    local command="$words[2]"', "    shift words", "    (( CURRENT-- ))",
              '    case "$command" in']
    for command in commands:
        lines.append(f"    {command.name}) _arguments \\")
        for option in command.options:
            value = zsh_value(option, lists) if option.value else ""
            lines.append(f"        '*{option.name}[{zsh_text(option.brief)}]{value}' \\")
        lines += ["        '--help[explain the command]' '*:file:_files' ;;"]
    return lines + ["    esac", "}", '_sixturn "$@"']


def fish_text(text):
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


def fish(commands, lists):
    lines = [HEAD]
    for command in commands:
        lines.append(f"complete -c sixturn -n __fish_use_subcommand -f -a {command.name} "
                     f"-d {fish_text(command.brief)}")
    for command in commands:
        for option in command.options:
            long = option.name.startswith("--")
            parts = ["complete -c sixturn", f"-n '__fish_seen_subcommand_from {command.name}'",
                     f"-l {option.name[2:]}" if long else f"-s {option.name[1:]}"]
            if option.value:
                parts.append("-r" if takes_file(option) else "-x")
                words = choices(option, lists)
                parts += [f"-a {fish_text(' '.join(words))}"] if words else []
            lines.append(" ".join(parts + [f"-d {fish_text(option.brief)}"]))
    return lines


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    version = said(program, "--version").strip()
    title, commands, ending = read_program(program)
    lists = listed_words(commands)
    files = {"sixturn.1": main_page(title, commands, version, ending), "sixturn": bash(commands, lists),
             "_sixturn": zsh(commands, lists), "sixturn.fish": fish(commands, lists)}
    for command in commands:
        files[f"sixturn-{command.name}.1"] = command_page(command, version, ending)
    for name, lines in files.items():
        (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")


main()
