#!/bin/sh
# clang-tidy over every source file, two at a time: a case a file.
set -eu

tree=${WEIRBOOK_SOURCE:?} build=${WEIRBOOK_BUILD:?}

find "$tree/src" -name '*.c' | sort | xargs -P 2 -n 1 sh -c '
    name=${3#"$1"/}
    if said=$(clang-tidy --quiet -p "$2" "$3" 2>/dev/null); then
        printf "ok tidy, %s\n" "$name"
    else
        printf "not ok tidy, %s: %s\n" "$name" "$(printf "%s" "$said" | grep -m 1 "error:")"
    fi
    ' tidy "$tree" "$build"
