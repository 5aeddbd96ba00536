// ulid.c - see ulid.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/ulid.h"

#include <string.h>

static const char DIGITS[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

void bw_ulid_text(int64_t time_ms, const unsigned char beside[10], char out[BW_ID_TEXT]) {
    for (int i = 0; i < 10; i++) out[i] = DIGITS[time_ms >> (45 - 5 * i) & 31];
    for (int i = 0; i < 16; i++) {
        int bit = 5 * i, byte = bit / 8;
        unsigned pair = (unsigned)beside[byte] << 8 | (byte < 9 ? beside[byte + 1] : 0U);
        out[10 + i] = DIGITS[pair >> (11 - bit % 8) & 31];
    }
    out[BW_ID_TEXT - 1] = '\0';
}

// The first digit holds three bits only.
bool bw_ulid_is(const char *text) {
    return strspn(text, DIGITS) == BW_ID_TEXT - 1 && text[BW_ID_TEXT - 1] == '\0' && text[0] < '8';
}

int64_t bw_ulid_time(const char *id) {
    int64_t time_ms = 0;
    for (int i = 0; i < 10; i++) time_ms = time_ms * 32 + (int64_t)(strchr(DIGITS, id[i]) - DIGITS);
    return time_ms;
}
