/*
 * cmocka with what it wants included before it, and two checks for functions that fail the way
 * ours do.
 */
#ifndef HARNESS_CMOCKA_H
#define HARNESS_CMOCKA_H

/* clang-format off */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
/* clang-format on */

#include "base/err.h"

/* The call succeeds; what it complains of is shown when it does not. */
#define assert_done(call, err)                                                                     \
    do {                                                                                           \
        if (!(call))                                                                               \
            fail_msg("%s: %s", #call, (err)->text);                                                \
    } while (0)

/* The call fails with this code. */
#define assert_fails(call, expected, err)                                                          \
    do {                                                                                           \
        if (call)                                                                                  \
            fail_msg("%s: it was done, and should have failed", #call);                            \
        if ((err)->code != (expected))                                                             \
            fail_msg("%s: %s instead of %s: %s", #call, err_code_name((err)->code),                \
                     err_code_name(expected), (err)->text);                                        \
    } while (0)

#endif
