#!/bin/sh
# Type-checks and bundles the page: build.sh SOURCE_DIR WORK_DIR ENGINE.js ENGINE.wasm OUT.html
# npm's packages go into the build, not into the source.
set -eu
source=$1 work=$2 script=$(realpath "$3") code=$(realpath "$4") out=$(realpath -m "$5")
mkdir -p "$work"
for file in "$source"/*.ts "$source"/*.tsx "$source"/*.js "$source"/*.mjs "$source"/*.json "$source"/*.css "$source"/*.html; do
  cp "$file" "$work/"
done
cd "$work"
[ node_modules/.package-lock.json -nt package-lock.json ] || npm ci --no-audit --no-fund --silent
npx tsc
node build.mjs "$script" "$code" "$out"
