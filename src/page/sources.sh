#!/bin/sh
# Fetches the source packages of GLPK and cJSON from the Debian archive that apt is set up for, into
# the folder given; apt's own lists stay as they are. Tarballs that lie there already are taken as they are.
set -eu
mkdir -p "$1/parts" "$1/lists/partial"
out=$(realpath "$1")

have() {
  ls "$out"/glpk_*.orig.tar.gz "$out"/cjson_*.orig.tar.gz > /dev/null 2>&1
}

fail() {
  echo "The page needs the sources of GLPK and cJSON: $1." >&2
  echo "Put glpk_*.orig.tar.gz and cjson_*.orig.tar.gz, from Debian's source packages, into" >&2
  echo "$out and build again." >&2
  exit 1
}

have && exit
command -v apt-get > /dev/null || fail "there is no apt-get to fetch them with"
for file in /etc/apt/sources.list /etc/apt/sources.list.d/*.list; do
  [ -f "$file" ] && sed -n 's/^deb /deb-src /p' "$file" >> "$out/parts/all.list"
done
for file in /etc/apt/sources.list.d/*.sources; do
  [ -f "$file" ] && sed 's/^Types:.*/Types: deb-src/' "$file" > "$out/parts/$(basename "$file")"
done
[ -s "$out/parts/all.list" ] || ls "$out"/parts/*.sources > /dev/null 2>&1 || fail "apt is set up for no archive"
set -- -q -o Dir::Etc::sourcelist=/dev/null -o "Dir::Etc::sourceparts=$out/parts" -o "Dir::State::lists=$out/lists" \
  -o APT::Sandbox::User=root
apt-get "$@" update >&2 || true # one archive of several may be out of reach
cd "$out"
apt-get "$@" source --download-only glpk cjson >&2 || true
have || fail "apt cannot fetch them (see above: is the archive in reach, and has it source packages?)"
