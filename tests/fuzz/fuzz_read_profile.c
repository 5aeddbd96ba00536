// fuzz_read_profile.c - trace and surface files of every kind, on any bytes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/profile/store.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// What a parser lets through must hold together, for the client maps it as told.
static void use(const struct store *store) {
    const struct bw_profile_header *about = &store->about;
    uint64_t n = about->columns * about->rows, voids = 0;
    assert(about->columns >= 2 && about->rows >= 1 && n <= BW_MAX_PROFILE_POINTS);
    assert(about->dx > 0 && (about->rows == 1) == (about->dy == 0));
    for (uint64_t i = 0; i < n; i++) {
        assert(!isinf(store->heights[i]));
        if (isnan(store->heights[i])) voids++;
    }
    assert(voids == about->voids && voids < n);
    for (uint64_t i = 1; about->x_at != 0 && i < about->columns; i++)
        assert(store->x[i] > store->x[i - 1]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static double *room;
    if (room == NULL) room = calloc(2 * BW_MAX_PROFILE_POINTS, sizeof *room);
    if (room == NULL) return 0;
    struct store store = {.heights = room, .x = room + BW_MAX_PROFILE_POINTS};
    struct bw_err err = {0};
    if (read_any((struct input){data, size}, &store, &err))
        use(&store);
    else
        assert(err.code != BW_OK && err.what[0] != '\0');
    return 0;
}
