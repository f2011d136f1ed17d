#!/bin/sh
# The program's functions against libraries that are not ours, live and over many values: TEOS-10
# (Debian's python3-gsw), R and its survival, and the likelihood of Cochran (1950) for most probable
# numbers. Each case says the largest difference found.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin outside

outside=$tree/tests/end/outside
python=/usr/bin/python3 # the one that Debian's packages are for

# lines NAME COMMAND...: what another library says, and what check_lines makes of it.
lines()
{
    name=$1
    shift
    shown="$*"
    status=0
    "$@" >"$name.tsv" 2>"$work/err" || status=$?
    expect_status 0
    [ "$(wc -l <"$name.tsv")" -gt 100 ] || note 'it gave too few values'
    "$build/check_lines" "$name.tsv" >"$name.out" 2>&1 || :
}

# compared NAME FAMILY WORDS: one case for each family of lines.
compared()
{
    told=$(python3 "$outside/differences.py" "$1.tsv" "$1.out" "$2" 2>&1) ||
        note "$told: $(grep "^$2-.*	miss	" "$1.out" | head -n 1)"
    verdict "$3: $told"
}

lines sea "$python" "$outside/sea.py"
compared sea salinity 'practical salinity against gsw SP_from_C'
compared sea density 'density against gsw rho_t_exact'
compared sea 'density at the surface' 'density by practical salinity against gsw rho_t_exact(SR_from_SP)'
compared sea oxygen 'oxygen at saturation against gsw O2sol_SP_pt'
compared sea 'oxygen by mass' 'oxygen in mg/L against gsw, two equations'

lines statistics Rscript --vanilla "$outside/statistics.R"
compared statistics percentile "percentiles against R's nine types"
compared statistics geometric_mean 'geometric means against R'
compared statistics Kaplan-Meier 'Kaplan-Meier means, both conventions, against R survival'
compared statistics doubs 'statistics over the river Doubs (ade4) against R'

lines counts python3 "$outside/counts.py"
compared counts MPN 'most probable numbers against their likelihood'
