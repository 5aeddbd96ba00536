// shop.c - see shop.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The physics of one use, all of it simple and all of it calibrated by the shop's own amps:
//
//   power    P = u w a v / eta: energy for a volume (table cutting, times density and a factor
//            from measured amps), width, removal, feed; eta 0.9 for belt and bearings
//   heat     P eta over width and contact length, set against the shop's own good case and never
//            against a temperature: no scorch limit could be verified. Contact: a steel drum's
//            sqrt(2 R a), else the length the machine file gives
//   removal  the least of the grit's, the pressing part's, the motor's, the heat's. A belt slower
//            than 18 m/s takes less in proportion (Preston); a faster one no more
//   wear     a belt's life counts for half its limit; the same stock wears it in proportion,
//            beyond half twice as fast, and a belt that hardly cuts still dulls: half of that
//
// What was rejected: a temperature model (no verified numbers), and roughness as a limit without
// the shop's own readings (the slope is from memory).
#include "study/sequence/shop.h"

#include "base/suggest.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EFFICIENCY 0.9
#define USUAL_SPEED 18.0  // m/s
#define LIGHT 0.7         // of the stock, where extraction is weak and on end grain
#define LEAST 5.08e-6     // a belt that takes less does nothing

const char *shop_say(struct shop *shop, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(shop->arena, format, args);
    va_end(args);
    if (text == NULL) shop->failed = true;
    return text == NULL ? "" : text;
}

#define MOST_ASSUMED 32
void shop_assume(struct shop *shop, const char *about, const char *text) {
    if (shop->n_assumed == MOST_ASSUMED || shop->failed) return;
    shop->assumed[shop->n_assumed++] =
        (struct sequence_line){.about = about, .text = text, .share = BW_UNKNOWN};
}

struct question question_plain(void) {
    struct question q = {.energy = 1,
                         .most = 1,
                         .clear = 1,
                         .marks = 1,
                         .life = 1,
                         .hour = 1,
                         .weight_money = 1,
                         .without = -1};
    for (int i = 0; i < LIMIT_COUNT; i++) q.loose[i] = 1;
    return q;
}

// --- one use -----------------------------------------------------------------------------------

double shop_power(const struct shop *shop, const struct point *at, double takes) {
    double u = bw_sanding_energy(&shop->sanding, at->belt->grit->size.v, shop->wood->density.v);
    return u * shop->energy * shop->width * takes * at->feed / EFFICIENCY;
}

double shop_heat(const struct shop *shop, const struct point *at, double takes) {
    double contact = at->part->steel ? sqrt(at->part->diameter * takes) : at->part->contact;
    return shop_power(shop, at, takes) * EFFICIENCY / (shop->width * contact);
}

double shop_motor(const struct shop_head *head, double speed) {
    return head->power * fmin(1, speed / head->fast);
}

static void tighten(struct use_limits *limits, double most, enum limit by) {
    if (most >= limits->most) return;
    limits->most = most;
    limits->by = by;
}

static bool coated(const struct shop *shop) { return shop->wood->structure == BW_COATING; }

// Grits the part is used with; on a drum gone hard none that a finish ends with. No steel on
// veneer: it sands through where the core is high.
static bool suits(const struct shop *shop, const struct point *at) {
    double size = at->belt->grit->size.v;
    if (at->part->steel && bw_known(shop->in->veneer)) return false;
    if (at->head->hard && size <= shop->finish->coarsest * 1.02) return false;
    return size <= at->part->coarsest * 1.02 && size >= at->part->finest * 0.98;
}

// The removal at which the belt, about to be changed, gets as hot as the good case.
static double cool(const struct shop *shop, const struct question *q, const struct point *at,
                   double speed) {
    double allowed = at->head->good_heat * USUAL_SPEED / speed * q->loose[LIMIT_HEAT];
    double dull = shop->in->dull.v * q->energy;
    double at_one = dull * shop_power(shop, at, 1) * EFFICIENCY / shop->width;
    return at->part->steel ? pow(allowed / at_one, 2) * at->part->diameter
                           : allowed * at->part->contact / at_one;
}

