// plan.c - see plan.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Label setting in layers. A label is (belt used last, heads that carry it, steps removed so far);
// its value is the least cost to get there. Heads are taken in feed order, passes one after the
// other, and within a pass once for each feed, since the feed decides what motors and heat allow.
// Why the heads that carry the last belt are in the label: belts only get finer, so a head's belt
// need not be changed exactly where the head is among them.
//
// What makes it fast: the cost of a use is convex and piecewise linear in its removal, so taking
// the best removal for all labels at once is a minimum over a sliding window (a monotone queue),
// linear in the number of steps. Trying every removal for every label is what bench/sequence.c
// sets beside it.
//
// Rejected: branch and bound (fast on easy shops, hopeless on a tight one, and without a bound it
// can show), and a linear programme per choice of belts (needs a solver, and its optimum is not on
// numbers anybody can set).
#include "study/sequence/plan.h"

#include <assert.h>
#include <string.h>

#define FAR (INT64_MAX / 4)

struct layer {  // values of all labels at one moment
    int64_t *value;
    int64_t start;  // no belt used yet
};
struct work {
    const struct plan_problem *p;
    int masks, width;  // heads' sets, steps + 1
    bool saturate;     // more than needed counts as needed
    int64_t *nearest;  // belts x width: the best over all masks
    int *queue;
    int64_t *key;
};

static size_t cells(const struct work *w) {
    return (size_t)w->p->belts * (size_t)w->masks * (size_t)w->width;
}
static int64_t *row(const struct work *w, const struct layer *layer, int belt, int mask) {
    return layer->value + ((size_t)belt * (size_t)w->masks + (size_t)mask) * (size_t)w->width;
}
// With one pass no belt is used twice on a head, and the sets need not be kept.
static int mask_with(const struct work *w, int mask, int head) {
    return w->masks == 1 ? 0 : mask | 1 << head;
}
static bool carries(const struct work *w, int mask, int head) {
    return w->masks > 1 && (mask >> head & 1) != 0;
}

int64_t plan_use_cost(const struct plan_way *way, int removal) {
    int64_t cost = way->fixed;
    if (removal > way->floor) {
        int end = removal < way->knee ? removal : way->knee;
        cost += way->slope * (end - way->floor);
    }
    if (removal > way->knee) cost += way->steep * (removal - way->knee);
    return cost;
}

// --- one use of a head, for all labels of a row at once -----------------------------------------

// to[t + r] <- from[t] + base + slope r, for r in low..high.
static void slide(struct work *w, const int64_t *from, int64_t *to, int low, int high,
                  int64_t base, int64_t slope) {
    int head = 0, tail = 0;
    for (int t = low; t < w->width; t++) {
        int u = t - low;
        if (from[u] < FAR) {
            int64_t key = from[u] - slope * u;
            while (tail > head && w->key[tail - 1] >= key) tail--;
            w->queue[tail] = u;
            w->key[tail++] = key;
        }
        while (head < tail && w->queue[head] < t - high) head++;
        if (head == tail) continue;
        int64_t value = w->key[head] + base + slope * t;
        if (value < to[t]) to[t] = value;
    }
}

// What lies past the last step counts as the last step.
static void spill(const struct work *w, const int64_t *from, int64_t *to, int low, int high,
                  const struct plan_way *way, int64_t extra) {
    int last = w->width - 1;
    for (int u = last - high > 0 ? last - high : 0; u <= last; u++) {
        int removal = last - u > low ? last - u : low;
        if (from[u] >= FAR || removal > high) continue;
        int64_t value = from[u] + plan_use_cost(way, removal) + extra;
        if (value < to[last]) to[last] = value;
    }
}

