// record.c - writes the example recordings into a folder as FLAC.
// SPDX-License-Identifier: GPL-3.0-or-later
//
//   record_sounds FOLDER
#include "recordings/shop.h"

#include <sndfile.h>
#include <stdio.h>
#include <stdlib.h>

static bool write_one(const char *folder, const struct shop_recording *r) {
    struct bw_arena *arena = bw_arena_new(0);
    struct sounds_scene scene = shop_scene(&r->head, r->fault, r->cut, r->seed);
    size_t n = 0;
    float *samples = arena == NULL ? NULL : sounds_make(arena, &scene, &n);
    SF_INFO info = {.samplerate = (int)scene.sample_hz,
                    .channels = 1,
                    .format = SF_FORMAT_FLAC | SF_FORMAT_PCM_16};
    char path[1000];
    (void)snprintf(path, sizeof path, "%s/%s.flac", folder, r->name);
    SNDFILE *file = samples == NULL ? NULL : sf_open(path, SFM_WRITE, &info);
    bool ok = file != NULL && sf_writef_float(file, samples, (sf_count_t)n) == (sf_count_t)n;
    if (file != NULL) ok = sf_close(file) == 0 && ok;
    if (!ok) (void)fprintf(stderr, "%s was not written\n", path);
    bw_arena_free(arena);
    return ok;
}

int main(int argc, char **argv) {
    if (argc != 2) {
        (void)fprintf(stderr, "usage: record_sounds FOLDER\n");
        return 2;
    }
    for (const struct shop_recording *r = shop_recordings; r->name != NULL; r++)
        if (!write_one(argv[1], r)) return 1;
    return 0;
}
