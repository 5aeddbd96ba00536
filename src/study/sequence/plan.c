// plan.c - see plan.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Label setting in layers. A label is (belt used last, heads that carry it, whether the plan may
// end on the last use, steps removed so far); its value is the least cost to get there. Heads are
// taken in feed order, passes one after the other, and within a pass once for each feed, since the
// feed decides what motors and heat allow. Why the heads that carry the last belt are in the label:
// belts only get finer, so a head's belt need not be changed exactly where the head is among them.
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
    int masks, width;  // heads' sets with the bit for an end, steps + 1
    bool saturate;     // more than needed counts as needed
    int64_t *nearest;  // belts x width: the best over all masks
    int *queue;
    int64_t *key;
    struct layer one, two;                      // within a pass
    struct layer end[PLAN_MOST_PASSES + 1];     // after each pass
    unsigned char *feed[PLAN_MOST_PASSES + 1];  // by which it got there
};

static size_t cells(const struct work *w) {
    return (size_t)w->p->belts * (size_t)w->masks * (size_t)w->width;
}
static int64_t *row(const struct work *w, const struct layer *layer, int belt, int mask) {
    return layer->value + ((size_t)belt * (size_t)w->masks + (size_t)mask) * (size_t)w->width;
}
// The lowest bit: the last use may end the plan. Above it the heads that carry its belt; with one
// pass, or belts changed at no cost, they need not be kept.
static int mask_with(const struct work *w, int mask, const struct plan_way *way) {
    int heads = w->masks == 2 ? 0 : (mask | 2 << way->head) & ~1;
    return heads | (way->ends ? 1 : 0);
}
static bool carries(const struct work *w, int mask, int head) {
    return w->masks > 2 && (mask >> (head + 1) & 1) != 0;
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

// A use of a head on a row of labels: removals low..high, costs of the way and `extra`.
struct use {
    const struct plan_way *way;
    const int64_t *from;
    int64_t *to;
    int low, high;
    int64_t extra;
};

// to[t + r] <- from[t] + base + slope r, for r in use.low..high.
static void slide(struct work *w, const struct use *use, int64_t base, int64_t slope) {
    int head = 0, tail = 0;
    for (int t = use->low; t < w->width; t++) {
        int u = t - use->low;
        if (use->from[u] < FAR) {
            int64_t key = use->from[u] - slope * u;
            while (tail > head && w->key[tail - 1] >= key) tail--;
            w->queue[tail] = u;
            w->key[tail++] = key;
        }
        while (head < tail && w->queue[head] < t - use->high) head++;
        if (head == tail) continue;
        int64_t value = w->key[head] + base + slope * t;
        if (value < use->to[t]) use->to[t] = value;
    }
}

// What lies past the last step counts as the last step.
static void spill(const struct work *w, const struct use *use) {
    int last = w->width - 1;
    for (int u = last - use->high > 0 ? last - use->high : 0; u <= last; u++) {
        int removal = last - u > use->low ? last - u : use->low;
        if (use->from[u] >= FAR || removal > use->high) continue;
        int64_t value = use->from[u] + plan_use_cost(use->way, removal) + use->extra;
        if (value < use->to[last]) use->to[last] = value;
    }
}

static void apply(struct work *w, struct use use) {
    const struct plan_way *way = use.way;
    if (use.low < 0 || use.low > use.high) return;
    if (use.low < 1) use.low = 1;
    const int ends[] = {way->floor, way->knee, use.high};
    const int64_t slopes[] = {0, way->slope, way->steep};
    struct use piece = use;
    for (int i = 0; i < 3 && piece.low <= use.high; i++) {
        piece.high = ends[i] < use.high ? ends[i] : use.high;
        if (piece.high < piece.low) continue;
        slide(w, &piece, plan_use_cost(way, piece.low) - slopes[i] * piece.low + use.extra,
              slopes[i]);
        piece.low = piece.high + 1;
    }
    if (w->saturate) spill(w, &use);
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
        int64_t *fresh = row(w, to, b, mask_with(w, 0, way));
        use_first(w, from->start, fresh, high, way);
        struct use use = {.way = way, .to = fresh, .high = high, .extra = p->mount};
        for (int a = 0; a < b; a++) {
            use.from = w->nearest + (size_t)a * (size_t)w->width;
            use.low = p->step[a][b];
            apply(w, use);
        }
        use.low = p->step[b][b];
        for (int mask = 0; mask < w->masks; mask++) {
            use.from = row(w, from, b, mask);
            use.to = row(w, to, b, mask_with(w, mask, way));
            use.extra = carries(w, mask, head) ? 0 : p->mount;
            apply(w, use);
        }
    }
}

