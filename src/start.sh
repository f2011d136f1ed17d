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

# The invented farm, in a folder of its own that the database's account can reach.
demo()
{
    "$repo/build/weirbook" demo
}

# shellcheck disable=SC2086
need_packages 'to build and run weirbook' $build_packages $run_packages
need_account
printf 'Building in %s/build ...\n' "$repo"
build_tree "$repo/build"
demo
