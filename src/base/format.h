// format.h - printf's formatting with a point in every number, whatever locale the caller has set.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program itself stays in the C locale; one that links the library may not.
#ifndef BW_BASE_FORMAT_H
#define BW_BASE_FORMAT_H

#include "base/err.h"

#include <locale.h>
#include <stdarg.h>

// As snprintf and vsnprintf.
int bw_format(char *to, size_t size, const char *format, ...) BW_PRINTF(3, 4);
int bw_vformat(char *to, size_t size, const char *format, va_list args) BW_PRINTF(3, 0);

// The calling thread in the C locale from enter to leave, for the C library's other conversions.
struct bw_c_locale {
    locale_t own, before;
};
struct bw_c_locale bw_c_locale_enter(void);
void bw_c_locale_leave(struct bw_c_locale entered);

#endif
