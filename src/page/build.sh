#!/bin/sh
# Type-checks and bundles the page: build.sh WORK_DIR OUT.html ENGINE.js ENGINE.wasm FILE ...
# npm's packages go into the build, not into the source.
set -eu
mkdir -p "$1"
work=$1 out=$(realpath -m "$2") script=$(realpath "$3") code=$(realpath "$4")
shift 4
cp "$@" "$work/"
cd "$work"
if ! cmp -s package-lock.json node_modules/installed-lock.json; then
  npm ci --no-audit --no-fund --loglevel error || {
    echo "The page needs the packages in src/page/package-lock.json: npm cannot fetch them (see above;" >&2
    echo "'npm config get registry' says where it looks)." >&2
    exit 1
  }
  cp package-lock.json node_modules/installed-lock.json
fi
npx tsc
node build.mjs "$script" "$code" "$out"
