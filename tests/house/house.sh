#!/bin/sh
# The house keeps its own rules: layers, owners of outside libraries, pure rooms, who prints, where
# SQL stands, who begins transactions, sizes, the top folder, and words that have no place here.
# Every rule is tried on a planted offence too, so that it can fail.
set -eu

tree=${WEIRBOOK_SOURCE:-$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)}
here=$tree/tests/house
planted=$(mktemp -d "${WEIRBOOK_SCRATCH:-/tmp}/house.XXXXXX")
trap 'rm -rf -- "$planted"' EXIT

# Offences in the sources of a tree: RULE <tab> FILE:LINE: what.
source_offences()
{
    find "$1/src" -name '*.[ch]' | sort >"$planted/files"
    LC_ALL=C xargs awk -f "$here/house.awk" "$1/src/rooms.cmake" <"$planted/files"
}

# judge RULE TEXT FILE: a case, from the offences kept in a file.
judge()
{
    if grep "^$1	" "$3" >"$planted/of-rule"; then
        while IFS='	' read -r rule what; do
            printf 'not ok house, %s: %s\n' "$rule" "$what"
        done <"$planted/of-rule"
    else
        printf 'ok house, %s: %s\n' "$1" "$2"
    fi
}

# plant RULE ROOM LINE: a tree of one file with this line must be an offence against just this rule.
plant()
{
    rm -rf "$planted/tree"
    mkdir -p "$planted/tree/src/$2"
    cp "$tree/src/rooms.cmake" "$planted/tree/src/"
    printf '%s\n' "$3" >"$planted/tree/src/$2/planted.c"
    shown=$(printf '%s' "$3" | tr -d '\n')
    found=$(source_offences "$planted/tree" | cut -f 1 | sort -u | tr '\n' ' ')
    if [ "$found" = "$1 " ]; then
        printf 'ok house, %s is noticed: %s in %s/\n' "$1" "$shown" "$2"
    else
        printf 'not ok house, %s is noticed: %s in %s/: found "%s"\n' "$1" "$shown" "$2" "$found"
    fi
}

# allow ROOM LINE: no offence.
allow()
{
    rm -rf "$planted/tree"
    mkdir -p "$planted/tree/src/$1"
    cp "$tree/src/rooms.cmake" "$planted/tree/src/"
    printf '%s\n' "$2" >"$planted/tree/src/$1/planted.c"
    found=$(source_offences "$planted/tree")
    if [ -z "$found" ]; then
        printf 'ok house, allowed: %s in %s/\n' "$2" "$1"
    else
        printf 'not ok house, allowed: %s in %s/: found "%s"\n' "$2" "$1" "$found"
    fi
}

source_offences "$tree" >"$planted/offences"
judge layers 'each file includes its own room and lower ones' "$planted/offences"
judge owners 'each outside library is used by its owners alone' "$planted/offences"
judge pure 'rooms that work things out know no clock, file or database' "$planted/offences"
judge quiet 'only the top rooms print' "$planted/offences"
judge sql 'statements stand in sql/' "$planted/offences"
judge transactions 'app/ and db/ alone begin transactions' "$planted/offences"
judge size 'no source file is over 600 lines' "$planted/offences"

plant layers stat '#include "db/db.h"'
plant layers plan '#include "stat/amount.h"'
plant layers base '#include "err.h"'
plant layers cellar 'int one;'
plant owners store '#include <libpq-fe.h>'
plant owners base '#include <curl/curl.h>'
plant pure judge '#include <time.h>'
plant pure stat '#include "base/clock.h"'
plant pure ledger 'static FILE *out;'
plant pure plan 'long now = time(NULL);'
plant quiet store 'printf("stored");'
plant sql store 'run("select * from reading");'
# shellcheck disable=SC2016
plant sql app '"  from reading where farm_id = $1 "'
plant sql store '"INSERT INTO reading VALUES"'
plant sql store 'run("select 1");'
plant sql db '"BEGIN;"'
plant transactions store 'db_tx_begin(db, 1, &tx, err);'
plant size base "$(awk 'BEGIN { while (i++ < 601) print "" } END { print "int one;" }' /dev/null)"
allow db '#include <libpq-fe.h>'
allow stat '/* #include "db/db.h" and FILE *, time() are only spoken of */'
allow app 'err_set(err, ERR_INVALID, "select a station from the list");'
allow ingest '"Delete it and type the line again."'
allow app '/* twice */ db_tx_begin(db, 1, &tx, err); // "/*"'

# The top folder is the agreed one.
agreed='.ci .clang-format .clang-tidy .gitignore CMakeLists.txt DEVELOPERS.md LICENSE README.md
fixtures reports sql src tests'
extra=
for entry in "$tree"/* "$tree"/.[!.]*; do
    name=${entry##*/}
    case " $(printf '%s' "$agreed" | tr '\n' ' ') .git build " in
    *" $name "*) ;;
    *)
        case $name in
        build-*) ;;
        *) extra="$extra $name" ;;
        esac
        ;;
    esac
done
missing=
for name in $agreed; do
    [ -e "$tree/$name" ] || missing="$missing $name"
done
if [ -z "$extra$missing" ]; then
    printf 'ok house, the top folder holds what was agreed\n'
else
    printf 'not ok house, the top folder: beyond what was agreed:%s; missing:%s\n' \
        "${extra:- nothing}" "${missing:- nothing}"
fi

# Words that have no place in the tree, put together here so that this file holds none of them.
words='TO''DO|FIX''ME|XX''X:|/wor''k/|/ho''me/[a-z]|\.\./sha''red|/\.libr''ary|seed docu''ment'
words="$words|deb\\.debi""an\\.org|pypi\\.o""rg|npm""js"
wrong_words()
{
    (cd "$1" && find . -path ./.git -prune -o -path './build*' -prune -o -type f \
        -exec env LC_ALL=C grep -HnIE "$words" -- {} +) || :
}

found=$(wrong_words "$tree")
if [ -z "$found" ]; then
    printf 'ok house, no word that has no place here\n'
else
    printf '%s\n' "$found" | cut -c 1-160 | sed 's/^/not ok house, words: /'
fi
rm -rf "$planted/tree"
mkdir -p "$planted/tree"
printf 'TO''DO later\n' >"$planted/tree/planted.txt"
case $(wrong_words "$planted/tree") in
*planted.txt:1:*) printf 'ok house, a word that has no place here is noticed\n' ;;
*) printf 'not ok house, a word that has no place here is noticed: it was not\n' ;;
esac
