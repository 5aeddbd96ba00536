// sdf.c - SDF files (ISO 25178-71), binary and as text.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Binary: 81 bytes of header, then numbers of one kind, low byte first, row by row. Text: "Key =
// value" lines, a line "*", the numbers, "*", and remarks. Heights are numbers times Zscale, in
// metres. Layout as a national laboratory publishes it; the integer kinds' lowest (signed) and
// highest (unsigned) value (from memory) and NaN are points not seen.
#include "base/number.h"
#include "read/profile/store.h"

#include <math.h>
#include <string.h>

#define HEADER_BYTES 81

enum kind { U8, U16, U32, F32, I8, I16, I32, F64, KINDS };
static const size_t KIND_BYTES[KINDS] = {1, 2, 4, 4, 1, 2, 4, 8};

struct sdf {
    double points, profiles, x_scale, y_scale, z_scale;
    int kind, compression;
    bool has[7];  // in this order
};

static uint64_t whole(const unsigned char *at, size_t bytes) {
    uint64_t v = 0;
    for (size_t i = bytes; i-- > 0;) v = v << 8 | at[i];
    return v;
}

static double real(const unsigned char *at) {
    uint64_t bits = whole(at, 8);
    double v;
    memcpy(&v, &bits, sizeof v);
    return v;
}

static bool check(const struct sdf *sdf, struct store *store, struct bw_err *err) {
    if (!(sdf->points >= 2 && sdf->points <= (double)BW_MAX_PROFILE_POINTS) ||
        !(sdf->profiles >= 1 && sdf->profiles <= (double)BW_MAX_PROFILE_POINTS))
        return bw_fail(err, BW_INPUT, "NumPoints or NumProfiles cannot be: %g, %g", sdf->points,
                       sdf->profiles);
    if (!(sdf->z_scale > 0 && sdf->z_scale < 1e6))
        return bw_fail(err, BW_INPUT, "Zscale cannot be: %g", sdf->z_scale);
    if (sdf->compression != 0)
        return bw_fail(err, BW_UNSUPPORTED, "a compressed SDF is not read; export it plain");
    if (sdf->kind < 0 || sdf->kind >= KINDS)
        return bw_fail(err, BW_UNSUPPORTED, "DataType %d is not known here", sdf->kind);
    store->about.dx = sdf->x_scale;
    store->about.dy = sdf->profiles > 1 ? sdf->y_scale : 0;
    return store_size(store, (uint64_t)sdf->points, (uint64_t)sdf->profiles, err);
}

static void take_date(const char *at, size_t n, struct store *store) {
    if (n >= sizeof store->about.made_at) n = sizeof store->about.made_at - 1;
    for (size_t i = 0; i < n; i++)
        if (at[i] < 0x20 || at[i] > 0x7e) return;
    memcpy(store->about.made_at, at, n);
}

// --- binary --------------------------------------------------------------------------------------

static double value(const unsigned char *at, int kind) {
    uint64_t bits = whole(at, KIND_BYTES[kind]);
    uint32_t half = (uint32_t)bits;
    float single;
    switch (kind) {
    case U8: return bits == UINT8_MAX ? (double)NAN : (double)bits;
    case U16: return bits == UINT16_MAX ? (double)NAN : (double)bits;
    case U32: return bits == UINT32_MAX ? (double)NAN : (double)bits;
    case I8: return (int8_t)bits == INT8_MIN ? (double)NAN : (double)(int8_t)bits;
    case I16: return (int16_t)bits == INT16_MIN ? (double)NAN : (double)(int16_t)bits;
    case I32: return (int32_t)bits == INT32_MIN ? (double)NAN : (double)(int32_t)bits;
    case F32: memcpy(&single, &half, sizeof single); return (double)single;
    default: return real(at);
    }
}

bool read_sdf_binary(struct input in, struct store *store, struct bw_err *err) {
    if (in.length < HEADER_BYTES) return bw_fail(err, BW_INPUT, "the file ends in its header");
    const unsigned char *at = in.bytes;
    struct sdf sdf = {.points = (double)whole(at + 42, 2),
                      .profiles = (double)whole(at + 44, 2),
                      .x_scale = real(at + 46),
                      .y_scale = real(at + 54),
                      .z_scale = real(at + 62),
                      .compression = at[78],
                      .kind = at[79]};
    if (!check(&sdf, store, err)) return false;
    size_t n = (size_t)(store->about.columns * store->about.rows), bytes = KIND_BYTES[sdf.kind];
    if (in.length - HEADER_BYTES < n * bytes)
        return bw_fail(err, BW_INPUT, "the file ends before its %zu heights; copy it again", n);
    for (size_t i = 0; i < n; i++)
        store->heights[i] = value(at + HEADER_BYTES + i * bytes, sdf.kind) * sdf.z_scale;
    store->about.format = BW_PROFILE_SDF_BINARY;
    take_date((const char *)at + 18, 12, store);
    return true;
}

