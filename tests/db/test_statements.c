/*
 * Every statement of the catalog, as the role that runs it: the server must take it, its comment
 * must say what the server says, it must be plannable with that role's rights, and none may plan
 * more than two partitions of readings where a month is asked.
 *
 * libpq is used by itself here, because describing a statement is nothing the program does.
 */
#include <ctype.h>
#include <postgresql/libpq-fe.h>
#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "db/sql_catalog.h"
#include "harness/cmocka.h"
#include "harness/scratch.h"

enum { FIELDS_MOST = 64, PARTITIONS_FIT = 2 };

/* --- connections --------------------------------------------------------------------------- */

static struct {
    struct arena *mem;
    PGconn *program;
    PGconn *owner;
    PGconn *admin;
} on;

static PGconn *connection(const char *role)
{
    PGconn *conn = PQconnectdb(arena_printf(on.mem, "%s user=%s", scratch_conninfo(), role));

    if (PQstatus(conn) != CONNECTION_OK)
        fail_msg("%s: %s", role, PQerrorMessage(conn));

    return conn;
}

static PGconn *connection_for(const struct sql_text *sql)
{
    if (str_starts(sql->name, "owner_"))
        return on.owner;

    return str_starts(sql->name, "admin_") ? on.admin : on.program;
}

/* Run SQL of our own; the first field of the first row, in mem. */
static char *query(PGconn *conn, const char *sql)
{
    PGresult *result = PQexec(conn, sql);
    ExecStatusType status = PQresultStatus(result);

    if (status != PGRES_TUPLES_OK && status != PGRES_COMMAND_OK)
        fail_msg("%s: %s", sql, PQresultErrorMessage(result));

    char *answer = PQntuples(result) ? arena_strdup(on.mem, PQgetvalue(result, 0, 0)) : NULL;

    PQclear(result);

    return answer;
}

static void session_set(PGconn *conn)
{
    query(conn, "set search_path = weirbook, pg_temp");
    query(conn, "set timezone = 'UTC'");
}

/* Ten years of months, and the staging tables that some statements speak of. */
static void world_make(void)
{
    query(on.program, "select reading_partitions('2015-01-01Z', '2024-12-31Z')");
    for (size_t i = 0; i < sql_catalog_count; i++) {
        if (strstr(sql_catalog[i]->text, "create temporary table"))
            query(on.program, sql_catalog[i]->text);
    }
}

static int setup(void **state)
{
    if (scratch_database_setup(state) != 0)
        return -1;

    on.mem = arena_new();
    on.program = connection("weirbook_program");
    on.owner = connection("weirbook_owner");
    on.admin = connection("weirbook_admin");
    session_set(on.program);
    session_set(on.owner);
    session_set(on.admin);
    world_make();

    return 0;
}

static int teardown(void **state)
{
    PQfinish(on.program);
    PQfinish(on.owner);
    PQfinish(on.admin);
    arena_free(&on.mem);

    return scratch_database_teardown(state);
}

/* --- what a comment says ------------------------------------------------------------------- */

struct described {
    const char *types[FIELDS_MOST];
    size_t count;
};

struct comment {
    const char *purpose;
    struct described parameters;
    struct described columns;
    bool returns; /* it says what it returns, if only nothing */
};

/* The comment lines in front of a statement, without their marks, joined by blanks. */
static const char *comment_text(const char *text)
{
    struct buf all = buf_new(on.mem);

    while (str_starts(text, "--")) {
        size_t length = strcspn(text, "\n");

        buf_add(&all, text + 2, length - 2);
        text += length + (text[length] == '\n');
    }

    return all.data;
}

/* "farm bigint, probe text": the type is what follows the name. Commas in () part nothing. */
static void described_parse(struct described *out, const char *list, const char *name)
{
    while (*list) {
        int depth = 0;
        size_t length = 0;

        for (; list[length] && (depth || list[length] != ','); length++)
            depth += (list[length] == '(') - (list[length] == ')');

        char *item = str_trim(on.mem, arena_strndup(on.mem, list, length));
        char *type = strchr(item, ' ');

        if (item[0] == '$')
            type = type ? strchr(type + 1, ' ') : NULL;
        if (!type || out->count == FIELDS_MOST)
            fail_msg("%s: \"%s\" is not a name and a type", name, item);
        out->types[out->count++] = type + 1;
        list += length + (list[length] == ',');
    }
}