static void use(struct work *w, const int64_t *from, int64_t *to, int low, int high,
                const struct plan_way *way, int64_t extra) {
    if (low < 0 || low > high) return;
    if (low < 1) low = 1;
    const int ends[] = {way->floor, way->knee, high};
    const int64_t slopes[] = {0, way->slope, way->steep};
    int begin = low;
    for (int piece = 0; piece < 3 && begin <= high; piece++) {
        int end = ends[piece] < high ? ends[piece] : high;
        if (end < begin) continue;
        int64_t base = plan_use_cost(way, begin) - slopes[piece] * begin + extra;
        slide(w, from, to, begin, end, base, slopes[piece]);
        begin = end + 1;
    }
    if (w->saturate) spill(w, from, to, low, high, way, extra);
}

static void use_first(const struct work *w, int64_t start, int64_t *to, int high,
                      const struct plan_way *way) {
    int low = w->p->first[way->belt], last = w->width - 1;
    if (low < 0 || start >= FAR) return;
    for (int r = low < 1 ? 1 : low; r <= high; r++) {
        if (r > last && !w->saturate) return;
        int64_t value = start + plan_use_cost(way, r) + w->p->mount;
        int t = r < last ? r : last;
        if (value < to[t]) to[t] = value;
    }
}

static void find_nearest(struct work *w, const struct layer *layer) {
    size_t n = (size_t)w->width;
    for (int belt = 0; belt < w->p->belts; belt++) {
        int64_t *best = w->nearest + (size_t)belt * n;
        for (size_t t = 0; t < n; t++) best[t] = FAR;
        for (int mask = 0; mask < w->masks; mask++) {
            const int64_t *values = row(w, layer, belt, mask);
            for (size_t t = 0; t < n; t++)
                if (values[t] < best[t]) best[t] = values[t];
        }
    }
}

// Layer `to` begins as a copy of `from`: the head lifted.
static void take_head(struct work *w, int head, int feed, const struct layer *from,
                      struct layer *to) {
    const struct plan_problem *p = w->p;
    memcpy(to->value, from->value, cells(w) * sizeof *to->value);
    to->start = from->start;
    find_nearest(w, from);
    for (size_t i = 0; i < p->n_ways; i++) {
        const struct plan_way *way = &p->ways[i];
        int high = way->most[feed], b = way->belt;
        if (way->head != head || high < 1) continue;
        int64_t *fresh = row(w, to, b, mask_with(w, 0, head));
        use_first(w, from->start, fresh, high, way);
        for (int a = 0; a < b; a++)
            if (p->step[a][b] >= 0)
                use(w, w->nearest + (size_t)a * (size_t)w->width, fresh, p->step[a][b], high, way,
                    p->mount);
        for (int mask = 0; mask < w->masks; mask++)
            use(w, row(w, from, b, mask), row(w, to, b, mask_with(w, mask, head)), p->step[b][b],
                high, way, carries(w, mask, head) ? 0 : p->mount);
    }
}

// --- passes --------------------------------------------------------------------------------------

struct trail {  // after each pass
    struct layer end[PLAN_MOST_PASSES + 1];
    unsigned char *feed[PLAN_MOST_PASSES + 1];
};

static bool new_layer(struct bw_arena *arena, const struct work *w, struct layer *out) {
    out->value = bw_arena_array(arena, cells(w), sizeof *out->value);
    if (out->value == NULL) return false;
    for (size_t i = 0; i < cells(w); i++) out->value[i] = FAR;
    out->start = FAR;
    return true;
}

static void run_pass(struct work *w, const struct layer *before, int feed, struct layer a,
                     struct layer b, struct layer *end, unsigned char *feeds) {
    const struct layer *from = before;
    for (int head = 0; head < w->p->heads; head++) {
        take_head(w, head, feed, from, &a);
        struct layer spare = b;
        b = a;
        a = spare;
        from = &b;
    }
    for (size_t i = 0; i < cells(w); i++) {
        int64_t value = from->value[i] + w->p->feed_cost[feed];
        if (from->value[i] >= FAR || value >= end->value[i]) continue;
        end->value[i] = value;
        feeds[i] = (unsigned char)feed;
    }
}