// The most a use may take at one belt speed.
static struct use_limits limits_at(const struct shop *shop, const struct question *q,
                                   const struct point *at, double speed) {
    struct use_limits l = {.most = 0.05, .speed = speed, .by = LIMIT_STOCK};
    double usual = coated(shop) ? 5 : USUAL_SPEED;
    double share = (speed < usual ? speed / usual : 1) * (at->head->weak_air ? LIGHT : 1) *
                   (shop->in->orientation == END_GRAIN ? LIGHT : 1);
    double dull = shop->in->dull.v * q->energy, power = shop_motor(at->head, speed);
    if (!q->off[LIMIT_MOST])
        tighten(&l, at->belt->most * share * q->most * q->loose[LIMIT_MOST], LIMIT_MOST);
    if (!q->off[LIMIT_CONTACT])
        tighten(&l, suits(shop, at) ? at->part->most * q->loose[LIMIT_CONTACT] : 0, LIMIT_CONTACT);
    if (!q->off[LIMIT_POWER] && !isnan(power))
        tighten(&l, power * q->loose[LIMIT_POWER] / (dull * shop_power(shop, at, 1)), LIMIT_POWER);
    if (!q->off[LIMIT_HEAT] && isfinite(at->head->good_heat))
        tighten(&l, cool(shop, q, at, speed), LIMIT_HEAT);
    if (!q->off[LIMIT_SPEED] && coated(shop) && speed > 8) tighten(&l, 0, LIMIT_SPEED);
    return l;
}

struct use_limits shop_limits(const struct shop *shop, const struct question *q,
                              const struct point *at) {
    double slow = at->head->slow, fast = at->head->fast;
    struct use_limits best = limits_at(shop, q, at, slow);
    enum { LEVELS = 8 };
    // Of equal removals the slowest belt: it runs cooler.
    for (int i = 1; fast > slow && i <= LEVELS; i++) {
        struct use_limits l = limits_at(shop, q, at, slow * pow(fast / slow, i / (double)LEVELS));
        if (l.most > best.most * (1 + 1e-9)) best = l;
    }
    return best;
}

double shop_through(const struct shop *shop, double removed) {
    const struct sequence_input *in = shop->in;
    double veneer_sd = bw_sd_known(in->veneer) ? in->veneer.sd : 0.05 * in->veneer.v;
    double bed = in->parallelism.v / sqrt(12);
    double sd = sqrt(veneer_sd * veneer_sd + in->core_spread.v * in->core_spread.v + bed * bed +
                     in->removal_sd.v * in->removal_sd.v);
    return 0.5 * erfc((in->veneer.v - removed) / (sd * sqrt(2)));
}

double shop_ra(const struct shop *shop, const struct shelf_belt *belt) {
    return shop->rough_slope * belt->grit->size.v + shop->rough_floor;
}

// --- the planner's problem -----------------------------------------------------------------------

static int steps_down(double m, const struct question *q) {
    double steps = m / PLAN_STEP_M;
    return (int)(q->between ? ceil(steps - 1e-6) : floor(steps + 1e-6));
}
static int steps_up(double m, const struct question *q) {
    double steps = m / PLAN_STEP_M;
    return (int)(q->between ? floor(steps + 1e-6) : ceil(steps - 1e-6));
}

static bool fits(const struct shelf_belt *belt, const struct shop_head *head) {
    const struct sequence_belt *given = belt->given;
    return given == NULL || given->head == BW_NO_COUNT || given->head == (long)head->index + 1;
}

static void price_use(const struct question *q, const struct shelf_belt *belt,
                      const struct part *part, struct plan_way *way) {
    double most = fmin(belt->most, part->most) / PLAN_STEP_M;
    double full = belt->price / (belt->life * q->life);  // a m2 at half the limit
    way->knee = (int)fmax(1, floor(most / 2));
    way->floor = way->knee / 2;
    way->slope = (int64_t)llround(full / way->knee * UNIT * q->weight_money);
    way->steep = 2 * way->slope;
    way->fixed = (int64_t)way->floor * way->slope;
    // Of parts that all can the first: a platen leaves the evener face.
    way->fixed += way->tag;
}

// The slowest feed allows the most: whether there is a plan at all it decides alone.
static int slowest_feed(const struct shop *shop, const struct question *q) {
    int f = 0;
    while (!q->off[LIMIT_FEED] && f < shop->n_feeds - 1 && shop->feeds[f] < q->slowest * (1 - 1e-9))
        f++;
    return f;
}