// --- passes --------------------------------------------------------------------------------------

static bool new_layer(struct bw_arena *arena, const struct work *w, struct layer *out) {
    out->value = bw_arena_array(arena, cells(w), sizeof *out->value);
    if (out->value == NULL) return false;
    for (size_t i = 0; i < cells(w); i++) out->value[i] = FAR;
    out->start = FAR;
    return true;
}

// One pass at one feed, into the layer after it where it is better.
static void run_pass(struct work *w, int pass, int feed) {
    struct layer *from = &w->end[pass - 1], *to = &w->one;
    for (int head = 0; head < w->p->heads; head++) {
        take_head(w, head, feed, from, to);
        from = to;
        to = from == &w->one ? &w->two : &w->one;
    }
    struct layer *end = &w->end[pass];
    for (size_t i = 0; i < cells(w); i++) {
        int64_t value = from->value[i] + w->p->feed_cost[feed];
        if (from->value[i] >= FAR || value >= end->value[i]) continue;
        end->value[i] = value;
        w->feed[pass][i] = (unsigned char)feed;
    }
}

// The cheapest finished label of a layer; `at` its cell.
static int64_t finished(const struct work *w, const struct layer *layer, size_t *at) {
    int64_t best = FAR;
    for (int belt = 0; belt < w->p->belts; belt++) {
        if (!w->p->last[belt]) continue;
        for (int mask = 1; mask < w->masks; mask += 2) {
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

// Where the way back stands within a pass, and what it looks for.
struct back {
    struct label at;
    const struct layer *from;  // before the head
    int head, feed;
    int64_t value;          // of `at`, after the head
    struct plan_step step;  // found
};

// Could `before` with this way at removal r have led here?
static bool leads(const struct work *w, const struct back *back, struct label before, int way_index,
                  int r) {
    const struct plan_problem *p = w->p;
    const struct plan_way *way = &p->ways[way_index];
    int least = before.belt < 0 ? p->first[way->belt] : p->step[before.belt][way->belt];
    if (least < 0 || r < least || r < 1) return false;
    bool kept = before.belt == way->belt && carries(w, before.mask, way->head);
    int64_t known = value_of(w, back->from, before);
    return known < FAR && known + plan_use_cost(way, r) + (kept ? 0 : p->mount) == back->value;
}

// The removals that lead from step u to step t with at most `high`: one, or where steps saturate
// the least that is enough.
static int removal_between(const struct work *w, struct label before, const struct plan_way *way,
                           int t) {
    int r = t - before.t;
    if (!w->saturate || t < w->width - 1) return r;
    int least = before.belt < 0 ? w->p->first[way->belt] : w->p->step[before.belt][way->belt];
    return r > least ? r : least < 1 ? 1 : least;
}

// Looks for the removal from labels (belt, mask, any step).
static bool find_removal(const struct work *w, struct back *back, int way_index,
                         struct label before) {
    const struct plan_way *way = &w->p->ways[way_index];
    for (int u = before.belt < 0 ? 0 : back->at.t; u >= 0; u--) {
        before.t = u;
        int r = removal_between(w, before, way, back->at.t);
        if (r > way->most[back->feed]) break;
        if (!leads(w, back, before, way_index, r)) continue;
        back->step = (struct plan_step){.head = way->head, .way = way_index, .removal = r};
        back->at = before;
        return true;
    }
    return false;
}

static bool find_before(const struct work *w, struct back *back, int way_index) {
    const struct plan_way *way = &w->p->ways[way_index];
    for (int belt = -1; belt <= way->belt; belt++) {
        for (int mask = 0; mask < (belt < 0 ? 1 : w->masks); mask++) {
            int after = mask_with(w, belt == way->belt ? mask : 0, way);
            struct label before = {.belt = belt, .mask = mask};
            if (after == back->at.mask && find_removal(w, back, way_index, before)) return true;
        }
    }
    return false;
}

static bool step_back(const struct work *w, struct back *back) {
    for (size_t i = 0; i < w->p->n_ways; i++) {
        const struct plan_way *way = &w->p->ways[i];
        bool may = way->head == back->head && way->belt == back->at.belt;
        if (may && way->most[back->feed] > 0 && find_before(w, back, (int)i)) return true;
    }
    return false;
}

// Runs the pass again at its feed, keeping every head's layer, and walks back through it. Steps are
// written from the end of `steps` downwards.
static struct label unwind_pass(struct work *w, struct layer *kept, int pass, struct label at,
                                struct plan_answer *out) {
    struct back back = {.at = at, .feed = out->feed[pass]};
    for (int head = 0; head < w->p->heads; head++)
        take_head(w, head, back.feed, &kept[head], &kept[head + 1]);
    for (back.head = w->p->heads - 1; back.head >= 0 && back.at.belt >= 0; back.head--) {
        back.from = &kept[back.head];
        back.value = value_of(w, &kept[back.head + 1], back.at);
        if (value_of(w, back.from, back.at) == back.value) continue;  // lifted
        bool found = step_back(w, &back);
        assert(found);
        (void)found;
        back.step.pass = pass;
        out->steps[PLAN_MOST_STEPS - 1 - out->n_steps++] = back.step;
        out->removed += back.step.removal;
    }
    return back.at;
}

static bool unwind(struct bw_arena *arena, struct work *w, size_t cell, struct plan_answer *out,
                   struct bw_err *err) {
    struct layer kept[12 + 1];
    size_t width = (size_t)w->width, masks = (size_t)w->masks;
    struct label at = {.belt = (int)(cell / width / masks),
                       .mask = (int)(cell / width % masks),
                       .t = (int)(cell % width)};
    for (int head = 0; head <= w->p->heads; head++)
        if (!new_layer(arena, w, &kept[head])) return bw_fail_memory(err);
    for (int pass = out->passes; pass >= 1; pass--) {
        const struct layer *end = &w->end[pass];
        size_t index = (size_t)(row(w, end, at.belt, at.mask) - end->value) + (size_t)at.t;
        out->feed[pass - 1] = w->feed[pass][index];
        kept[0] = w->end[pass - 1];
        at = unwind_pass(w, kept, pass - 1, at, out);
    }
    memmove(out->steps, out->steps + PLAN_MOST_STEPS - out->n_steps,
            (size_t)out->n_steps * sizeof *out->steps);
    return true;
}

// --- all of it -----------------------------------------------------------------------------------

static bool begin(struct bw_arena *arena, const struct plan_problem *p, struct work *w) {
    assert(p->heads <= 12 && (p->heads <= PLAN_MOST_HEADS || p->passes == 1));
    assert(p->passes <= PLAN_MOST_PASSES && p->belts <= PLAN_MOST_BELTS);
    assert(p->feeds <= PLAN_MOST_FEEDS && p->need >= 0);
    bool open = !p->exact && p->cap < 0;
    *w = (struct work){
        .p = p, .saturate = open, .masks = p->passes == 1 || p->mount == 0 ? 2 : 2 << p->heads};
    int most = p->exact || open ? p->need : p->cap;
    w->width = (most < p->need ? p->need : most) + 1;
    size_t n = (size_t)w->width;
    w->nearest = bw_arena_array(arena, (size_t)p->belts * n, sizeof *w->nearest);
    w->queue = bw_arena_array(arena, n, sizeof *w->queue);
    w->key = bw_arena_array(arena, n, sizeof *w->key);
    return w->nearest != NULL && w->queue != NULL && w->key != NULL &&
           new_layer(arena, w, &w->one) && new_layer(arena, w, &w->two) &&
           new_layer(arena, w, &w->end[0]);
}

bool plan_solve(struct bw_arena *scratch, const struct plan_problem *problem,
                struct plan_answer *out, struct bw_err *err) {
    struct work w;
    struct plan_answer answer = {.cost = PLAN_NEVER};
    bool beyond = !problem->exact && problem->cap >= 0 && problem->cap < problem->need;
    if (problem->belts == 0 || beyond) {
        *out = answer;
        return true;
    }
    if (!begin(scratch, problem, &w)) return bw_fail_memory(err);
    w.end[0].start = 0;
    int64_t best = FAR;
    size_t best_cell = 0;
    for (int pass = 1; pass <= problem->passes; pass++) {
        w.feed[pass] = bw_arena_get(scratch, cells(&w));
        if (w.feed[pass] == NULL || !new_layer(scratch, &w, &w.end[pass]))
            return bw_fail_memory(err);
        for (int feed = 0; feed < problem->feeds; feed++) run_pass(&w, pass, feed);
        size_t cell = 0;
        int64_t cost = finished(&w, &w.end[pass], &cell);
        if (cost >= best) continue;
        best = cost;
        best_cell = cell;
        answer.passes = pass;
    }
    if (best < FAR) {
        answer.cost = best;
        if (!unwind(scratch, &w, best_cell, &answer, err)) return false;
    }
    *out = answer;
    return true;
}
