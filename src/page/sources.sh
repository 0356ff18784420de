#!/bin/sh
# Fetches the source packages of GLPK and cJSON from the Debian archive that apt is set up for, into
# the folder given; apt's own lists stay as they are.
set -eu
out=$1
mkdir -p "$out/parts" "$out/lists/partial"
for file in /etc/apt/sources.list /etc/apt/sources.list.d/*.list; do
  [ -f "$file" ] && sed -n 's/^deb /deb-src /p' "$file" >> "$out/parts/all.list"
done
for file in /etc/apt/sources.list.d/*.sources; do
  [ -f "$file" ] && sed 's/^Types:.*/Types: deb-src/' "$file" > "$out/parts/$(basename "$file")"
done
set -- -q -o Dir::Etc::sourcelist=/dev/null -o "Dir::Etc::sourceparts=$out/parts" -o "Dir::State::lists=$out/lists" \
  -o APT::Sandbox::User=root
apt-get "$@" update
cd "$out"
apt-get "$@" source --download-only glpk cjson
