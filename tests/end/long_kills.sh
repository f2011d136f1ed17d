#!/bin/sh
# kills.sh with a thousand files.
set -eu

WEIRBOOK_ROUNDS=${WEIRBOOK_ROUNDS:-1000} exec sh "$(dirname -- "$0")/kills.sh"
