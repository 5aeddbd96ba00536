// label.c - see label.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/label.h"

#include "base/utf8.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define COLUMN_SHARE 0.6

double bw_label_width(const char *text, double size) {
    return COLUMN_SHARE * size * (double)bw_utf8_columns(text, strlen(text));
}

size_t bw_label_fit(const char *text, size_t length, double size, double room) {
    double column = COLUMN_SHARE * size;
    if (column * (double)bw_utf8_columns(text, length) <= room) return length;
    while (length > 0 && column * (double)(bw_utf8_columns(text, length) + 1) > room)
        length = bw_utf8_cut(text, length - 1);
    return length;
}

static void sort_by_height(const double *heights, size_t *order, size_t n) {
    for (size_t i = 0; i < n; i++) {
        size_t j = i;
        for (; j > 0 && heights[order[j - 1]] > heights[i]; j--) order[j] = order[j - 1];
        order[j] = i;
    }
}

struct pool {
    double sum;
    size_t n;
};

static double mean(const struct pool *pool) { return pool->sum / (double)pool->n; }

// Less its rank times the gap, each height need only be no smaller than the one before. That order
// is met with least squares by pooling neighbours that violate it (isotonic regression).
void bw_label_spread(double *heights, size_t n, double gap, double top, double bottom) {
    size_t order[BW_MAX_LABELS], count = 0, rank = 0;
    struct pool pools[BW_MAX_LABELS];
    assert(n <= BW_MAX_LABELS);
    if (n == 0 || (double)(n - 1) * gap > bottom - top) return;
    sort_by_height(heights, order, n);
    for (size_t i = 0; i < n; i++) {
        pools[count++] = (struct pool){heights[order[i]] - (double)i * gap, 1};
        for (; count > 1 && mean(&pools[count - 2]) > mean(&pools[count - 1]); count--) {
            pools[count - 2].sum += pools[count - 1].sum;
            pools[count - 2].n += pools[count - 1].n;
        }
    }
    double lowest = bottom - (double)(n - 1) * gap;
    for (size_t i = 0; i < count; i++) {
        double height = fmin(fmax(mean(&pools[i]), top), lowest);
        for (size_t k = 0; k < pools[i].n; k++, rank++)
            heights[order[rank]] = height + (double)rank * gap;
    }
}

bool bw_box_overlaps(const struct bw_box *a, const struct bw_box *b) {
    return a->left < b->right && b->left < a->right && a->top < b->bottom && b->top < a->bottom;
}

bool bw_box_inside(const struct bw_box *inner, const struct bw_box *outer) {
    return inner->left >= outer->left && inner->right <= outer->right && inner->top >= outer->top &&
           inner->bottom <= outer->bottom;
}

struct span {
    double from, to;
};

// Cuts the span of a line's parameter t to where start + t * way lies within low and high.
static bool cut(struct span *t, double start, double way, struct span within) {
    if (way == 0) return start > within.from && start < within.to;
    double one = (within.from - start) / way, other = (within.to - start) / way;
    t->from = fmax(t->from, fmin(one, other));
    t->to = fmin(t->to, fmax(one, other));
    return t->from < t->to;
}

bool bw_box_is_crossed(const struct bw_box *box, double x0, double y0, double x1, double y1) {
    struct span t = {0, 1};
    return cut(&t, x0, x1 - x0, (struct span){box->left, box->right}) &&
           cut(&t, y0, y1 - y0, (struct span){box->top, box->bottom});
}
