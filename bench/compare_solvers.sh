#!/usr/bin/env bash
# The same exported lineup programs, solved by us, by cbc and by HiGHS, in one run.
#
# usage: bench/compare_solvers.sh [BUILD]      BUILD is the build folder, 'build' if not given
#
# cbc: Debian package coinor-cbc. HiGHS: the npm package 'highs' in node_modules here or in the
# folder that the environment variable HIGHS names; each is left out, and said so, if it is missing.
# Times in milliseconds, median of three. cbc's hold the start of its process (a hundredth of a second
# or so); ours and those of HiGHS do not, but ours hold the building of the program and theirs the
# reading of it.
set -euo pipefail
cd "$(dirname "$0")/.."
build=${1:-build}
runs=3
folder=$(mktemp -d)
trap 'rm -r "$folder"' EXIT

median() { sort -n | sed -n "$(((runs + 1) / 2))p"; }

highs_js='
const path = require("path"), fs = require("fs");
const root = path.resolve(process.argv[1]), runs = +process.argv[2];
require(path.join(root, "highs"))().then(highs => {
  for (const file of process.argv.slice(3)) {
    const text = fs.readFileSync(file, "utf8"), times = [];
    let value;
    for (let k = 0; k < runs; k++) {
      const start = performance.now();
      value = highs.solve(text, {mip_rel_gap: 0, mip_abs_gap: 1e-7}).ObjectiveValue;
      times.push(performance.now() - start);
    }
    times.sort((a, b) => a - b);
    console.log(path.basename(file, ".lp"), times[Math.floor(runs / 2)].toFixed(1), value);
  }
});'

have_cbc=$(command -v cbc || true)
highs_root=${HIGHS:-node_modules}
have_highs=
if command -v node >/dev/null && test -d "$highs_root/highs"; then have_highs=yes; fi
test -n "$have_cbc" || echo "cbc is not installed: left out"
test -n "$have_highs" || echo "node or the npm package highs is not there: left out"

SIXTURN="$build/sixturn" "$build/bench/bench_plan" "$folder" >"$folder/ours"
if test -n "$have_highs"; then
  node -e "$highs_js" "$highs_root" "$runs" "$folder"/model-*.lp >"$folder/highs"
fi

printf '%7s  %-12s %8s %8s %8s  %9s %9s\n' players system ours cbc highs cbc/ours highs/ours
tail -n +3 "$folder/ours" | while read -r players system _ ours _ _; do
  model="model-$players-$system"
  cbc_time=-
  highs_time=-
  if test -n "$have_cbc"; then
    cbc_time=$(for ((k = 0; k < runs; k++)); do
      start=$(date +%s%N)
      cbc "$folder/$model.lp" ratioGap 0 allowableGap 0 solve >/dev/null
      echo $((($(date +%s%N) - start) / 10000))
    done | median | awk '{ printf "%.1f", $1 / 100 }')
  fi
  if test -n "$have_highs"; then
    highs_time=$(awk -v model="$model" '$1 == model { print $2 }' "$folder/highs")
  fi
  awk -v p="$players" -v s="$system" -v o="$ours" -v c="$cbc_time" -v h="$highs_time" 'BEGIN {
    printf "%7d  %-12s %8s %8s %8s  %9s %9s\n", p, s, o, c, h,
      c == "-" ? "-" : sprintf("%.1f", c / o), h == "-" ? "-" : sprintf("%.1f", h / o) }'
done
