// format.c - see format.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// uselocale, which POSIX has, changes the locale of one thread alone. newlocale(LC_ALL_MASK, "C")
// hands out a built-in locale in glibc and musl: it allocates nothing and cannot fail.
#include "base/format.h"

#include <assert.h>

struct bw_c_locale bw_c_locale_enter(void) {
    struct bw_c_locale entered = {.own = newlocale(LC_ALL_MASK, "C", (locale_t)0)};
    assert(entered.own != (locale_t)0);
    entered.before = uselocale(entered.own);
    return entered;
}

void bw_c_locale_leave(struct bw_c_locale entered) {
    (void)uselocale(entered.before);
    freelocale(entered.own);
}

int bw_vformat(char *to, size_t size, const char *format, va_list args) {
    struct bw_c_locale entered = bw_c_locale_enter();
    int n = vsnprintf(to, size, format, args);
    bw_c_locale_leave(entered);
    return n;
}

int bw_format(char *to, size_t size, const char *format, ...) {
    va_list args;
    va_start(args, format);
    int n = bw_vformat(to, size, format, args);
    va_end(args);
    return n;
}