static struct comment comment_parse(const struct sql_text *sql)
{
    const char *text = comment_text(sql->text);
    const char *parameters = strstr(text, " $1 ");
    const char *returns = strstr(text, " returns ");
    struct comment comment = {.returns = returns != NULL};
    const char *end = returns ? returns : text + strlen(text);

    if (parameters && parameters < end)
        described_parse(&comment.parameters,
                        arena_strndup(on.mem, parameters, (size_t)(end - parameters)), sql->name);
    if (returns && str_starts(returns, " returns rows: "))
        described_parse(&comment.columns, returns + strlen(" returns rows: "), sql->name);
    else if (returns && !str_starts(returns, " returns nothing"))
        fail_msg("%s: returns neither \"rows: ...\" nor \"nothing\"", sql->name);
    comment.purpose = str_trim(on.mem, arena_strndup(on.mem, text, strcspn(text, "$")));

    return comment;
}

/* --- what kind of statement it is ---------------------------------------------------------- */

/* First word after the comment, in lower case. */
static char *verb(const struct sql_text *sql)
{
    const char *text = sql->text;

    while (str_starts(text, "--"))
        text += strcspn(text, "\n") + 1;

    return str_lower(on.mem, arena_strndup(on.mem, text, strcspn(text, " \n;(")));
}

/* Whether it is one that the server plans. */
static bool is_planned(const struct sql_text *sql)
{
    static const char *const planned[] = {"select", "insert", "update", "delete", "with"};
    char *word = verb(sql);

    for (size_t i = 0; i < ARRAY_LEN(planned); i++) {
        if (str_equal(word, planned[i]))
            return true;
    }

    return false;
}

/* --- tests --------------------------------------------------------------------------------- */

static const char *type_name(Oid type)
{
    return query(on.program, arena_printf(on.mem, "select format_type(%u, null)", (unsigned)type));
}

/* The type as the server spells it: int4 and int are integer. */
static const char *type_known(const char *type, const char *name)
{
    char *known = query(on.program, arena_printf(on.mem,
                                                 "select format_type(to_regtype($$%s$$),"
                                                 " null)",
                                                 type));

    if (!known || !*known || str_equal(known, "-"))
        fail_msg("%s: no type %s", name, type);

    return known;
}

static void assert_types(const struct sql_text *sql, const char *what, const struct described *said,
                         int count, const PGresult *server, Oid (*type)(const PGresult *, int))
{
    if (said->count != (size_t)count)
        fail_msg("%s: the comment has %zu %s, the server %d", sql->name, said->count, what, count);
    for (int i = 0; i < count; i++) {
        const char *expected = type_known(said->types[i], sql->name);
        const char *found = type_name(type(server, i));

        if (!str_equal(expected, found))
            fail_msg("%s: %s %d is %s by the comment and %s by the server", sql->name, what, i + 1,
                     expected, found);
    }
}

static void prepare(PGconn *conn, const struct sql_text *sql)
{
    PGresult *result = PQprepare(conn, sql->name, sql->text, 0, NULL);

    if (PQresultStatus(result) != PGRES_COMMAND_OK)
        fail_msg("%s: %s", sql->name, PQresultErrorMessage(result));
    PQclear(result);
}

static void every_statement_is_taken_and_its_comment_says_what_the_server_says(void **state)
{
    (void)state;
    assert_true(sql_catalog_count > 0);
    for (size_t i = 0; i < sql_catalog_count; i++) {
        const struct sql_text *sql = sql_catalog[i];
        PGconn *conn = connection_for(sql);
        struct comment comment = comment_parse(sql);

        if (str_equal(verb(sql), "copy"))
            continue;
        prepare(conn, sql);

        PGresult *server = PQdescribePrepared(conn, sql->name);

        assert_types(sql, "parameters", &comment.parameters, PQnparams(server), server,
                     PQparamtype);
        assert_types(sql, "columns", &comment.columns, PQnfields(server), server, PQftype);
        assert_int_equal(PQnparams(server), sql->parameters);
        PQclear(server);
        query(conn, arena_printf(on.mem, "deallocate %s", sql->name));
    }
}

