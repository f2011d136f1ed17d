#!/bin/sh
# Twenty minutes of each fuzzer.
exec sh "$(dirname -- "$0")/run.sh" "${FUZZ_MINUTES:-20}"
