// md5.c - see md5.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/profile/md5.h"

#include <math.h>
#include <string.h>

static uint32_t turned(uint32_t v, unsigned by) { return v << by | v >> (32 - by); }

static void block(uint32_t state[4], const unsigned char *at, const uint32_t sines[64]) {
    static const unsigned BY[4][4] = {
        {7, 12, 17, 22}, {5, 9, 14, 20}, {4, 11, 16, 23}, {6, 10, 15, 21}};
    uint32_t a = state[0], b = state[1], c = state[2], d = state[3], word[16];
    for (size_t i = 0; i < 16; i++)
        word[i] = (uint32_t)at[4 * i] | (uint32_t)at[4 * i + 1] << 8 |
                  (uint32_t)at[4 * i + 2] << 16 | (uint32_t)at[4 * i + 3] << 24;
    for (unsigned i = 0; i < 64; i++) {
        uint32_t f = i < 16   ? (b & c) | (~b & d)
                     : i < 32 ? (d & b) | (~d & c)
                     : i < 48 ? b ^ c ^ d
                              : c ^ (b | ~d);
        unsigned g = (i < 16 ? i : i < 32 ? 5 * i + 1 : i < 48 ? 3 * i + 5 : 7 * i) % 16;
        uint32_t next = b + turned(a + f + sines[i] + word[g], BY[i / 16][i % 4]);
        a = d;
        d = c;
        c = b;
        b = next;
    }
    state[0] += a;
    state[1] += b;
    state[2] += c;
    state[3] += d;
}

void md5(const unsigned char *bytes, size_t length, unsigned char out[16]) {
    uint32_t state[4] = {0x67452301, 0xefcdab89, 0x98badcfe, 0x10325476}, sines[64];
    unsigned char last[128] = {0};
    for (int i = 0; i < 64; i++) sines[i] = (uint32_t)floor(fabs(sin(i + 1)) * 4294967296.0);
    size_t whole = length / 64 * 64, rest = length - whole;
    for (size_t at = 0; at < whole; at += 64) block(state, bytes + at, sines);
    if (rest > 0) memcpy(last, bytes + whole, rest);
    last[rest] = 0x80;
    size_t end = rest < 56 ? 64 : 128;
    for (size_t i = 0; i < 8; i++)
        last[end - 8 + i] = (unsigned char)((uint64_t)length * 8 >> 8 * i);
    for (size_t at = 0; at < end; at += 64) block(state, last + at, sines);
    for (size_t i = 0; i < 16; i++) out[i] = (unsigned char)(state[i / 4] >> 8 * (i % 4));
}