static void every_statement_says_what_it_does_and_what_it_returns(void **state)
{
    (void)state;
    for (size_t i = 0; i < sql_catalog_count; i++) {
        struct comment comment = comment_parse(sql_catalog[i]);

        if (strlen(comment.purpose) < 8 || !isupper((unsigned char)comment.purpose[0]))
            fail_msg("%s: its first line does not say what it does", sql_catalog[i]->name);
        if (!comment.returns)
            fail_msg("%s: does not say what it returns", sql_catalog[i]->name);
    }
}

/* A value fit for a parameter: a month of 2020 where time is asked for. */
static const char *value_for(const char *type, bool first)
{
    static const struct {
        const char *type;
        const char *first;
        const char *later;
    } values[] = {
        {"timestamp with time zone", "'2020-05-01Z'", "'2020-05-31Z'"},
        {"date", "'2020-05-01'", "'2020-05-31'"},
        {"boolean", "true", "true"},
        {"\"char\"", "'='", "'='"},
        {"text", "'x'", "'x'"},
        {"bytea", "'x'", "'x'"},
        {"jsonb", "'[]'", "'[]'"},
        {"uuid", "'7b0e6a0e-0d5c-4b6e-9d0a-1f0e6a0e0d5c'",
         "'7b0e6a0e-0d5c-4b6e-9d0a-1f0e6a0e0d5c'"},
    };
    size_t length = strlen(type);

    if (length > 2 && strcmp(type + length - 2, "[]") == 0)
        return "'{}'";
    for (size_t i = 0; i < ARRAY_LEN(values); i++) {
        if (str_equal(type, values[i].type))
            return first ? values[i].first : values[i].later;
    }

    return "1";
}

/* "explain execute name ('2020-05-01Z', ...)" */
static const char *explain_text(const struct sql_text *sql)
{
    struct comment comment = comment_parse(sql);
    struct buf text = buf_new(on.mem);
    bool seen_time = false;

    buf_addf(&text, "explain execute %s", sql->name);
    for (size_t i = 0; i < comment.parameters.count; i++) {
        const char *type = type_known(comment.parameters.types[i], sql->name);
        bool time = str_equal(type, "timestamp with time zone") || str_equal(type, "date");

        buf_addf(&text, "%s%s", i ? ", " : " (", value_for(type, !(time && seen_time)));
        seen_time = seen_time || time;
    }
    if (comment.parameters.count)
        buf_add_char(&text, ')');

    return text.data;
}

/* How many months of readings a plan looks at: names like reading_2020_05. */
static size_t partitions_in(const char *plan)
{
    char seen[200][16];
    size_t count = 0;

    for (const char *at = plan; (at = strstr(at, " on reading_2")); at += 5) {
        char name[16];
        bool known = false;

        snprintf(name, sizeof(name), "%.15s", at + 4);
        for (size_t i = 0; i < count && !known; i++)
            known = strcmp(seen[i], name) == 0;
        if (!known && count < ARRAY_LEN(seen))
            memcpy(seen[count++], name, sizeof(name));
    }

    return count;
}

static const char *plan_of(PGconn *conn, const struct sql_text *sql)
{
    struct buf plan = buf_new(on.mem);
    PGresult *result = PQexec(conn, explain_text(sql));

    if (PQresultStatus(result) != PGRES_TUPLES_OK)
        fail_msg("%s: %s", sql->name, PQresultErrorMessage(result));
    for (int row = 0; row < PQntuples(result); row++)
        buf_addf(&plan, "%s\n", PQgetvalue(result, row, 0));
    PQclear(result);

    return plan.data;
}

/* Where more than a month is asked, how many months that is at most, and why. */
static size_t partitions_fit(const struct sql_text *sql)
{
    static const struct {
        const char *name;
        size_t months;
        const char *reason;
    } wide[] = {
        {"reading_neighbours", 2 * 15, "a meter may have been read 400 days before or after"},
        {"reading_newest", 122, "the last samples before a month may be years old"},
    };

    for (size_t i = 0; i < ARRAY_LEN(wide); i++)
        if (str_equal(sql->name, wide[i].name))
            return wide[i].months;

    return PARTITIONS_FIT;
}

/*
 * Explaining checks the role's rights as running does. A plan made for the values and one made
 * for any values must both leave out the months that are not asked for.
 */
