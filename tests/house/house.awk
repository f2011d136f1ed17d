# The rules of the house, checked line by line over the source files named after src/rooms.cmake.
# Prints an offence a line: RULE <tab> FILE:LINE: what.
#
#   layers        a file includes its own room and rooms of lower rank
#   owners        each outside header has its owner rooms; any other header is the system's
#   pure          rooms that only work things out know no clock, file or database
#   quiet         only the top rooms and main.c print
#   sql           statements stand in sql/, not in C
#   transactions  only app/ and db/ begin transactions
#   size          no file over 600 lines

BEGIN {
    # Rooms that only work things out.
    split("measure ledger stat trust plan quantity judge derive harvest", words, " ")
    for (i in words)
        pure[words[i]] = 1

    # Outside header (the part up to a slash, or all of it) -> rooms that may include it.
    owners["libpq-fe.h"] = "db"
    owners["xlsxwriter.h"] = "report"
    owners["udunits2.h"] = "measure"
    owners["yaml.h"] = "base"
    owners["gmp.h"] = "base"
    owners["openssl"] = "base"
    owners["zip.h"] = "base"
    owners["expat.h"] = "base"
    owners["jansson.h"] = "base"
    owners["iconv.h"] = "base"
    owners["curl"] = "message"

    # Headers of the C library and of Linux.
    split("assert ctype dirent errno fcntl fnmatch ftw getopt glob grp inttypes langinfo " \
          "limits locale math netdb poll pthread pwd regex sched setjmp signal spawn stdalign " \
          "stdarg stdatomic stdbool stddef stdint stdio stdlib stdnoreturn string strings " \
          "syslog termios tgmath time unistd wchar wctype", words, " ")
    for (i in words)
        system_header[words[i] ".h"] = 1
    system_header["sys"] = system_header["linux"] = system_header["netinet"] = 1
    system_header["arpa"] = 1

    # In pure rooms neither these headers ...
    split("time.h unistd.h fcntl.h dirent.h poll.h pwd.h signal.h pthread.h sys netinet " \
          "base/clock.h base/file.h", words, " ")
    for (i in words)
        impure_header[words[i]] = 1
    # ... nor these words.
    impure_word = "(^|[^a-z0-9_])(FILE|fopen|freopen|fread|fwrite|time|gettimeofday|" \
                  "clock_gettime|localtime|localtime_r|gmtime|getenv|setlocale)( \\*|\\()"

    printing = "(^|[^a-z0-9_])(printf|vprintf|fprintf|vfprintf|puts|fputs|putchar|perror|syslog)\\("
    # Before the program ends for want of memory or randomness.
    may_print["src/base/arena.c"] = may_print["src/base/crypto.c"] = 1
    split("cli web serve embed", words, " ")
    for (i in words)
        printing_room[words[i]] = 1

    # Two words that only a statement has together, in lower or in upper case: an error text in
    # English begins with a capital or has no such pair.
    statement = "\"[^\"]*(select .* from [a-z_.]+|insert into [a-z_]|delete from [a-z_]|" \
                "update [a-z_.]+ set |returning [a-z_]|where .* = [$][0-9]|order by |group by |" \
                "(create|alter|drop) (table|database|role|schema|function|view|index|policy|" \
                "extension|system|or replace) |truncate (table )?[a-z_]+ *[;\"]|" \
                "(grant|revoke) [a-z, ]+ on |copy .* (from|to) std|savepoint [a-z_]+|" \
                "set (local|role|session) |lock table |with [a-z_]+ as [(])|\"select [a-z0-9_()]+;?\"|\"(begin|commit|rollback);? *\""
    upper = toupper(statement)
    gsub(/\[A-Z/, "[A-Za-z", upper)
    english = "select .* from (the|a|an|your|each|this|these|its|one|all) "
    # Made before there is a server to run a file of sql/.
    may_hold_sql["src/cluster/make.c"] = 1
    # What the server answers to a statement, by name.
    may_hold_sql["src/db/transaction.c"] = 1
}

function offence(rule, what)
{
    printf "%s\t%s:%d: %s\n", rule, path, FNR, what
}

function in_list(word, list)
{
    return index(" " list " ", " " word " ") > 0
}

# src/rooms.cmake: room(NAME RANK ...
FILENAME ~ /src\/rooms\.cmake$/ {
    if (match($0, /^ *room\([a-z]+ [0-9]+/)) {
        line = substr($0, RSTART, RLENGTH)
        sub(/^ *room\(/, "", line)
        split(line, fields, " ")
        rank[fields[1]] = fields[2] + 0
    }
    next
}

FNR == 1 {
    path = FILENAME
    sub(/^.*\/src\//, "src/", path)
    split(path, parts, "/")
    room = parts[3] == "" ? "main" : parts[2]
    if (room != "main" && room != "embed" && !(room in rank))
        offence("layers", "the folder '" room "' is no room of src/rooms.cmake")
    in_comment = 0
}

FNR == 601 {
    offence("size", "the file is over 600 lines")
}

# Take comments off: what is left in `code` is what the compiler sees. A comment's opening inside
# a text is not one, so texts are looked at first.
{
    code = $0
    if (in_comment) {
        if (!match(code, /\*\//))
            next
        code = substr(code, RSTART + 2)
        in_comment = 0
    }
    while (match(code, /^([^"\/]|"([^"\\]|\\.)*"|\/[^*\/])*\/\*/)) {
        before = substr(code, 1, RLENGTH - 2)
        rest = substr(code, RLENGTH + 1)
        if (match(rest, /\*\//))
            code = before " " substr(rest, RSTART + 2)
        else {
            code = before
            in_comment = 1
            break
        }
    }
}

code ~ /^[ \t]*#[ \t]*include/ {
    if (match(code, /"[^"]*"/)) {
        name = substr(code, RSTART + 1, RLENGTH - 2)
        split(name, parts, "/")
        if (parts[2] == "")
            offence("layers", "'" name "' is included without its room")
        else if (room == "embed" || !(parts[1] in rank))
            offence("layers", "includes '" name "', of no room it may use")
        else if (room != "main" && parts[1] != room && rank[parts[1]] >= rank[room])
            offence("layers", "room '" room "' includes '" name "', which is not below it")
        if (room in pure && name in impure_header)
            offence("pure", "includes '" name "'")
    } else if (match(code, /<[^>]*>/)) {
        name = substr(code, RSTART + 1, RLENGTH - 2)
        split(name, parts, "/")
        first = parts[1]
        if (first in owners) {
            if (!in_list(room, owners[first]))
                offence("owners", "'" name "' belongs to " owners[first] "/")
        } else if (!(first in system_header))
            offence("owners", "'" name "' has no owner in tests/house/house.awk")
        if (room in pure && first in impure_header)
            offence("pure", "includes '" name "'")
    }
    next
}

room in pure && code ~ impure_word {
    offence("pure", "uses a clock, a file or the environment: " $0)
}

code ~ printing && !(room in printing_room) && room != "main" && !(path in may_print) {
    offence("quiet", "prints: " $0)
}

code ~ /"/ && room != "embed" && !(path in may_hold_sql) && code !~ english {
    if (code ~ statement || code ~ upper)
        offence("sql", "a statement outside sql/: " $0)
}

code ~ /(^|[^a-z_])db_tx_begin\(/ && room != "app" && room != "db" {
    offence("transactions", "begins a transaction: " $0)
}
