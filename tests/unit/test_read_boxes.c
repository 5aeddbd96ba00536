// test_read_boxes.c - boxes, items and places of a HEIC directory.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The reader's own file is built in.
#include "read/picture/boxes.c"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_numbers(void **state) {
    (void)state;
    static const unsigned char BYTES[] = {1, 2, 3, 4, 5, 6, 7, 8, 9};
    struct bytes in = {.at = BYTES, .left = sizeof BYTES};
    assert_int_equal(bytes_get(&in, 1), 1);
    assert_int_equal(bytes_get(&in, 0), 0);
    assert_int_equal(bytes_get(&in, 2), 0x0203);
    assert_int_equal(bytes_get(&in, 4), 0x04050607);
    assert_false(in.over);
    assert_int_equal(bytes_get(&in, 4), 0);
    assert_true(in.over);
    assert_int_equal(in.left, 0);
    in = (struct bytes){.at = BYTES, .left = sizeof BYTES};
    assert_true(bytes_get_long(&in, 8) == 0x0102030405060708);
    struct bytes part = bytes_take(&in, 2);
    assert_true(part.over && in.over && part.left == 1);
}

static void test_box_sizes(void **state) {
    (void)state;
    uint32_t kind;
    struct bytes body;
    static const unsigned char LONG[] = {0, 0, 0, 1, 'a', 'b', 'c', 'd', 0,
                                         0, 0, 0, 0, 0,   0,   18,  7,   8};
    struct bytes in = {.at = LONG, .left = sizeof LONG};
    assert_true(box_next(&in, &kind, &body));
    assert_int_equal(kind, KIND('a', 'b', 'c', 'd'));
    assert_int_equal(body.left, 2);
    assert_false(box_next(&in, &kind, &body));
    static const unsigned char REST[] = {0, 0, 0, 0, 'a', 'b', 'c', 'd', 7, 8, 9};
    in = (struct bytes){.at = REST, .left = sizeof REST};
    assert_true(box_next(&in, &kind, &body));
    assert_int_equal(body.left, 3);
    for (unsigned char size = 2; size < 8; size++) {  // shorter than its own head: would never end
        unsigned char small[] = {0, 0, 0, size, 'a', 'b', 'c', 'd', 7, 8, 9};
        in = (struct bytes){.at = small, .left = sizeof small};
        assert_false(box_next(&in, &kind, &body));
        assert_true(in.over);
    }
    static const unsigned char FAR[] = {0, 0, 0, 12, 'a', 'b', 'c', 'd', 7, 8, 9};
    in = (struct bytes){.at = FAR, .left = sizeof FAR};
    assert_false(box_next(&in, &kind, &body));
    static const unsigned char HUGE_BOX[] = {0,   0,   0,   1,   'a', 'b', 'c', 'd',
                                             255, 255, 255, 255, 255, 255, 255, 255};
    in = (struct bytes){.at = HUGE_BOX, .left = sizeof HUGE_BOX};
    assert_false(box_next(&in, &kind, &body));
}

// iloc version 1: item 7 in two pieces, one in the file at base 1000 + 5, then item 9 in the meta
// box.
static const unsigned char PLACES[] = {
    1, 0, 0, 0, 0x44, 0x40, 0, 2,  0, 7, 0, 0, 0, 0, 0, 0, 3, 0xe8, 0, 2, 0, 0, 0, 5, 0, 0, 0, 10,
    0, 0, 1, 0, 0,    0,    0, 20, 0, 9, 0, 1, 0, 0, 0, 0, 0, 0,    0, 1, 0, 0, 0, 2, 0, 0, 0, 3};

static void test_places(void **state) {
    (void)state;
    struct items items = {.places = {.at = PLACES, .left = sizeof PLACES}};
    struct piece piece;
    assert_true(item_piece(&items, 7, 0, &piece));
    assert_true(!piece.inside && piece.at == 1005 && piece.size == 10);
    assert_true(item_piece(&items, 7, 1, &piece));
    assert_true(!piece.inside && piece.at == 1256 && piece.size == 20);
    assert_false(item_piece(&items, 7, 2, &piece));
    assert_true(item_piece(&items, 9, 0, &piece));
    assert_true(piece.inside && piece.at == 2 && piece.size == 3);
    assert_false(item_piece(&items, 8, 0, &piece));
    for (size_t n = 0; n < sizeof PLACES; n++) {  // cut anywhere
        unsigned char *exact = malloc(n == 0 ? 1 : n);
        assert_non_null(exact);
        memcpy(exact, PLACES, n);
        items.places = (struct bytes){.at = exact, .left = n};
        if (item_piece(&items, 9, 0, &piece)) fail_msg("cut at %zu was taken", n);
        free(exact);
    }
}

