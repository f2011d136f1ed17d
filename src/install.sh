# What start.sh and tests/run.sh need from the machine. Read by them with `.`, not run by itself.
# Plain POSIX sh.

build_packages="gcc libc6-dev cmake make pkg-config libpq-dev libxlsxwriter-dev libyaml-dev
libudunits2-dev libssl-dev libzip-dev libexpat1-dev libjansson-dev libgmp-dev
libcurl4-openssl-dev"
run_packages="postgresql-15 tzdata"
test_packages="libcmocka-dev libcsv-dev python3 python3-openpyxl libreoffice-calc-nogui
poppler-utils clang-tidy faketime python3-gsw r-base-core r-cran-survival r-cran-ade4
python3-aiosmtpd openssl"

# stop STATUS LINE...: say why, and end.
stop()
{
    status=$1
    shift
    printf '%s\n' "$@" >&2
    exit "$status"
}

# What to put before a command that only root may run, in $root_by. Never asks unless somebody
# sits at a terminal.
find_root()
{
    if [ "$(id -u)" -eq 0 ]; then
        root_by=
    elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
        root_by='sudo -n'
    elif command -v sudo >/dev/null 2>&1 && [ -t 0 ] && [ -t 2 ]; then
        root_by=sudo
    else
        stop 3 "This needs root once, and can't ask here. Run as root:" "" "    $*" "" \
            "Then run the same script again."
    fi
}

# Those of the packages named that are not installed, on one line.
missing_packages()
{
    for package in "$@"; do
        case $(dpkg-query -W -f='${Status}' "$package" 2>/dev/null) in
        'install ok installed') ;;
        *) printf '%s ' "$package" ;;
        esac
    done
}

# A server package makes a cluster of its own that nobody here uses. Say no, unless the machine's
# keeper has said something about it already.
no_main_cluster()
{
    where=/etc/postgresql-common/createcluster.d
    grep -qs '^[[:space:]]*create_main_cluster' "$where"/*.conf \
        /etc/postgresql-common/createcluster.conf && return 0
    $root_by mkdir -p "$where"
    printf '%s\n' '# Weirbook makes a cluster of its own in its data folder.' \
        'create_main_cluster = false' | $root_by tee "$where/weirbook.conf" >/dev/null
}

# need_packages WHY PACKAGE...: install what is missing, saying so first.
need_packages()
{
    why=$1
    shift
    command -v dpkg-query >/dev/null 2>&1 && command -v apt-get >/dev/null 2>&1 ||
        stop 3 "This script installs with apt, and this machine has none. Needed, $why:" "    $*"
    missing=$(missing_packages "$@")
    missing=${missing% }
    [ -n "$missing" ] || return 0

    printf 'Installing with apt, %s:\n    %s\n' "$why" "$missing"
    find_root "apt-get update && apt-get install -y --no-install-recommends $missing"
    case " $missing " in
    *' postgresql-'*) no_main_cluster ;;
    esac
    apt_log=$(mktemp "${TMPDIR:-/tmp}/weirbook-apt.XXXXXX")
    run_apt update
    # shellcheck disable=SC2086
    run_apt install -y --no-install-recommends $missing
    rm -f -- "$apt_log"
}

# apt-get, shown only when it fails.
run_apt()
{
    # shellcheck disable=SC2086
    if ! $root_by env DEBIAN_FRONTEND=noninteractive apt-get -qq -o Dpkg::Use-Pty=0 \
        -o DPkg::Lock::Timeout=300 "$@" </dev/null >"$apt_log" 2>&1; then
        tail -n 20 "$apt_log" >&2
        stop 3 "apt-get $1 failed: see above, and all of it in $apt_log. Is the network there?"
    fi
}

# Root can't run the database server itself: an account of its own does.
need_account()
{
    [ "$(id -u)" -eq 0 ] || return 0
    getent passwd weirbook >/dev/null && return 0
    command -v adduser >/dev/null 2>&1 || need_packages 'to make an account' adduser
    printf 'Making the system account weirbook, which runs the database when root uses it.\n'
    adduser --system --quiet --group --home /var/lib/weirbook --no-create-home weirbook >&2 ||
        stop 3 "The account could not be made: see above."
}

# build_tree FOLDER OPTION...: configure and build; what the compiler says goes to FOLDER/build.log
# and is shown when it fails.
build_tree()
{
    folder=$1
    shift
    mkdir -p "$folder" || stop 3 "Can't make the folder $folder."
    if ! { cmake -S "$repo" -B "$folder" "$@" &&
        cmake --build "$folder" -j "$(nproc)"; } >"$folder/build.log" 2>&1; then
        tail -n 40 "$folder/build.log" >&2
        stop 4 "The build failed: see above, and all of it in $folder/build.log."
    fi
}