// What the way may take at each feed; the most of all of them.
static int fill_most(const struct shop *shop, const struct question *q, struct point at, int feeds,
                     struct plan_way *way) {
    int highest = 0;
    for (int f = 0; f < feeds; f++) {
        at.feed = shop->feeds[q->whether ? slowest_feed(shop, q) : f];
        bool slow = !q->off[LIMIT_FEED] && at.feed < q->slowest * (1 - 1e-9);
        way->most[f] = slow ? 0 : steps_down(shop_limits(shop, q, &at).most, q);
        if (way->most[f] > highest) highest = way->most[f];
    }
    return highest;
}

static bool add_ways(struct shop *shop, const struct question *q, const struct shelf_belt *belts,
                     struct plan_problem *p) {
    size_t room = 0;
    for (int h = 0; h < shop->n_heads; h++) room += (size_t)(p->belts * shop->heads[h].n_parts);
    struct plan_way *ways = bw_arena_array(shop->arena, room + 1, sizeof *ways);
    if (ways == NULL) return false;
    for (int h = 0; h < shop->n_heads; h++) {
        const struct shop_head *head = &shop->heads[h];
        for (int i = 0; i < head->n_parts * p->belts; i++) {
            int part = i / p->belts, belt = i % p->belts;
            struct point at = {.head = head, .part = &head->parts[part], .belt = &belts[belt]};
            struct plan_way *way = &ways[p->n_ways];
            if (!fits(at.belt, head) || belt == q->without) continue;
            *way = (struct plan_way){.head = h, .belt = belt, .tag = part};
            way->ends = !shop->platen_last || at.part->platen || q->off[LIMIT_FINISH];
            if (fill_most(shop, q, at, p->feeds, way) == 0) continue;
            price_use(q, at.belt, at.part, way);
            p->n_ways++;
        }
    }
    p->ways = ways;
    return true;
}

static void add_steps(struct shop *shop, const struct question *q, const struct shelf_belt *belts,
                      struct plan_problem *p) {
    long skip = shop->in->largest_skip + (q->loose[LIMIT_SKIP] > 1 ? 1 : 0);
    for (int a = 0; a < p->belts; a++) {
        for (int b = a; b < p->belts; b++) {
            bool finer = bw_grit_order(belts[a].grit, belts[b].grit) < 0;
            double clear = belts[a].clear * q->clear / q->loose[LIMIT_CLEAR];
            bool clears = finer && !q->off[LIMIT_CLEAR];
            p->step[a][b] = clears ? steps_up(fmax(clear, LEAST), q) : steps_up(LEAST, q);
            if (!q->off[LIMIT_SKIP] && finer &&
                bw_grit_skips(&shop->grits, belts[a].grit, belts[b].grit) > skip)
                p->step[a][b] = -1;
        }
        p->first[a] = steps_up(LEAST, q);
        double size = belts[a].grit->size.v;
        bool last = size <= shop->finish->coarsest * 1.02 && size >= shop->finish->finest * 0.98;
        if (bw_known(shop->in->roughest))
            last = last && shop_ra(shop, &belts[a]) <= shop->in->roughest.v;
        p->last[a] = last || q->off[LIMIT_FINISH];
    }
}

static void add_stock(const struct shop *shop, const struct question *q, struct plan_problem *p) {
    const struct sequence_input *in = shop->in;
    double least = (shop->spread + shop->marks * q->marks) / q->loose[LIMIT_STOCK];
    bool given = bw_known(in->remove) && !q->off[LIMIT_STOCK];
    p->need = q->off[LIMIT_STOCK] ? 0 : steps_up(least, q);
    p->cap = -1;
    if (given) {
        int remove = steps_down(in->remove.v / q->loose[LIMIT_STOCK], q);
        // Less than the marks are deep: then there is no plan.
        p->exact = remove >= p->need;
        if (p->exact) p->need = remove;
        p->cap = remove;
    }
    if (q->off[LIMIT_THROUGH] || isinf(shop->cap)) return;
    int cap = steps_down(shop->cap * q->loose[LIMIT_THROUGH], q);
    if (p->exact && p->need > cap) p->exact = false;
    if (!p->exact && (p->cap < 0 || cap < p->cap)) p->cap = cap;
}

static void add_costs(const struct shop *shop, const struct question *q, struct plan_problem *p) {
    if (q->whether) {
        p->feed_cost[0] = 1;
        return;
    }
    double second = shop->hour * q->hour / 3600 * q->weight_money + q->weight_time;
    for (int f = 0; f < p->feeds; f++)
        p->feed_cost[f] =
            (int64_t)llround(UNIT * (second / (shop->feeds[f] * shop->width) + q->weight_pass));
    p->mount = (int64_t)llround(UNIT * second * shop->in->change.v / shop->in->batch.v);
}

