// sha256.h - the hash that an entry's id and an attachment's name are made of.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_JOB_SHA256_H
#define BW_JOB_SHA256_H

#include <stddef.h>
#include <stdint.h>

#define BW_SHA256_BYTES 32
#define BW_SHA256_TEXT 65  // 64 hexadecimal digits, lower case, and the NUL

struct bw_sha256 {
    uint32_t state[8];
    uint64_t length;  // bytes taken
    unsigned char block[64];
};

struct bw_sha256 bw_sha256_begin(void);
void bw_sha256_add(struct bw_sha256 *hash, const void *bytes, size_t length);
// Ends the hash; `hash` is used up.
void bw_sha256_end(struct bw_sha256 *hash, unsigned char out[BW_SHA256_BYTES]);
// The same as text.
void bw_sha256_end_text(struct bw_sha256 *hash, char out[BW_SHA256_TEXT]);
// True for 64 lower-case hexadecimal digits and nothing else.
int bw_sha256_is_text(const char *text);

#endif
