// fft.h - fast Fourier transforms in single precision, one row at a time.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_FFT_H
#define BW_NUMERIC_FFT_H

#include "base/err.h"

#include <complex.h>

// One planned transform with its own two buffers. Fill `in` (real) or `cin` (complex), run, read
// `out`; both may be overwritten by a run. Sign: out[k] = sum in[n] exp(-2 pi i k n / size), no
// scaling. Relative error about 1e-6 of the largest value.
struct bw_fft {
    size_t size;
    float *in;           // real transforms: size values; else NULL
    float complex *cin;  // complex transforms: size values; else NULL
    float complex *out;  // real: size / 2 + 1 values; complex: size
    void *plan;
};

// The least even number >= n that has no prime factor above 7: transforms of such sizes are fast.
size_t bw_fft_size(size_t n);

// `size` at least 2. Not to be called by two threads at once (the planner is one for the program).
// Error: BW_MEMORY.
bool bw_fft_real(size_t size, struct bw_fft *out, struct bw_err *err) BW_CHECKED;
bool bw_fft_complex(size_t size, struct bw_fft *out, struct bw_err *err) BW_CHECKED;
void bw_fft_run(const struct bw_fft *fft);
void bw_fft_free(struct bw_fft *fft);  // NULL and zeroed are allowed

#endif
