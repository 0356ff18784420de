"""Who may include whom: check_layers.py PROJECT

The page include/sixturn/sixturn.h lists every public header under its layer. A file includes headers
of its own layer and of the layers below, nobody outside model a private header of it, and no chain
of includes comes back to where it began. Nor does a chain of calls from source file to source file,
but for what is listed here with its reason."""
import pathlib
import re
import sys

# Files that call each other, and why they do.
IN_A_CIRCLE = {
    frozenset({"analysis/afterlimit.c", "analysis/bestset.c", "analysis/forecast.c", "analysis/stopping.c"}):
        "a recursion: how six play on when the changes end is a search for the most sets, without changes",
}

project = pathlib.Path(sys.argv[1])
public = project / "include/sixturn"
layers = ["core", "solver", "model", "analysis", "report", "draw", "session", "cli"]
mistakes = []


def includes(file):
    return re.findall(r'^#include "([\w/]+\.h)"', file.read_text(), re.M)


def page():
    layer, listed = None, {"sixturn/api.h": "core"}
    for line in (public / "sixturn.h").read_text().splitlines():
        title = re.match(r"/\* (\w+): ", line)
        if title and title[1] in layers:
            layer = title[1]
        for name in re.findall(r'#include "(sixturn/\w+\.h)"', line):
            if name in listed and name != "sixturn/api.h":
                mistakes.append(f"{name} stands twice in sixturn.h")
            listed.setdefault(name, layer)
    return listed


listed = page()
for header in sorted(public.glob("*.h")):
    name = "sixturn/" + header.name
    if name != "sixturn/sixturn.h" and listed.get(name) is None:
        mistakes.append(f"{name} stands under no layer in sixturn.h")


def layer_of(name):
    return listed.get(name) or name.split("/")[0]


def check(name, file):
    own = layer_of(name)
    for other in includes(file):
        theirs = layer_of(other)
        if theirs not in layers:
            continue
        if layers.index(theirs) > layers.index(own):
            mistakes.append(f"{name} ({own}) includes {other} ({theirs})")
        if other.startswith("model/") and own != "model":
            mistakes.append(f"{name} includes the private header {other}")


graph = {}
for layer in layers:
    for file in sorted((project / "src" / layer).glob("*.[ch]")):
        name = f"{layer}/{file.name}"
        check(name, file)
        if file.suffix == ".h":
            graph[name] = includes(file)
for header in public.glob("*.h"):
    if header.name != "sixturn.h":
        check("sixturn/" + header.name, header)
        graph["sixturn/" + header.name] = includes(header)

done = set()


def walk(name, path):
    if name in path:
        mistakes.append("in a circle: " + " -> ".join(path[path.index(name):] + [name]))
    elif name not in done:
        for other in graph.get(name, []):
            walk(other, path + [name])
        done.add(name)


for name in graph:
    walk(name, [])

# What a source file defines for others, and which other files it so depends on.
DEFINES = re.compile(r"^(?!static)\w[\w *\n]*?\b(sx_\w+)\([^;{]*\)\s*\{", re.M)
sources = {f"{layer}/{file.name}": re.sub(r"/\*.*?\*/|\"(?:\\.|[^\"\\])*\"", "", file.read_text(), flags=re.S)
           for layer in layers for file in sorted((project / "src" / layer).glob("*.c"))
           if file.name != "none.c"}  # stands in for the drawings where they are left out
where = {symbol: name for name, text in sources.items() for symbol in DEFINES.findall(text)}
calls = {name: {where[symbol] for symbol in re.findall(r"\bsx_\w+", text) if symbol in where} - {name}
         for name, text in sources.items()}


def reached_from(name):
    seen, open_ = set(), [name]
    while open_:
        for other in calls[open_.pop()] - seen:
            seen.add(other)
            open_.append(other)
    return seen


reached = {name: reached_from(name) for name in calls}
circles = {frozenset(other for other in reached[name] if name in reached[other])
           for name in calls if name in reached[name]}
for circle in circles - IN_A_CIRCLE.keys():
    mistakes.append("call each other: " + ", ".join(sorted(circle)))
for circle in IN_A_CIRCLE.keys() - circles:
    mistakes.append("no longer call each other and may leave the list: " + ", ".join(sorted(circle)))
if len(where) < 500:
    mistakes.append(f"only {len(where)} functions seen")
if len(graph) < 60:
    mistakes.append(f"only {len(graph)} headers seen: is this the project?")
print("\n".join(mistakes) or f"{len(graph)} headers in {len(layers)} layers")
sys.exit(1 if mistakes else 0)
