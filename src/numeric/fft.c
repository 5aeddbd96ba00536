// fft.c - see fft.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: FFTW 3, single precision. Plans are estimated, never measured: measuring would make the
// last bits of an answer depend on how busy the machine was. No threads: a picture's transforms
// take less time than starting one. Source: Frigo and Johnson, Proc. IEEE 93 (2005) 216; checked
// against the sum written out. Rejected: double precision (twice the memory; a picture has eight
// bits), Bluestein's way for awkward sizes (padding to the next good size is cheaper).
#include "numeric/fft.h"

#include "base/alloc.h"

#include <assert.h>
#include <fftw3.h>
#include <limits.h>

size_t bw_fft_size(size_t n) {
    for (size_t size = n < 2 ? 2 : n + n % 2;; size += 2) {
        size_t rest = size;
        for (size_t factor = 2; factor <= 7; factor += factor == 2 ? 1 : 2)
            while (rest % factor == 0) rest /= factor;
        if (rest == 1) return size;
    }
}

bool bw_fft_real(size_t size, struct bw_fft *out, struct bw_err *err) {
    assert(size >= 2 && size < INT_MAX);
    struct bw_fft fft = {.size = size,
                         .in = bw_alloc_zero(size, sizeof(float)),
                         .out = bw_alloc_zero(size / 2 + 1, sizeof(float complex))};
    if (fft.in != NULL && fft.out != NULL)
        fft.plan = fftwf_plan_dft_r2c_1d((int)size, fft.in, fft.out, FFTW_ESTIMATE);
    if (fft.plan == NULL) {
        bw_fft_free(&fft);
        return bw_fail_memory(err);
    }
    *out = fft;
    return true;
}

bool bw_fft_complex(size_t size, struct bw_fft *out, struct bw_err *err) {
    assert(size >= 2 && size < INT_MAX);
    struct bw_fft fft = {.size = size,
                         .cin = bw_alloc_zero(size, sizeof(float complex)),
                         .out = bw_alloc_zero(size, sizeof(float complex))};
    if (fft.cin != NULL && fft.out != NULL)
        fft.plan = fftwf_plan_dft_1d((int)size, fft.cin, fft.out, FFTW_FORWARD, FFTW_ESTIMATE);
    if (fft.plan == NULL) {
        bw_fft_free(&fft);
        return bw_fail_memory(err);
    }
    *out = fft;
    return true;
}

void bw_fft_run(const struct bw_fft *fft) { fftwf_execute((fftwf_plan)fft->plan); }

void bw_fft_free(struct bw_fft *fft) {
    if (fft == NULL) return;
    if (fft->plan != NULL) fftwf_destroy_plan((fftwf_plan)fft->plan);
    bw_free(fft->in);
    bw_free(fft->cin);
    bw_free(fft->out);
    *fft = (struct bw_fft){0};
}