// --- text ----------------------------------------------------------------------------------------

struct text {
    const char *at, *end;
    int line;
};

static bool is_space(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

// The next word; false at the end.
static bool word(struct text *text, const char **begin, size_t *n) {
    while (text->at < text->end && is_space(*text->at)) text->line += *text->at++ == '\n';
    *begin = text->at;
    while (text->at < text->end && !is_space(*text->at)) text->at++;
    *n = (size_t)(text->at - *begin);
    return *n > 0;
}

static bool same(const char *at, size_t n, const char *name) {
    if (strlen(name) != n) return false;
    for (size_t i = 0; i < n; i++)
        if ((at[i] | 0x20) != (name[i] | 0x20)) return false;
    return true;
}

// "Key = value"; what is not needed is passed over.
static bool key_line(struct sdf *sdf, const char *line, size_t n, struct store *store) {
    static const char *const KEYS[] = {"NumPoints", "NumProfiles", "Xscale",  "Yscale",
                                       "Zscale",    "Compression", "DataType"};
    double compression = 0, kind = 0, v;
    double *const TO[] = {&sdf->points,  &sdf->profiles, &sdf->x_scale, &sdf->y_scale,
                          &sdf->z_scale, &compression,   &kind};
    struct bw_err ignored = {0};
    const char *sign = memchr(line, '=', n);
    if (sign == NULL) return true;
    size_t key = (size_t)(sign - line), left = n - key - 1;
    while (key > 0 && is_space(line[key - 1])) key--;
    const char *at = sign + 1;
    while (left > 0 && is_space(*at)) at++, left--;
    while (left > 0 && is_space(at[left - 1])) left--;
    if (same(line, key, "CreateDate")) take_date(at, left, store);
    for (size_t i = 0; i < 7; i++) {
        if (!same(line, key, KEYS[i])) continue;
        if (!bw_number(at, left, &v, &ignored)) return false;
        *TO[i] = v;
        sdf->has[i] = true;
        if (i == 5) sdf->compression = v == 0 ? 0 : 1;
        if (i == 6) sdf->kind = v >= 0 && v < KINDS ? (int)v : -1;
    }
    return true;
}

static bool text_header(struct text *text, struct sdf *sdf, struct store *store,
                        struct bw_err *err) {
    while (text->at < text->end) {
        const char *line = text->at, *end = memchr(line, '\n', (size_t)(text->end - line));
        if (end == NULL) end = text->end;
        text->at = end < text->end ? end + 1 : end;
        text->line++;
        size_t n = (size_t)(end - line);
        while (n > 0 && is_space(line[n - 1])) n--;
        if (n == 1 && line[0] == '*') return true;
        if (!key_line(sdf, line, n, store))
            return bw_fail(err, BW_INPUT, "line %d: the value is no number", text->line);
    }
    return bw_fail(err, BW_INPUT, "no line * between header and heights");
}

bool read_sdf_text(struct input in, struct store *store, struct bw_err *err) {
    struct text text = {(const char *)in.bytes, (const char *)in.bytes + in.length, 0};
    struct sdf sdf = {.kind = F64};
    struct bw_err ignored = {0};
    if (!text_header(&text, &sdf, store, err)) return false;
    for (size_t i = 0; i < 5; i++)
        if (!sdf.has[i] && i != 3)
            return bw_fail(err, BW_INPUT,
                           "the header lacks NumPoints, NumProfiles, Xscale or "
                           "Zscale");
    if (!check(&sdf, store, err)) return false;
    size_t n = (size_t)(store->about.columns * store->about.rows);
    text.line++;
    for (size_t i = 0; i < n; i++) {
        const char *at;
        size_t length;
        double z = (double)NAN;
        if (!word(&text, &at, &length) || (length == 1 && *at == '*'))
            return bw_fail(err, BW_INPUT, "the file holds %zu heights, its header says %zu", i, n);
        if (!same(at, length, "BAD") && !same(at, length, "NaN") &&
            !bw_number(at, length, &z, &ignored))
            return bw_fail(err, BW_INPUT, "line %d: a height is no number", text.line);
        store->heights[i] = z * sdf.z_scale;
    }
    store->about.format = BW_PROFILE_SDF_TEXT;
    return true;
}