static void every_statement_is_planned_by_its_role_and_looks_at_two_months_at_most(void **state)
{
    static const char *const modes[] = {"force_custom_plan", "force_generic_plan"};
    size_t of_readings = 0;

    (void)state;
    for (size_t i = 0; i < sql_catalog_count; i++) {
        const struct sql_text *sql = sql_catalog[i];
        PGconn *conn = connection_for(sql);

        if (!is_planned(sql))
            continue;
        prepare(conn, sql);
        for (size_t mode = 0; mode < ARRAY_LEN(modes); mode++) {
            query(conn, arena_printf(on.mem, "set plan_cache_mode = %s", modes[mode]));

            const char *plan = plan_of(conn, sql);
            size_t months = partitions_in(plan);

            of_readings += months > 0;
            if (months > partitions_fit(sql))
                fail_msg("%s (%s): looks at %zu months\n%s", sql->name, modes[mode], months, plan);
        }
        query(conn, arena_printf(on.mem, "deallocate %s", sql->name));
    }
    assert_true(of_readings > 0);
}

/* What shows that the limit above can be passed: a statement without bounds. */
static void a_statement_without_bounds_would_be_found(void **state)
{
    static const struct sql_text all = {
        "test_all", "-- All.\n-- returns rows: count bigint\nselect count(*) from reading_now", 0};

    (void)state;
    prepare(on.program, &all);
    assert_true(partitions_in(plan_of(on.program, &all)) > 100);
    query(on.program, "deallocate test_all");
}

/* Begin a copy and give it up; what is wrong with it, or NULL. */
static const char *copy_problem(const struct sql_text *sql)
{
    PGconn *conn = connection_for(sql);
    PGresult *result = PQexec(conn, sql->text);
    const char *problem = NULL;

    if (PQresultStatus(result) != PGRES_COPY_IN)
        problem = arena_strdup(on.mem, PQresultErrorMessage(result));
    else if (!PQbinaryTuples(result))
        problem = "is not binary";
    PQclear(result);
    PQputCopyEnd(conn, "only looking");
    while ((result = PQgetResult(conn)))
        PQclear(result);

    return problem;
}

static void every_copy_is_binary_and_its_role_may_do_it(void **state)
{
    size_t wrong = 0;

    (void)state;
    for (size_t i = 0; i < sql_catalog_count; i++) {
        if (!str_equal(verb(sql_catalog[i]), "copy"))
            continue;

        const char *problem = copy_problem(sql_catalog[i]);

        if (problem)
            print_error("%s: %s\n", sql_catalog[i]->name, problem);
        wrong += problem != NULL;
    }
    assert_int_equal(wrong, 0);
}

static void no_statement_says_what_would_bind_us_to_one_machine_or_zone(void **state)
{
    static const struct {
        const char *word;
        const char *reason;
    } rows[] = {
        {"merge into", "a spread table takes it only by its key"},
        {"skip locked", "locks are per machine"},
        {"date_trunc", "days are the farm's, worked out by base/zone"},
        {"set timezone", "nothing relies on a session's zone"},
        {"set time zone", "nothing relies on a session's zone"},
        {"nextval", "rows are named by keys that need no counter"},
    };

    (void)state;
    for (size_t i = 0; i < sql_catalog_count; i++) {
        char *text = str_lower(on.mem, sql_catalog[i]->text);

        for (size_t j = 0; j < ARRAY_LEN(rows); j++) {
            if (strstr(text, rows[j].word))
                fail_msg("%s: says %s, but %s", sql_catalog[i]->name, rows[j].word, rows[j].reason);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_statement_is_taken_and_its_comment_says_what_the_server_says),
        cmocka_unit_test(every_statement_says_what_it_does_and_what_it_returns),
        cmocka_unit_test(every_statement_is_planned_by_its_role_and_looks_at_two_months_at_most),
        cmocka_unit_test(a_statement_without_bounds_would_be_found),
        cmocka_unit_test(every_copy_is_binary_and_its_role_may_do_it),
        cmocka_unit_test(no_statement_says_what_would_bind_us_to_one_machine_or_zone),
    };

    return cmocka_run_group_tests_name("db/statements", tests, setup, teardown);
}
