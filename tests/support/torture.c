// torture.c - see torture.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/torture.h"

#include "base/alloc.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define MAX_TRIES 1000000

unsigned long torture(bool (*work)(void *with), void *with) {
    long live = bw_alloc_live();
    for (unsigned long n = 1; n < MAX_TRIES; n++) {
        bw_alloc_fail_at(n);
        bool done = work(with);
        bw_alloc_fail_at(0);
        assert_int_equal(bw_alloc_live(), live);
        if (done) return n - 1;
    }
    fail_msg("the work does not get through with %d allocations", MAX_TRIES);
    return 0;
}