// The cheapest finished label of a layer; `at` its cell.
static int64_t finished(const struct work *w, const struct layer *layer, size_t *at) {
    int64_t best = FAR;
    for (int belt = 0; belt < w->p->belts; belt++) {
        if (!w->p->last[belt]) continue;
        for (int mask = 0; mask < w->masks; mask++) {
            const int64_t *values = row(w, layer, belt, mask);
            for (int t = w->p->need; t < w->width; t++) {
                if (values[t] >= best) continue;
                best = values[t];
                *at = (size_t)(values - layer->value) + (size_t)t;
            }
        }
    }
    return best;
}

// --- the way back ----------------------------------------------------------------------------

struct label {
    int belt, mask, t;  // belt -1: none yet
};

static int64_t value_of(const struct work *w, const struct layer *layer, struct label l) {
    return l.belt < 0 ? layer->start : row(w, layer, l.belt, l.mask)[l.t];
}

// Could `before` with this way at removal r have led to `after` at `value`?
static bool leads(const struct work *w, const struct layer *from, struct label before,
                  const struct plan_way *way, int r, int64_t value) {
    const struct plan_problem *p = w->p;
    int least = before.belt < 0 ? p->first[way->belt] : p->step[before.belt][way->belt];
    if (least < 0 || r < least || r < 1) return false;
    bool kept = before.belt == way->belt && carries(w, before.mask, way->head);
    int64_t known = value_of(w, from, before);
    return known < FAR && known + plan_use_cost(way, r) + (kept ? 0 : p->mount) == value;
}

// The removals that lead from step u to step t with at most `high`: one, or where steps saturate
// the least that is enough.
static int removal_between(const struct work *w, struct label before, const struct plan_way *way,
                           int t) {
    int r = t - (before.belt < 0 ? 0 : before.t);
    if (!w->saturate || t < w->width - 1) return r;
    int least =
        before.belt < 0 ? w->p->first[way->belt] : w->p->step[before.belt][way->belt];
    return r > least ? r : least < 1 ? 1 : least;
}

static bool step_back_with(const struct work *w, const struct layer *from, size_t way_index,
                           int feed, int64_t value, struct label *at, struct plan_step *step) {
    const struct plan_way *way = &w->p->ways[way_index];
    for (int belt = -1; belt <= way->belt; belt++) {
        bool same = belt == way->belt;
        for (int mask = 0; mask < (belt < 0 ? 1 : w->masks); mask++) {
            int after = same ? mask_with(w, mask, way->head) : mask_with(w, 0, way->head);
            if (after != at->mask) continue;
            for (int u = belt < 0 ? 0 : at->t; u >= 0; u--) {
                struct label before = {belt, mask, u};
                int r = removal_between(w, before, way, at->t);
                if (r > way->most[feed]) break;
                if (!leads(w, from, before, way, r, value)) continue;
                *step = (struct plan_step){.head = way->head, .way = (int)way_index, .removal = r};
                *at = before;
                return true;
            }
        }
    }
    return false;
}

static bool step_back(const struct work *w, const struct layer *from, int head, int feed,
                      int64_t value, struct label *at, struct plan_step *step) {
    for (size_t i = 0; i < w->p->n_ways; i++) {
        const struct plan_way *way = &w->p->ways[i];
        if (way->head != head || way->belt != at->belt || way->most[feed] < 1) continue;
        if (step_back_with(w, from, i, feed, value, at, step)) return true;
    }
    return false;
}

// Runs the pass again at its feed, keeping every head's layer, and walks back through it. Steps are
// written from the end of `steps` downwards.
static void unwind_pass(struct work *w, struct layer *kept, int pass, int feed, struct label *at,
                        struct plan_answer *out) {
    for (int head = 0; head < w->p->heads; head++)
        take_head(w, head, feed, &kept[head], &kept[head + 1]);
    for (int head = w->p->heads - 1; head >= 0 && at->belt >= 0; head--) {
        int64_t value = value_of(w, &kept[head + 1], *at);
        if (value_of(w, &kept[head], *at) == value) continue;  // lifted
        struct plan_step step;
        bool found = step_back(w, &kept[head], head, feed, value, at, &step);
        assert(found);
        (void)found;
        step.pass = pass;
        out->steps[PLAN_MOST_STEPS - 1 - out->n_steps++] = step;
        out->removed += step.removal;
    }
    out->feed[pass] = feed;
}