// A shelf with one more grit, in its place. NULL: out of memory.
static const struct shelf_belt *shelf_with(struct shop *shop, const struct shelf_belt *shelf,
                                           const struct bw_grit *grit, int *n) {
    if (grit == NULL || *n == PLAN_MOST_BELTS) return shelf;
    struct shelf_belt *belts = bw_arena_array(shop->arena, (size_t)*n + 1, sizeof *belts);
    if (belts == NULL) return NULL;
    int at = 0;
    while (at < *n && bw_grit_order(shelf[at].grit, grit) <= 0) at++;
    memcpy(belts, shelf, (size_t)at * sizeof *belts);
    belts[at] = (struct shelf_belt){.grit = grit,
                                    .most = bw_sanding_most(&shop->sanding, grit->size.v),
                                    .clear = bw_sanding_clear(&shop->sanding, grit->size.v),
                                    .price = USUAL_PRICE,
                                    .life = USUAL_LIFE};
    memcpy(belts + at + 1, shelf + at, (size_t)(*n - at) * sizeof *belts);
    ++*n;
    return belts;
}

bool shop_ask(struct shop *shop, const struct question *q, struct asked *out, struct bw_err *err) {
    struct plan_problem *p = bw_arena_get(shop->arena, sizeof *p);
    if (p == NULL) return bw_fail_memory(err);
    p->belts = shop->n_belts;
    const struct shelf_belt *belts = shop->belts;
    for (int i = 0; i < 2 && belts != NULL; i++)
        belts = shelf_with(shop, belts, q->with[i], &p->belts);
    if (belts == NULL) return bw_fail_memory(err);
    p->heads = shop->n_heads;
    p->feeds = q->whether ? 1 : shop->n_feeds;
    p->passes = q->passes > 0 ? q->passes : shop->passes;
    if (q->loose[LIMIT_PASSES] > 1) p->passes += 1;
    if (q->off[LIMIT_PASSES]) p->passes += 4;
    if (p->passes > PLAN_MOST_PASSES) p->passes = PLAN_MOST_PASSES;
    if (p->heads > PLAN_MOST_HEADS) p->passes = 1;
    if (!add_ways(shop, q, belts, p)) return bw_fail_memory(err);
    add_steps(shop, q, belts, p);
    add_stock(shop, q, p);
    add_costs(shop, q, p);
    struct bw_arena *scratch = bw_arena_new(0);
    struct asked asked = {.problem = p, .belts = belts};
    bool done = scratch == NULL ? bw_fail_memory(err) : plan_solve(scratch, p, &asked.plan, err);
    bw_arena_free(scratch);
    if (done) *out = asked;
    return done;
}

// --- what an answer costs ------------------------------------------------------------------------

static int mounts(const struct asked *asked) {
    int fitted[BW_MAX_HEADS], n = 0;
    for (int i = 0; i < BW_MAX_HEADS; i++) fitted[i] = -1;
    for (int i = 0; i < asked->plan.n_steps; i++) {
        const struct plan_step *step = &asked->plan.steps[i];
        int belt = asked->problem->ways[step->way].belt;
        n += fitted[step->head] != belt;
        fitted[step->head] = belt;
    }
    return n;
}

double shop_time(const struct shop *shop, const struct asked *asked) {
    double time = mounts(asked) * shop->in->change.v / shop->in->batch.v;
    for (int pass = 0; pass < asked->plan.passes; pass++)
        time += 1 / (shop->feeds[asked->plan.feed[pass]] * shop->width);
    return time;
}

double shop_money(const struct shop *shop, const struct asked *asked) {
    struct question plain = question_plain();
    double money = shop_time(shop, asked) * shop->hour / 3600;
    for (int i = 0; i < asked->plan.n_steps; i++) {
        const struct plan_step *step = &asked->plan.steps[i];
        struct plan_way way = asked->problem->ways[step->way];
        const struct part *part = &shop->heads[way.head].parts[way.tag];
        price_use(&plain, &asked->belts[way.belt], part, &way);
        money += (double)plan_use_cost(&way, step->removal) / UNIT;
    }
    return money;
}
