// test_node.c - the node tree: order, keys, counts, every allocation failing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/node.h"

#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static struct bw_node *text(struct bw_arena *arena, const char *of) {
    struct bw_node *node = bw_node_text(arena, of, strlen(of));
    assert_non_null(node);
    return node;
}

static void test_map_keeps_order(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *map = bw_node_new(arena, BW_NODE_MAP);
    static const char *const KEYS[] = {"drum", "belt", "platen", "a longer key with spaces"};
    for (size_t i = 0; i < 4; i++)
        assert_true(bw_node_add_key(arena, map, KEYS[i], text(arena, KEYS[3 - i])));
    assert_int_equal(bw_node_count(map), 4);
    size_t i = 0;
    for (const struct bw_node *child = map->child; child != NULL; child = child->next, i++) {
        assert_string_equal(child->key, KEYS[i]);
        assert_string_equal(child->text, KEYS[3 - i]);
        assert_ptr_equal(bw_node_find(map, KEYS[i]), child);
    }
    assert_null(bw_node_find(map, "dru"));
    assert_null(bw_node_find(map, "drums"));
    assert_null(bw_node_find(map, ""));
    bw_arena_free(arena);
}

static void test_list_and_empty(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *list = bw_node_new(arena, BW_NODE_LIST);
    assert_int_equal(bw_node_count(list), 0);
    assert_null(bw_node_find(list, "drum"));
    for (int i = 0; i < 3; i++) bw_node_add(list, text(arena, "item"));
    assert_int_equal(bw_node_count(list), 3);
    assert_null(bw_node_find(list, "item"));  // items have no keys
    assert_ptr_equal(list->last, list->child->next->next);
    bw_arena_free(arena);
}

// Text and key are copies; a text may hold any byte and is closed by a NUL.
static void test_texts_are_copies(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    char key[] = "key", bytes[] = "a\0b-rest";
    struct bw_node *map = bw_node_new(arena, BW_NODE_MAP), *node = bw_node_text(arena, bytes, 3);
    assert_true(bw_node_add_key(arena, map, key, node));
    memset(key, 'x', sizeof key - 1);
    memset(bytes, 'x', sizeof bytes);
    assert_ptr_equal(bw_node_find(map, "key"), node);
    assert_int_equal(node->length, 3);
    assert_memory_equal(node->text, "a\0b", 4);
    assert_int_equal(node->kind, BW_NODE_TEXT);
    assert_int_equal(node->line, 0);
    bw_arena_free(arena);
}

static bool build(void *with) {
    (void)with;
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return false;
    struct bw_node *map = bw_node_new(arena, BW_NODE_MAP);
    bool all = map != NULL;
    // Long enough that arena blocks run out in every place.
    for (int i = 0; all && i < 3000; i++) {
        struct bw_node *node = bw_node_text(arena, "a text of some length", 21);
        all = node != NULL && bw_node_add_key(arena, map, "some key", node);
    }
    bw_arena_free(arena);
    return all;
}

static void test_no_memory(void **state) {
    (void)state;
    assert_in_range(torture(build, NULL), 4, 30);
    // A key alone that does not fit leaves the map as it was.
    struct bw_arena *arena = bw_arena_new(2 * sizeof(struct bw_node) + 4);
    struct bw_node *map = bw_node_new(arena, BW_NODE_MAP), *node = text(arena, "abc");
    assert_false(bw_node_add_key(arena, map, "key", node));
    assert_int_equal(bw_node_count(map), 0);
    assert_null(bw_node_text(arena, "", 0));
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_map_keeps_order),
        cmocka_unit_test(test_list_and_empty),
        cmocka_unit_test(test_texts_are_copies),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests_name("node", tests, NULL, NULL);
}
