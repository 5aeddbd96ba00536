// comma_locale.c - preloaded into a program, it sets the environment's locale before main begins.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our programs never ask for a locale, so LC_ALL alone would change nothing; a program that links
// the library may have asked. If the decimal point does not become a comma the run would prove
// nothing: stop.
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

__attribute__((constructor)) static void speak_comma(void) {
    const char *name = setlocale(LC_ALL, "");
    (void)setlocale(LC_MESSAGES, "C");  // the tests compare the system's words, too
    if (name != NULL && localeconv()->decimal_point[0] == ',') return;
    fputs("comma_locale: the locale has no comma\n", stderr);
    abort();
}
