// fuzz_knowledge.c - any bytes as knowledge, findings, calls and answers: usable, or a message.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The first byte says what the rest is: k a knowledge file by itself, s a shop's file on a small
// one, f a findings document, c a call, a an answer as typed, h a caller's sentence.
#include "base/bind.h"
#include "base/utf8.h"
#include "reason/call.h"
#include "reason/lint.h"

#include <stdlib.h>
#include <string.h>

#define MOST_CAUSES 40  // more are enumerated as well, but not a thousand times a second

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) abort();
}

static const char SMALL[] =
    "shape: knowledge/1\n"
    "assumptions: {travel: 120 min, lock_out: 8 min, close_up: 4 min, prove: 6 min, failed: 60 "
    "min,\n"
    "  specialist: 1200 min, wait: 5 min, patience: 1 min, hour: 80, down: 0.3, together: 0.15,\n"
    "  unlisted: 0.03, unsaid: 0.3, doubt: 1.0, doubt_weight: 0.7, wrong_symptom: 0.1,\n"
    "  wrong_ask: 0.17, wrong_look: 0.05, wrong_measure: 0.05, wrong_swap: 0.05,\n"
    "  strength_weight: 40, strength_link: 8}\n"
    "causes:\n"
    "  - {id: one, group: belt, weight: 10, name: one, plain: One.}\n"
    "  - {id: two, group: machine, weight: 20, name: two, plain: Two.}\n"
    "checks:\n"
    "  - {id: sign, kind: symptom, minutes: 1 min, question: Sign, how: Look, yes: there, no: "
    "none,\n"
    "     words: [washboard, marks across], leak: 0.02, given: [one at 0.9, two at 0.7]}\n"
    "  - {id: size, kind: measure, minutes: 2 min, question: Size, how: Look, yes: large, no: "
    "small,\n"
    "     reading: length above 1 mm within 0.2 mm, leak: 0.05, given: [one at 0.9]}\n"
    "remedies:\n"
    "  - {id: mend, kind: cure, name: mend, who: owner, minutes: 5 min, down: 5 min, how: Mend "
    "it,\n"
    "     caution: Take care., verify: It is gone., cures: [one at 0.9, two at 0.2]}\n";

// Every step a user could be led to is safe, and reasoning over the files ends.
static void use(const struct bw_knowledge *k, struct bw_arena *arena) {
    for (size_t f = 0; f < k->checks; f++)
        must(!(k->check[f].belts == BW_RUNNING && k->check[f].door == BW_DOOR_OPEN));
    for (size_t r = 0; r < k->remedies; r++)
        must(!(k->remedy[r].belts == BW_RUNNING && k->remedy[r].door == BW_DOOR_OPEN));
    struct bw_complaints complaints = {.arena = arena};
    bw_knowledge_lint(k, &complaints);
    struct bw_features none = bw_features_none();
    const struct bw_network_from from = {k, &none, NULL};
    struct bw_network network;
    struct bw_interview i;
    struct bw_err err = {0};
    if (k->causes > MOST_CAUSES || !bw_network_make(&from, arena, &network, &err)) return;
    if (!bw_interview_begin(&network, arena, &i, &err)) return;
    bool good = bw_interview_enough(&i, &err);
    for (int n = 0; good && n < 3 && i.stage == BW_STAGE_STEP; n++)
        good = bw_interview_answer(&i, (struct bw_said){.word = BW_SAID_YES}, &err);
    bw_interview_end(&i);
}

static void check_message(const struct bw_err *err) {
    must(err->code != BW_OK && err->what[0] != '\0');
    must(bw_utf8_valid(err->what, strlen(err->what)));
}

static bool read_small(struct bw_arena *arena, const struct bw_document *more, size_t n,
                       struct bw_knowledge *out, struct bw_err *err) {
    struct bw_document documents[2] = {{"small", SMALL, sizeof SMALL - 1}};
    if (n > 0) documents[1] = *more;
    return bw_knowledge_read(arena, documents, 1 + n, NULL, out, err);
}

static void as_text(char kind, const char *text, struct bw_arena *arena) {
    struct bw_knowledge k;
    struct bw_features none = bw_features_none();
    const struct bw_network_from from = {&k, &none, NULL};
    struct bw_network network;
    struct bw_hearing heard;
    struct bw_said said;
    struct bw_err err = {0};
    must(read_small(arena, NULL, 0, &k, &err));
    must(bw_network_make(&from, arena, &network, &err));
    if (kind == 'h') {
        if (bw_hear(&network, text, arena, &heard, &err)) must(heard.n <= k.checks);
        return;
    }
    if (!bw_said_read(&k, bw_check_find(&k, "size"), text, &said, &err)) check_message(&err);
}

static void as_call(const struct bw_document *document, struct bw_arena *arena) {
    struct bw_node *root;
    struct bw_call call;
    struct bw_knowledge k;
    struct bw_err err = {0};
    struct bw_binding binding = {.arena = arena, .file = "call", .shape = BW_CALL_SHAPE};
    must(read_small(arena, NULL, 0, &k, &err));
    if (!bw_document_read(arena, "call", document->bytes, document->length, &root, &err) ||
        !bw_bind(&binding, root, &bw_call_record, &call, &err) || !bw_call_check(&call, &k, &err))
        check_message(&err);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) return 0;
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return 0;
    char kind = (char)data[0];
    const struct bw_document document = {"fuzz", (const char *)data + 1, size - 1};
    struct bw_knowledge k;
    struct bw_found_list found;
    struct bw_err err = {0};
    if (kind == 'a' || kind == 'h') {
        const char *text = bw_arena_text(arena, document.bytes, document.length);
        if (text != NULL) as_text(kind, text, arena);
    } else if (kind == 'c') {
        as_call(&document, arena);
    } else if (kind == 'f') {
        if (!bw_findings_read(arena, &document, &found, &err)) check_message(&err);
    } else {
        bool read = kind == 's' ? read_small(arena, &document, 1, &k, &err)
                                : bw_knowledge_read(arena, &document, 1, NULL, &k, &err);
        if (read)
            use(&k, arena);
        else
            check_message(&err);
    }
    bw_arena_free(arena);
    return 0;
}
