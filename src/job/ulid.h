// ulid.h - 128-bit names as 26 letters and digits that sort by time.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The text is the one of the ULID specification: 48 bits of UTC milliseconds, 80 bits beside them,
// in base 32 without I, L, O, U. Here the 80 bits are not random: they are the first 80 of a hash.
#ifndef BW_JOB_ULID_H
#define BW_JOB_ULID_H

#include <stdbool.h>
#include <stdint.h>

#define BW_ID_TEXT 27
#define BW_MAX_TIME_MS (((int64_t)1 << 48) - 1)

// `beside`: 10 bytes. `time_ms` in [0, BW_MAX_TIME_MS].
void bw_ulid_text(int64_t time_ms, const unsigned char beside[10], char out[BW_ID_TEXT]);
// A well-formed one in upper case, and nothing else.
bool bw_ulid_is(const char *text);
int64_t bw_ulid_time(const char *id);  // of a well-formed one

#endif
