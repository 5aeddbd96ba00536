// test_toy.c - the toy study through every face.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Words, options, documents, schema, help, man, completion, library, plots, findings. What is
// asserted here holds for any study, because nothing in the faces knows the toy.
#include "beltwright/beltwright.h"
#include "toy.h"
#include "typed.h"

#include "base/alloc.h"
#include "base/json.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#define STOCK "tests/house/stock.yaml"
// 2 m x 0.9 m x 18 mm x 650 kg/m3 = 21.06 kg; ± 0.5 mm of thickness is ± 0.585 kg.
#define PANEL "beltwright toy " STOCK " --length '2 m' --width '900 mm' "

static void answers_in_text(void **state) {
    (void)state;
    type_expect(PANEL, 0,
                "The batch weighs 21.1 ± 0.6 kg.\n"
                "\n"
                "part        mass\n"
                "------  --------\n"
                "panels  21.06 kg\n",
                "");
}

static const struct CMUnitTest TESTS[] = {
    cmocka_unit_test(answers_in_text),
};

static int setup(void **state) {
    (void)state;
    toy_register();
    return unsetenv("COLUMNS");
}

int main(void) { return cmocka_run_group_tests(TESTS, setup, NULL); }
