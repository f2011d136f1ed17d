#!/bin/sh
# Install what is missing, build, and show the invented demo farm. Run again, it says what is
# there already and changes nothing.
#
#     sh src/start.sh
#
# Ends with 0 when all went well, 3 when the machine lacks something that can't be installed, 4
# when the build failed, else with what weirbook ended with.
set -eu

repo=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
# shellcheck source=src/install.sh
. "$repo/src/install.sh"

case ${1:-} in
'') ;;
*)
    printf '%s\n' 'sh src/start.sh' '' \
        'Installs what is missing (saying what and why first), builds, makes the invented demo' \
        'farm in a folder of its own and shows what it says. Takes no options.'
    [ "$1" = --help ] && exit 0
    exit 2
    ;;
esac

files=$repo/fixtures/quillmere
books=$repo/build/demo
months='2026-02 2026-03 2026-04'

# The demo's records lie in a folder of their own that the database's account can reach.
if [ "$(id -u)" -eq 0 ]; then
    data=/var/lib/weirbook-demo
else
    data=${XDG_DATA_HOME:-$HOME/.local/share}/weirbook-demo
fi

weirbook()
{
    "$repo/build/weirbook" "$@" --data "$data"
}

book()
{
    printf '%s/quillmere-discharge-%s.xlsx' "$books" "$1"
}

demo_complete()
{
    for month in $months; do
        [ -s "$(book "$month")" ] || return 1
    done
    weirbook status --quiet 2>/dev/null
}

# Every step can be done twice: a run that was cut off is simply gone on with.
demo_make()
{
    if weirbook status --quiet 2>&1 | grep -q 'another build'; then
        stop 4 "$data holds the demo of another build of weirbook." \
            "It is invented, so it may go: rm -r $data, then run this again."
    fi
    printf '\nMaking the demo farm in %s ...\n' "$data"
    mkdir -p "$books"
    weirbook farm load "$files/farm.yaml" --by wren --quiet
    weirbook confirm --by wren --quiet
    weirbook take-in logger "$files"/logger-2026-0[234].csv --by ash --quiet
    weirbook take-in meter-sheet "$files/meter-2026.csv" --by ash --quiet
    weirbook take-in outlet-sheet "$files/outlet-2026.csv" --by ash --quiet
    for sheet in 02-03 02-10 02-10-again 02-17 02-24 03-03 03-13 03-17 03-17-corrected 03-31 \
        04-07 04-14 04-21 04-28; do
        weirbook take-in laboratory "$files/lab-2026-$sheet.csv" --by wren --quiet
    done
    weirbook check --quiet
    for month in $months; do
        [ -s "$(book "$month")" ] ||
            weirbook report discharge "$month" --by wren --out "$(book "$month")" --quiet
    done
}

demo_show()
{
    printf '\nWhat is on record\n-----------------\n'
    weirbook status --brief
    printf '\nWhat was set aside, and why\n---------------------------\n'
    weirbook aside
    printf '\nWhat the records say\n--------------------\n'
    for month in 2026-02 2026-03; do
        weirbook check "$month" --brief
        printf '\n'
    done
    weirbook check 2026-04
}

demo_next()
{
    printf '\nThe workbooks of the three months, drafts for a person to read and sign:\n'
    for month in $months; do
        printf '  %s\n' "$(book "$month")"
    done
    cat <<END

Everything in this farm is invented. On a farm the limits are copied from its own licence;
the authority and the licence decide.

To try next, with the demo's records:
  export WEIRBOOK_DATA=$data
  $repo/build/weirbook explain nitrogen-load-day 2026-04
  $repo/build/weirbook aside accept lab-2026-03-17-corrected.csv 3 \\
      --because "the laboratory sent a corrected sheet" --by wren
  $repo/build/weirbook check 2026-03
README.md says how to do the same with your own farm.
END
}

demo()
{
    if demo_complete; then
        printf '\nThe demo farm is there already, in %s. Nothing was changed.\n' "$data"
        weirbook status --brief
    else
        demo_make
        demo_show
    fi
    demo_next
}

# shellcheck disable=SC2086
need_packages 'to build and run weirbook' $build_packages $run_packages
need_account
printf 'Building in %s/build ...\n' "$repo"
build_tree "$repo/build"
demo
