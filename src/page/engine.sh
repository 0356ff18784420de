#!/bin/sh
# Compiles the engine to WebAssembly with Debian's emscripten:
#   engine.sh SOURCE_ROOT WORK_DIR VERSION OUT.d OUT.js OUT.wasm FILE.c ...
# GLPK and cJSON come as Debian's source packages, from the archive that apt knows; GLPK's files are
# compiled directly, since its configure script fails on emscripten's test program.
set -eu
root=$1 work=$2 version=$3 depfile=$4 script=$5 code=$6
shift 6
export NODE_PATH=/usr/share/nodejs # where Debian's emscripten finds its JavaScript tools
flags="-O2 -w -std=gnu17 -sSUPPORT_LONGJMP=emscripten"
mkdir -p "$work/objects" "$work/cjson/cjson"

if [ ! -d "$work/glpk" ]; then
  "$root/src/page/sources.sh" "$work/packages"
  rm -rf "$work/glpk.part"
  mkdir -p "$work/glpk.part" "$work/cjson-source"
  tar -xf "$work"/packages/cjson_*.orig.tar.gz -C "$work/cjson-source" --strip-components=1
  tar -xf "$work"/packages/glpk_*.orig.tar.gz -C "$work/glpk.part" --strip-components=1
  mv "$work/glpk.part" "$work/glpk"
fi
cp -u "$work/cjson-source/cJSON.h" "$work/cjson/cjson/"
glpk=$work/glpk/src

object_of() { # a name of its own for each file
  echo "$work/objects/$(echo "${1#"$work"/}" | tr '/.' '__').o"
}

compile() { # one file a call, only if it or a header of ours is newer than its object
  object=$(object_of "$1")
  case $1 in
    "$work"/*) include=$(find "$glpk" -type d -exec printf -- '-I%s ' {} +) newest= ;;
    *) include="-I$root/include -I$root/src" newest=$(cat "$work/newest") ;;
  esac
  if [ -f "$object" ] && [ ! "$1" -nt "$object" ] && [ ! "${newest:-$1}" -nt "$object" ]; then
    return 0
  fi
  # shellcheck disable=SC2086
  emcc $flags $include -I"$work/cjson" -I"$glpk" "-DSIXTURN_VERSION=\"$version\"" -c "$1" -o "$object.part"
  mv "$object.part" "$object"
}

if [ "${SIXTURN_COMPILE:-}" ]; then
  compile "$SIXTURN_COMPILE"
  exit
fi
headers=$(find "$root/include" "$root/src" -name '*.h')
# shellcheck disable=SC2086
ls -t $headers | head -n 1 > "$work/newest"
printf '%s: %s\n' "$script" "$(echo "$headers" | tr '\n' ' ')" > "$depfile"
{
  find "$glpk" -name '*.c' ! -path '*/proxy/main.c'
  echo "$work/cjson-source/cJSON.c"
  printf '%s\n' "$@"
} > "$work/list"
xargs -P "$(nproc)" -I{} env SIXTURN_COMPILE={} "$0" "$root" "$work" "$version" "$depfile" "$script" "$code" < "$work/list"

objects=$(while read -r file; do object_of "$file"; done < "$work/list")
# shellcheck disable=SC2086
emcc $flags $objects -o "$work/engine.js" -sMODULARIZE=1 -sEXPORT_NAME=sixturnEngine \
  -sENVIRONMENT=worker,node -sALLOW_MEMORY_GROWTH=1 -sINITIAL_MEMORY=33554432 -sFILESYSTEM=0 \
  -sEXPORTED_FUNCTIONS=_malloc,_free,_sx_door_ask \
  -sEXPORTED_RUNTIME_METHODS=UTF8ToString,stringToUTF8,lengthBytesUTF8 --no-entry
cp "$work/engine.js" "$script"
cp "$work/engine.wasm" "$code"
