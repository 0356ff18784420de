#!/bin/sh
# The page's tests: run.sh WORK_DIR SIXTURN.html ENGINE.js SIXTURN PROJECT
# The driver of the browser comes from npm, into the build folder.
set -eu
work=$(realpath "$1") html=$(realpath "$2") engine=$(realpath "$3") program=$(realpath "$4") project=$(realpath "$5")
mkdir -p "$work/npm"
cd "$work/npm"
cp "$project"/tests/page/*.mjs "$project"/tests/page/package*.json .
if ! cmp -s package-lock.json node_modules/installed-lock.json; then
  npm ci --no-audit --no-fund --loglevel error || {
    echo "npm cannot fetch the driver of the browser (tests/page/package-lock.json)" >&2
    exit 1
  }
  cp package-lock.json node_modules/installed-lock.json
fi
size=$(stat -c %s "$html")
echo "the page has $size bytes"
[ "$size" -le 2097152 ] || exit 1
timeout 300 node engine.mjs "$engine" "$program" "$project"
timeout -k 10 500 node page.mjs "$html" "$program" "$project" "$work/seen"