static bool unwind(struct bw_arena *arena, struct work *w, struct trail *trail, int passes,
                   size_t cell, struct plan_answer *out, struct bw_err *err) {
    struct layer kept[12 + 1];
    for (int head = 0; head <= w->p->heads; head++)
        if (!new_layer(arena, w, &kept[head])) return bw_fail_memory(err);
    struct label at;
    at.t = (int)(cell % (size_t)w->width);
    at.mask = (int)(cell / (size_t)w->width % (size_t)w->masks);
    at.belt = (int)(cell / (size_t)w->width / (size_t)w->masks);
    for (int pass = passes; pass >= 1; pass--) {
        size_t index = (size_t)(row(w, &trail->end[pass], at.belt, at.mask) -
                                trail->end[pass].value) + (size_t)at.t;
        kept[0] = trail->end[pass - 1];
        unwind_pass(w, kept, pass - 1, trail->feed[pass][index], &at, out);
    }
    memmove(out->steps, out->steps + PLAN_MOST_STEPS - out->n_steps,
            (size_t)out->n_steps * sizeof *out->steps);
    out->passes = passes;
    return true;
}

// --- all of it -----------------------------------------------------------------------------------

static bool begin(struct bw_arena *arena, const struct plan_problem *p, struct work *w) {
    assert(p->heads <= 12 && (p->heads <= PLAN_MOST_HEADS || p->passes == 1));
    assert(p->passes <= PLAN_MOST_PASSES && p->belts <= PLAN_MOST_BELTS);
    assert(p->feeds <= PLAN_MOST_FEEDS && p->need >= 0);
    bool open = !p->exact && p->cap < 0;
    *w = (struct work){.p = p, .saturate = open, .masks = p->passes == 1 ? 1 : 1 << p->heads};
    int most = p->exact || open ? p->need : p->cap;
    w->width = (most < p->need ? p->need : most) + 1;
    size_t n = (size_t)w->width;
    w->nearest = bw_arena_array(arena, (size_t)p->belts * n, sizeof *w->nearest);
    w->queue = bw_arena_array(arena, n, sizeof *w->queue);
    w->key = bw_arena_array(arena, n, sizeof *w->key);
    return w->nearest != NULL && w->queue != NULL && w->key != NULL;
}

bool plan_solve(struct bw_arena *scratch, const struct plan_problem *problem,
                struct plan_answer *out, struct bw_err *err) {
    struct work w;
    struct trail trail;
    struct layer a, b;
    struct plan_answer answer = {.cost = PLAN_NEVER};
    bool beyond = !problem->exact && problem->cap >= 0 && problem->cap < problem->need;
    if (problem->belts == 0 || beyond) {
        *out = answer;
        return true;
    }
    if (!begin(scratch, problem, &w) || !new_layer(scratch, &w, &a) ||
        !new_layer(scratch, &w, &b) || !new_layer(scratch, &w, &trail.end[0]))
        return bw_fail_memory(err);
    trail.end[0].start = 0;
    int64_t best = FAR;
    int best_pass = 0;
    size_t best_cell = 0;
    for (int pass = 1; pass <= problem->passes; pass++) {
        trail.feed[pass] = bw_arena_get(scratch, cells(&w));
        if (trail.feed[pass] == NULL || !new_layer(scratch, &w, &trail.end[pass]))
            return bw_fail_memory(err);
        for (int feed = 0; feed < problem->feeds; feed++)
            run_pass(&w, &trail.end[pass - 1], feed, a, b, &trail.end[pass], trail.feed[pass]);
        size_t cell = 0;
        int64_t cost = finished(&w, &trail.end[pass], &cell);
        if (cost >= best) continue;
        best = cost;
        best_pass = pass;
        best_cell = cell;
    }
    if (best < FAR) {
        answer.cost = best;
        if (!unwind(scratch, &w, &trail, best_pass, best_cell, &answer, err)) return false;
    }
    *out = answer;
    return true;
}
