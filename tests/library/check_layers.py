"""Who may include whom: check_layers.py PROJECT

The page include/sixturn/sixturn.h lists every public header under its layer. A file includes headers
of its own layer and of the layers below, nobody outside model a private header of it, and no chain
of includes comes back to where it began."""
import pathlib
import re
import sys

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
if len(graph) < 60:
    mistakes.append(f"only {len(graph)} headers seen: is this the project?")
print("\n".join(mistakes) or f"{len(graph)} headers in {len(layers)} layers")
sys.exit(1 if mistakes else 0)
