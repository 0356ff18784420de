#!/bin/sh
# Compiles the engine to WebAssembly with Debian's emscripten:
#   engine.sh SOURCE_ROOT WORK_DIR OUT.js OUT.wasm FILE.c ...
# GLPK and cJSON come as Debian's source packages, from the archive that apt knows; GLPK's files are
# compiled directly, since its configure script fails on emscripten's test program.
set -eu
root=$1 work=$2 script=$3 code=$4
shift 4
export NODE_PATH=/usr/share/nodejs # where Debian's emscripten finds its JavaScript tools
flags="-O2 -w -std=gnu17 -sSUPPORT_LONGJMP=emscripten"
mkdir -p "$work/objects" "$work/cjson/cjson"

if [ ! -d "$work/glpk" ]; then
  "$root/src/page/sources.sh" "$work/packages"
  mkdir -p "$work/glpk" "$work/cjson-source"
  tar -xf "$work"/packages/glpk_*.orig.tar.gz -C "$work/glpk" --strip-components=1
  tar -xf "$work"/packages/cjson_*.orig.tar.gz -C "$work/cjson-source" --strip-components=1
fi
cp "$work/cjson-source/cJSON.h" "$work/cjson/cjson/"
glpk=$work/glpk/src
include="-I$root/include -I$root/src -I$work/cjson $(find "$glpk" -type d -exec printf -- '-I%s ' {} +)"

compile() { # one file a call, only if it is newer than its object
  object=$work/objects/$(echo "$1" | tr '/.' '__').o
  [ -f "$object" ] && [ ! "$1" -nt "$object" ] && return 0
  # shellcheck disable=SC2086
  emcc $flags $include -DSIXTURN_VERSION='"page"' -c "$1" -o "$object.part" && mv "$object.part" "$object"
}

if [ "${SIXTURN_COMPILE:-}" ]; then
  compile "$SIXTURN_COMPILE"
  exit
fi
list=$work/list
{
  find "$glpk" -name '*.c' ! -path '*/proxy/main.c'
  echo "$work/cjson-source/cJSON.c"
  for file; do echo "$file"; done
} > "$list"
xargs -P "$(nproc)" -I{} env SIXTURN_COMPILE={} "$0" "$root" "$work" "$script" "$code" < "$list"

objects=$(while read -r file; do echo "$work/objects/$(echo "$file" | tr '/.' '__').o"; done < "$list")
# shellcheck disable=SC2086
emcc $flags $objects -o "$work/engine.js" -sMODULARIZE=1 -sEXPORT_NAME=sixturnEngine \
  -sENVIRONMENT=worker,node -sALLOW_MEMORY_GROWTH=1 -sINITIAL_MEMORY=33554432 -sFILESYSTEM=0 \
  -sEXPORTED_FUNCTIONS=_malloc,_free,_sx_door_ask \
  -sEXPORTED_RUNTIME_METHODS=UTF8ToString,stringToUTF8,lengthBytesUTF8 --no-entry
cp "$work/engine.js" "$script"
cp "$work/engine.wasm" "$code"
