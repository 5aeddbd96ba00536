// store.c - see store.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/profile/store.h"

#include <math.h>
#include <string.h>

bool store_size(struct store *store, uint64_t columns, uint64_t rows, struct bw_err *err) {
    if (columns < 2 || rows < 1) return bw_fail(err, BW_INPUT, "the file holds no profile");
    if (columns > BW_MAX_PROFILE_POINTS || rows > BW_MAX_PROFILE_POINTS ||
        columns * rows > BW_MAX_PROFILE_POINTS)
        return bw_fail(err, BW_LIMIT, "the file holds more than %d million points",
                       (int)(BW_MAX_PROFILE_POINTS / 1000000));
    store->about.columns = columns;
    store->about.rows = rows;
    return true;
}

static void turn_round(double *v, size_t n) {
    for (size_t i = 0; i < n / 2; i++) {
        double swap = v[i];
        v[i] = v[n - 1 - i];
        v[n - 1 - i] = swap;
    }
}

bool store_places(struct store *store, size_t *off, struct bw_err *err) {
    double *x = store->x;
    size_t n = (size_t)store->about.columns;
    if (x[0] > x[n - 1]) {
        turn_round(x, n);
        for (uint64_t row = 0; row < store->about.rows; row++)
            turn_round(store->heights + row * n, n);
    }
    double dx = (x[n - 1] - x[0]) / (double)(n - 1), most = 0;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(x[i]) || (i > 0 && !(x[i] > x[i - 1]))) {
            if (off != NULL) *off = i;
            return bw_fail(err, BW_INPUT, "the places of the points do not rise one after another");
        }
        most = fmax(most, fabs(x[i] - x[0] - dx * (double)i));
    }
    store->about.dx = dx;
    // Places are printed with few digits: a twentieth of a step is rounding, not unevenness.
    store->about.x_at = most > 0.05 * dx;
    return true;
}

double unit_length(const char *name, size_t length) {
    static const struct {
        const char *name;
        double metres;
    } UNITS[] = {
        {"m", 1},
        {"mm", 1e-3},
        {"cm", 1e-2},
        {"um", 1e-6},
        {"\xc2\xb5m", 1e-6},
        {"\xce\xbcm", 1e-6},
        {"\xb5m", 1e-6},
        {"nm", 1e-9},
        {"in", 0.0254},
        {"inch", 0.0254},
        {"mil", 2.54e-5},
        {"uin", 2.54e-8},
        {"\xc2\xb5in", 2.54e-8},
        {"micron", 1e-6},
        {"microns", 1e-6},
    };
    char folded[12];
    if (length == 0 || length >= sizeof folded) return 0;
    for (size_t i = 0; i < length; i++)
        folded[i] = (char)(name[i] >= 'A' && name[i] <= 'Z' ? name[i] - 'A' + 'a' : name[i]);
    folded[length] = '\0';
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++)
        if (strcmp(folded, UNITS[i].name) == 0) return UNITS[i].metres;
    return 0;
}

static bool begins(struct input in, const char *bytes, size_t n) {
    return in.length >= n && memcmp(in.bytes, bytes, n) == 0;
}

// Version words are such as "aISO-1.0" and "bNIST-1.0": a letter, a word of capitals, a number.
static bool is_sdf(struct input in, char letter) {
    if (in.length < 8 || in.bytes[0] != (unsigned char)letter) return false;
    size_t capitals = 1;
    while (capitals < 6 && in.bytes[capitals] >= 'A' && in.bytes[capitals] <= 'Z') capitals++;
    return capitals > 2 && in.bytes[capitals] == '-' && in.bytes[capitals + 1] >= '0' &&
           in.bytes[capitals + 1] <= '9';
}

static bool not_read(const char *what, struct bw_err *err) {
    return bw_fail(err, BW_UNSUPPORTED,
                   "this is %s; export the trace as CSV with units, SMD, SDF or X3P", what);
}

static bool read_sort(struct input in, struct store *store, struct bw_err *err) {
    if (in.length == 0) return bw_fail(err, BW_INPUT, "the file is empty");
    if (begins(in, "PK\3\4", 4)) return read_x3p(in, store, err);
    if (begins(in, "ISO 5436", 8) || begins(in, "ISO5436", 7) || begins(in, "1 2\r", 4) ||
        begins(in, "1 2\n", 4))
        return read_smd(in, store, err);
    if (is_sdf(in, 'a')) return read_sdf_text(in, store, err);
    if (is_sdf(in, 'b')) return read_sdf_binary(in, store, err);
    if (begins(in, "%PDF", 4)) return not_read("a PDF", err);
    if (begins(in, "\x89PNG", 4) || begins(in, "\xff\xd8\xff", 3) || begins(in, "II*", 3) ||
        begins(in, "MM\0*", 4))
        return not_read("a picture", err);
    if (begins(in, "<", 1)) return not_read("a web page or a drawing", err);
    size_t look = in.length < 4096 ? in.length : 4096;
    if (memchr(in.bytes, 0, look) != NULL) return not_read("no text and no kind known here", err);
    return read_text(in, store, err);
}

bool read_any(struct input in, struct store *store, struct bw_err *err) {
    if (!read_sort(in, store, err)) return false;
    struct bw_profile_header *about = &store->about;
    uint64_t n = about->columns * about->rows;
    for (uint64_t i = 0; i < n; i++) {
        if (isinf(store->heights[i]))
            store->heights[i] = (double)NAN;  // so some write a point not seen
        if (isnan(store->heights[i])) about->voids++;
    }
    if (about->voids == n) return bw_fail(err, BW_INPUT, "no point of the file has a height");
    bool bare = (about->flags & BW_PROFILE_BARE_PLACES) != 0;
    if (bare ? !(about->dx > 0 && about->dx < 1e12) : !(about->dx >= 1e-12 && about->dx <= 100))
        return bw_fail(err, BW_INPUT, "the spacing of points cannot be: %g m", about->dx);
    if (about->rows == 1) about->dy = 0;
    if (about->rows > 1 && !(about->dy >= 1e-12 && about->dy <= 100))
        return bw_fail(err, BW_INPUT, "the spacing of rows cannot be: %g m", about->dy);
    return true;
}
