// smd.c - SMD files (ISO 5436-2) and their older kin: records of text, heights one a line.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Record 1 describes the axes, record 2 says what people wish to say, record 3 holds the heights; a
// record ends with the character ETX or the word EOR. An axis: "CX I 4000 UM 0.5 D": its name, how
// it is told (I, M even; A absolute), its count, unit, one number's worth in it, the number's kind.
// Layout from memory of the standard. The check sum of record 4 is not verified: its sum is told
// differently by different writers.
#include "base/number.h"
#include "read/profile/store.h"

#include <math.h>
#include <string.h>

#define MOST_WORDS 12
#define ETX 3
#define SUB 26

struct axis {
    bool known, absolute;
    long count;
    double scale;  // m
};

struct smd {
    const char *at, *end;
    int line;
    int record;  // 0, 1, 2, 3: the one being read
    struct axis x, y, z;
    struct store *store;
    uint64_t n, expected;
    struct bw_err *err;
};

struct words {
    const char *at[MOST_WORDS];
    size_t length[MOST_WORDS], n;
    bool ends_record;
};

static bool bad(struct smd *smd, const char *what) {
    return bw_fail(smd->err, BW_INPUT, "line %d: %s", smd->line, what);
}

static bool is_space(char c) { return c == ' ' || c == '\t' || c == ',' || c == ';'; }

// The words of the next line; a record's end counts as a line of its own or at a line's end.
static bool next(struct smd *smd, struct words *words) {
    *words = (struct words){.n = 0};
    if (smd->at == smd->end || *smd->at == SUB) return false;
    smd->line++;
    while (smd->at < smd->end && *smd->at != '\n' && *smd->at != '\r') {
        const char *begin = smd->at;
        if (*begin == ETX) {
            words->ends_record = true;
            smd->at++;
            continue;
        }
        while (smd->at < smd->end && !is_space(*smd->at) && *smd->at != '\n' && *smd->at != '\r' &&
               *smd->at != ETX)
            smd->at++;
        if (smd->at == begin) {
            smd->at++;
        } else if (words->n < MOST_WORDS) {
            words->at[words->n] = begin;
            words->length[words->n++] = (size_t)(smd->at - begin);
        }
    }
    if (smd->at < smd->end && *smd->at == '\r') smd->at++;
    if (smd->at < smd->end && *smd->at == '\n') smd->at++;
    if (words->n == 1 && words->length[0] == 3 && memcmp(words->at[0], "EOR", 3) == 0) {
        words->ends_record = true;
        words->n = 0;
    }
    return true;
}

static bool is(const struct words *words, size_t i, const char *word) {
    return i < words->n && strlen(word) == words->length[i] &&
           memcmp(words->at[i], word, words->length[i]) == 0;
}

static bool number_at(const struct words *words, size_t i, double *out) {
    struct bw_err ignored = {0};
    return i < words->n && bw_number(words->at[i], words->length[i], out, &ignored);
}

static bool axis_line(struct smd *smd, const struct words *words, struct axis *out) {
    double count, scale;
    if (words->n < 5 || words->length[1] != 1 || !number_at(words, 2, &count) ||
        !number_at(words, 4, &scale))
        return bad(smd, "an axis is told as CX I COUNT UNIT SCALE TYPE");
    double unit = unit_length(words->at[3], words->length[3]);
    if (!(unit > 0)) return bad(smd, "the unit of an axis is not known here (M, MM, UM, NM)");
    if (!(count >= 0 && count <= (double)BW_MAX_PROFILE_POINTS) || !(scale > 0 && scale < 1e9))
        return bad(smd, "an axis has an impossible count or scale");
    *out = (struct axis){.known = true,
                         .absolute = words->at[1][0] == 'A',
                         .count = (long)count,
                         .scale = unit * scale};
    return true;
}

static bool describe(struct smd *smd, const struct words *words) {
    if (is(words, 0, "CX")) return axis_line(smd, words, &smd->x);
    if (is(words, 0, "CY")) return axis_line(smd, words, &smd->y);
    if (is(words, 0, "CZ")) return axis_line(smd, words, &smd->z);
    return true;
}

static bool begin_heights(struct smd *smd) {
    if (!smd->x.known || !smd->z.known)
        return bw_fail(smd->err, BW_INPUT, "the header does not describe both axes, CX and CZ");
    if (smd->y.known && smd->x.absolute)
        return bw_fail(smd->err, BW_UNSUPPORTED, "a surface with uneven places is not read");
    uint64_t rows = smd->y.known ? (uint64_t)smd->y.count : 1;
    uint64_t columns = (uint64_t)(smd->x.count > 0 ? smd->x.count : smd->z.count);
    smd->expected = columns * rows;
    return store_size(smd->store, columns, rows, smd->err);
}

// One height, or a place and a height; "BAD" and the like are points not seen.
static bool height(struct smd *smd, const struct words *words) {
    double x = 0, z = 0;
    size_t which = smd->x.absolute && words->n > 1 ? 1 : 0;
    if (words->n == 0) return true;
    if (smd->n == smd->expected) return bad(smd, "more heights than the header says");
    bool void_ = is(words, which, "BAD") || is(words, which, "NAN") || is(words, which, "NaN");
    if (!void_ && !number_at(words, which, &z)) return bad(smd, "a height is no number");
    if (which == 1 && !number_at(words, 0, &x)) return bad(smd, "a place is no number");
    if (smd->x.absolute && which == 0) return bad(smd, "a point needs its place and its height");
    if (which == 1) smd->store->x[smd->n] = x * smd->x.scale;
    smd->store->heights[smd->n++] = void_ ? (double)NAN : z * smd->z.scale;
    return true;
}

static bool take(struct smd *smd, const struct words *words) {
    if (smd->record == 0 && !describe(smd, words)) return false;
    if (smd->record == 2 && !height(smd, words)) return false;
    if (!words->ends_record) return true;
    smd->record++;
    return smd->record != 2 || begin_heights(smd);
}

bool read_smd(struct input in, struct store *store, struct bw_err *err) {
    struct smd smd = {.at = (const char *)in.bytes, .store = store, .err = err};
    struct words words;
    smd.end = smd.at + in.length;
    while (smd.record < 3 && next(&smd, &words))
        if (!take(&smd, &words)) return false;
    if (smd.record < 2)
        return bw_fail(err, BW_INPUT,
                       "the file ends before its heights (records 1 and 2 end with "
                       "ETX or EOR)");
    if (smd.n != smd.expected)
        return bw_fail(err, BW_INPUT, "the file holds %llu heights, its header says %llu",
                       (unsigned long long)smd.n, (unsigned long long)smd.expected);
    store->about.format = BW_PROFILE_SMD;
    store->about.dx = smd.x.scale;
    store->about.dy = smd.y.known ? smd.y.scale : 0;
    return !smd.x.absolute || store_places(store, NULL, err);
}
