// fuzz_ducts.c - any bytes as a dust system's file: refused with a mend, or solved and balanced.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/bind.h"
#include "base/utf8.h"
#include "study/ducts/ducts.h"
#include "study/ducts/part.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) abort();
}

// What was solved balances at every point, and is told in well-formed words.
static void judge(struct bw_arena *arena, const struct ducts_output *out) {
    must(out->imbalance.v < 1e-9 && out->mismatch.v < 1e-9);
    for (size_t i = 0; i < out->lines.n; i++) {
        const struct ducts_line_row *row = (const struct ducts_line_row *)out->lines.items + i;
        must(isfinite(row->flow.v) && isfinite(row->loss.v));
    }
    struct bw_text text = {.arena = arena, .width = 80};
    bw_study_ducts.text(out, &text);
    must(text.out.failed || bw_utf8_valid(text.out.data, text.out.length));
    bw_buffer_free(&text.out);
    struct bw_plots plots = {.arena = arena};
    bw_study_ducts.plots(out, &plots);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    long live = bw_alloc_live();
    struct bw_arena *arena = bw_arena_new((size_t)64 << 20);
    struct bw_err err = {0};
    struct bw_node *root;
    struct ducts_file *file = bw_arena_get(arena, sizeof *file);
    struct bw_binding binding = {.arena = arena};
    struct ducts_input in;
    struct ducts_output out;
    struct bw_run run = {.arena = arena, .seed = 1};
    bw_record_clear(bw_study_ducts.in, &in);
    if (size < 8192 && bw_document_read(arena, "fuzz", (const char *)data, size, &root, &err) &&
        bw_bind(&binding, root, &ducts_file_record, file, &err) && file->lines.n < 40) {
        in.network = (struct bw_file){.name = "fuzz", .content = file};
        in.draws = 2;
        in.settings = 0;
        in.seed = 1;
        if (bw_study_ducts.run(&run, &in, &out, &err))
            judge(arena, &out);
        else
            must(err.code != BW_OK && err.what[0] != '\0');
    }
    bw_arena_free(arena);
    must(bw_alloc_live() == live);
    return 0;
}
