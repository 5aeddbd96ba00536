// sha256.c - SHA-256 by FIPS 180-4.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: the standard's own description (section 6.2), one 64-byte block at a time. A library
// would be loaded at every start of the program for sixty lines of code (docs/store.md has the
// measurement); speed hardly matters, for what is hashed is read from a disk. Tested against the
// standard's examples. Rejected: the processor's own instructions (two paths to test).
#include "job/sha256.h"

#include <string.h>

// FIPS 180-4, 4.2.2: the first 32 bits of the fractional parts of the cube roots of the first 64
// primes.
static const uint32_t K[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
};

static uint32_t turned(uint32_t x, int by) { return (x >> by) | (x << (32 - by)); }

static uint32_t word_at(const unsigned char *at) {
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static void take_block(uint32_t state[8], const unsigned char block[64]) {
    uint32_t w[64], v[8];
    for (int t = 0; t < 16; t++) w[t] = word_at(block + 4 * t);
    for (int t = 16; t < 64; t++) {
        uint32_t early = turned(w[t - 15], 7) ^ turned(w[t - 15], 18) ^ (w[t - 15] >> 3);
        uint32_t late = turned(w[t - 2], 17) ^ turned(w[t - 2], 19) ^ (w[t - 2] >> 10);
        w[t] = late + w[t - 7] + early + w[t - 16];
    }
    memcpy(v, state, sizeof v);
    for (int t = 0; t < 64; t++) {
        uint32_t choose = (v[4] & v[5]) ^ (~v[4] & v[6]);
        uint32_t most = (v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]);
        uint32_t one =
            v[7] + (turned(v[4], 6) ^ turned(v[4], 11) ^ turned(v[4], 25)) + choose + K[t] + w[t];
        uint32_t two = (turned(v[0], 2) ^ turned(v[0], 13) ^ turned(v[0], 22)) + most;
        memmove(v + 1, v, 7 * sizeof v[0]);
        v[4] += one;
        v[0] = one + two;
    }
    for (int i = 0; i < 8; i++) state[i] += v[i];
}

struct bw_sha256 bw_sha256_begin(void) {
    return (struct bw_sha256){.state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f,
                                        0x9b05688c, 0x1f83d9ab, 0x5be0cd19}};
}

void bw_sha256_add(struct bw_sha256 *hash, const void *bytes, size_t length) {
    const unsigned char *next = bytes;
    while (length > 0) {
        size_t held = hash->length % sizeof hash->block, room = sizeof hash->block - held;
        size_t n = length < room ? length : room;
        memcpy(hash->block + held, next, n);
        hash->length += n;
        next += n;
        length -= n;
        if (n == room) take_block(hash->state, hash->block);
    }
}

void bw_sha256_end(struct bw_sha256 *hash, unsigned char out[BW_SHA256_BYTES]) {
    static const unsigned char PADDING[64] = {0x80};
    unsigned char bits[8];
    for (int i = 0; i < 8; i++) bits[i] = (unsigned char)(hash->length * 8 >> (56 - 8 * i));
    size_t held = hash->length % 64;
    bw_sha256_add(hash, PADDING, held < 56 ? 56 - held : 120 - held);
    bw_sha256_add(hash, bits, sizeof bits);
    for (int i = 0; i < BW_SHA256_BYTES; i++)
        out[i] = (unsigned char)(hash->state[i / 4] >> (24 - 8 * (i % 4)));
}

void bw_sha256_end_text(struct bw_sha256 *hash, char out[BW_SHA256_TEXT]) {
    static const char DIGITS[] = "0123456789abcdef";
    unsigned char bytes[BW_SHA256_BYTES];
    bw_sha256_end(hash, bytes);
    for (int i = 0; i < BW_SHA256_BYTES; i++) {
        out[2 * i] = DIGITS[bytes[i] >> 4];
        out[2 * i + 1] = DIGITS[bytes[i] & 15];
    }
    out[BW_SHA256_TEXT - 1] = '\0';
}

int bw_sha256_is_text(const char *text) {
    size_t length = strspn(text, "0123456789abcdef");
    return length == BW_SHA256_TEXT - 1 && text[length] == '\0';
}