static void test_places_elsewhere(void **state) {
    (void)state;
    unsigned char copy[sizeof PLACES];
    struct items items = {.places = {.at = copy, .left = sizeof copy}};
    struct piece piece;
    static const struct {
        size_t at;
        unsigned char byte;
    } BAD[] = {{4, 0x54}, {4, 0x43}, {5, 0x10},  // numbers of 5, 3 and 1 bytes
               {0, 3},                           // a version that is not known
               {11, 2},                          // made from other items
               {13, 1}};                         // in another file
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        memcpy(copy, PLACES, sizeof copy);
        copy[BAD[i].at] = BAD[i].byte;
        if (item_piece(&items, 7, 0, &piece)) fail_msg("case %zu was taken", i);
    }
}

// iref: item 3 describes 5; item 5 is made of 1 and 2.
static const unsigned char REFERENCES[] = {0,   0,   0, 0, 0, 0, 0, 14, 'c', 'd', 's', 'c',
                                           0,   3,   0, 1, 0, 5, 0, 0,  0,   16,  'd', 'i',
                                           'm', 'g', 0, 5, 0, 2, 0, 1,  0,   2};
static const unsigned char INFO[] = {0,   0,   0, 0, 0, 2,  0,   0,   0,   20,  'i', 'n',
                                     'f', 'e', 2, 0, 0, 0,  0,   3,   0,   0,   'E', 'x',
                                     'i', 'f', 0, 0, 0, 20, 'i', 'n', 'f', 'e', 2,   0,
                                     0,   0,   0, 5, 0, 0,  'g', 'r', 'i', 'd'};

static void test_references(void **state) {
    (void)state;
    struct items items = {.references = {.at = REFERENCES, .left = sizeof REFERENCES},
                          .info = {.at = INFO, .left = sizeof INFO}};
    assert_int_equal(item_kind(&items, 5), KIND('g', 'r', 'i', 'd'));
    assert_int_equal(item_kind(&items, 4), 0);
    assert_int_equal(item_about(&items, KIND('E', 'x', 'i', 'f'), KIND('c', 'd', 's', 'c'), 5), 3);
    assert_int_equal(item_about(&items, KIND('E', 'x', 'i', 'f'), KIND('c', 'd', 's', 'c'), 4), 0);
    assert_int_equal(item_about(&items, KIND('m', 'i', 'm', 'e'), KIND('c', 'd', 's', 'c'), 5), 0);
    struct bytes ids;
    unsigned size;
    assert_true(item_refers(&items, 5, KIND('d', 'i', 'm', 'g'), &ids, &size));
    assert_int_equal(size, 2);
    assert_int_equal(ids.left, 4);
    assert_int_equal(bytes_get(&ids, 2), 1);
    assert_false(item_refers(&items, 4, KIND('d', 'i', 'm', 'g'), &ids, &size));
    struct items none = {0};
    assert_false(item_refers(&none, 5, KIND('d', 'i', 'm', 'g'), &ids, &size));
    assert_int_equal(item_about(&none, KIND('E', 'x', 'i', 'f'), KIND('c', 'd', 's', 'c'), 5), 0);
}

// ipma: item 5 has properties 2, 1 and one that does not exist.
static void test_properties(void **state) {
    (void)state;
    static const unsigned char LIST[] = {0, 0, 0, 9, 'a', 'a', 'a', 'a', 1,
                                         0, 0, 0, 9, 'b', 'b', 'b', 'b', 2};
    static const unsigned char OWNERS[] = {0, 0, 0,    0, 0, 0, 0,    2, 0,
                                           4, 1, 0x81, 0, 5, 3, 0x82, 1, 9};
    struct items items = {.properties = {.at = LIST, .left = sizeof LIST},
                          .owners = {.at = OWNERS, .left = sizeof OWNERS}};
    uint32_t kind;
    struct bytes body;
    assert_true(item_property(&items, 5, 0, &kind, &body));
    assert_int_equal(kind, KIND('b', 'b', 'b', 'b'));
    assert_true(item_property(&items, 5, 1, &kind, &body));
    assert_int_equal(bytes_get(&body, 1), 1);
    assert_false(item_property(&items, 5, 2, &kind, &body));
    assert_false(item_property(&items, 5, 3, &kind, &body));
    assert_false(item_property(&items, 6, 0, &kind, &body));
    assert_true(item_property_find(&items, 4, KIND('a', 'a', 'a', 'a'), &body));
    assert_false(item_property_find(&items, 4, KIND('b', 'b', 'b', 'b'), &body));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_numbers),    cmocka_unit_test(test_box_sizes),
        cmocka_unit_test(test_places),     cmocka_unit_test(test_places_elsewhere),
        cmocka_unit_test(test_references), cmocka_unit_test(test_properties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
