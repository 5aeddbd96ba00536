// plan.c - two-step look-ahead over tests and fixes on an estimate of the cost to go.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. The cost to go from a state of belief is estimated twice and the smaller taken:
//   - mending only: fixes in falling order of (chance of cure) / cost, the classical order
//     (Kadane & Simon; Heckerman, Breese, Rommelse 1995; from memory), a specialist as soon as he
//     is cheaper;
//   - knowing first: what each cause costs once it is known, plus the price of not knowing. Not
//     knowing is measured by the entropy over what one would do (causes cured by one fix are one
//     class: to tell them apart is worth nothing), and a nat of it costs what mending only wastes
//     per nat now. Tests at hand are spent on it, best first, each taking its share of the
//     entropy, as long as it pays; from the phone once with the questions alone, and once with a
//     visit and everything.
// Mending only overrates guessing where tests are cheap, and alone makes a one-step look-ahead
// blind: no single question changes the order of repairs. The second estimate lets small steps
// count. Every step is tried against the estimate, then the most promising are tried again with
// the best step after them. Nothing here is claimed optimal; claims/ measures the distance on
// problems small enough to solve.
#include "reason/plan.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <string.h>

#define REFINED 12     // choices looked at two steps deep
#define SHORT_LIST 24  // tests tried as the second step
#define PAIRED 6       // fixes behind the door tried two at a time
#define PATHS 6        // hypotheses along which asking is followed
#define PATH_STEPS 6   // questions along each
#define PATH_TESTS 24  // tests chosen from there
#define NO_CLASS 65535

struct cure {  // one fix's cures, sparse
    size_t n;
    unsigned short *cause;
    double *chance;
};

// What a test would take off the entropy, as a share, and its minutes. Lists by falling share per
// minute.
struct worth {
    unsigned short test;
    double share, minutes;
};

struct planner {
    const struct bw_plan_problem *p;
    struct cure *cures;          // [fixes]
    double *known[4];            // [hypotheses] by stand: what it costs once the cause is known
    double *hired;               // [hypotheses]: what a specialist then costs, the repair in it
    unsigned short *class;       // [hypotheses]: the fix one would try first
    double *class_mass;          // [fixes + 1]
    double *mass;                // scratch of the mending estimate
    bool *tried;                 // scratch of the mending estimate
    bool *fix_used, *test_used;  // along the path looked at
    struct worth *list;          // tests worth having, on the phone or there
    size_t n_list;
    double waste;     // what a nat of not knowing costs, in minutes, if one only mends
    double price[2];  // what a nat costs with tests at hand: on the phone alone, at the machine
};

// A state of belief looked at, and where one stands in it; `room` is scratch for what is looked
// at below, 2 * hypotheses for each step.
struct state {
    const double *mass;
    struct bw_stand stand;
    int depth;  // steps still to look ahead
    double *room;
};

double bw_work_cost(const struct bw_work *work, const struct bw_plan_costs *costs,
                    struct bw_stand *stand) {
    double minutes = work->minutes;
    if (work->on_site && !stand->on_site) {
        minutes += costs->travel;
        stand->on_site = true;
    }
    if ((work->fit_minutes > 0 || work->belts == BW_BELTS_STOPPED) && !stand->locked) {
        minutes += costs->lock_out;
        stand->locked = true;
    }
    minutes += work->fit_minutes;
    if ((work->fit_minutes > 0 || work->belts == BW_BELTS_RUNNING) && stand->locked) {
        minutes += costs->close_up;
        stand->locked = false;
    }
    return minutes;
}

double bw_fix_cost(const struct bw_work *work, const struct bw_plan_costs *costs,
                   struct bw_stand *stand) {
    double minutes = work->again && stand->on_site ? costs->travel : 0;
    minutes += bw_work_cost(work, costs, stand);
    if (stand->locked) minutes += costs->close_up;
    stand->locked = false;
    return minutes + costs->prove;
}

static size_t stand_index(struct bw_stand stand) {
    return (stand.on_site ? 1u : 0u) + (stand.locked ? 2u : 0u);
}

// Minutes if a specialist is called now, for a mass that need not sum to 1.
static double hire(const struct planner *w, const double *mass) {
    double minutes = 0;
    for (size_t c = 0; c < w->p->hypotheses; c++) minutes += mass[c] * w->hired[c];
    return minutes;
}

static double gain_of(const struct cure *cure, const double *mass) {
    double gain = 0;
    for (size_t i = 0; i < cure->n; i++) gain += mass[cure->cause[i]] * cure->chance[i];
    return gain;
}

static void apply(const struct cure *cure, double *mass) {
    for (size_t i = 0; i < cure->n; i++) mass[cure->cause[i]] *= 1.0 - cure->chance[i];
}

// What a fix spares: the calls to a specialist for what it cures.
static double spares_of(const struct planner *w, size_t r, const double *mass) {
    const struct cure *cure = &w->cures[r];
    double spares = 0;
    for (size_t i = 0; i < cure->n; i++)
        spares += mass[cure->cause[i]] * cure->chance[i] * w->hired[cure->cause[i]];
    return spares;
}

// The untried fix that spares most for its cost, of those that spare more than they cost;
// `fixes`: none.
static size_t best_fix(const struct planner *w, const struct state *at, double left,
                       const bool *tried, double *gain_out) {
    const struct bw_plan_problem *p = w->p;
    double best = left;
    size_t which = p->fixes;
    for (size_t r = 0; r < p->fixes; r++) {
        if (tried[r]) continue;
        double spares = spares_of(w, r, at->mass);
        struct bw_stand after = at->stand;
        if (spares <= best * p->fix_work[r].minutes) continue;  // its cost is at least that
        double cost = bw_fix_cost(&p->fix_work[r], &p->costs, &after);
        double gain = gain_of(&w->cures[r], at->mass);
        cost += (1 - gain / left) * p->costs.failed;
        if (spares <= best * cost) continue;
        best = spares / cost;
        which = r;
        *gain_out = gain;
    }
    return which;
}

// Expected minutes of mending only, from `mass` (which sums to 1 and is kept).
static double mend_only(const struct planner *w, const double *mass, struct bw_stand stand) {
    const struct bw_plan_problem *p = w->p;
    memcpy(w->mass, mass, p->hypotheses * sizeof *mass);
    memcpy(w->tried, w->fix_used, p->fixes * sizeof *w->tried);
    double left = 1.0, minutes = 0.0;
    while (left > 1e-9) {
        double gain = 0;
        const struct state at = {.mass = w->mass, .stand = stand};
        size_t r = best_fix(w, &at, left, w->tried, &gain);
        if (r == p->fixes) break;
        minutes += left * bw_fix_cost(&p->fix_work[r], &p->costs, &stand);
        apply(&w->cures[r], w->mass);
        w->tried[r] = true;
        left -= gain;
        minutes += left * p->costs.failed;
    }
    return minutes + hire(w, w->mass);
}

static double class_entropy(const struct planner *w, const double *mass) {
    const struct bw_plan_problem *p = w->p;
    memset(w->class_mass, 0, (p->fixes + 1) * sizeof *w->class_mass);
    for (size_t c = 0; c < p->hypotheses; c++) w->class_mass[w->class[c]] += mass[c];
    double h = 0;
    for (size_t k = 0; k <= p->fixes; k++)
        if (w->class_mass[k] > 1e-12) h -= w->class_mass[k] * log(w->class_mass[k]);
    return h > 0 ? h : 0;
}

static double known_cost(const struct planner *w, const double *mass, struct bw_stand stand) {
    const double *known = w->known[stand_index(stand)];
    double minutes = 0;
    for (size_t c = 0; c < w->p->hypotheses; c++) minutes += mass[c] * known[c];
    return minutes;
}

static double cost_to_go(const struct planner *w, const double *mass, struct bw_stand stand) {
    double best = mend_only(w, mass, stand);
    double entropy = class_entropy(w, mass);
    if (entropy < 1e-6) return best;
    double here = known_cost(w, mass, stand) + w->price[stand.on_site] * entropy;
    if (here < best) best = here;
    if (stand.on_site) return best;
    struct bw_stand there = {.on_site = true};
    double visit = w->p->costs.travel + known_cost(w, mass, there) + w->price[1] * entropy;
    return visit < best ? visit : best;
}

// Splits `mass` by the answer to test `t`: yes[] and no[] each sum to 1. Returns P(yes).
static double split(const struct bw_plan_problem *p, size_t t, const double *mass, double *yes,
                    double *no) {
    const double *chance = p->yes + t * p->hypotheses;
    double sum = 0, total = 0;
    for (size_t c = 0; c < p->hypotheses; c++) {
        yes[c] = mass[c] * chance[c];
        no[c] = mass[c] - yes[c];
        sum += yes[c];
        total += mass[c];
    }
    double rest = total - sum;
    for (size_t c = 0; c < p->hypotheses; c++) {
        if (sum > 0) yes[c] /= sum;
        if (rest > 0) no[c] /= rest;
    }
    return total > 0 ? sum / total : 0;
}

// What is left of `mass` after a fix that did not cure; sums to 1. Returns the chance of cure.
static double survive(const struct planner *w, size_t r, const double *mass, double *after) {
    memcpy(after, mass, w->p->hypotheses * sizeof *mass);
    double gain = gain_of(&w->cures[r], mass);
    apply(&w->cures[r], after);
    double left = 1.0 - gain;
    for (size_t c = 0; c < w->p->hypotheses && left > 0; c++) after[c] /= left;
    return gain;
}

static double look(const struct planner *w, const struct state *at);

static double try_test(const struct planner *w, size_t t, const struct state *at,
                       double *minutes_out) {
    const struct bw_plan_problem *p = w->p;
    double *yes = at->room, *no = yes + p->hypotheses;
    struct state after = {NULL, at->stand, at->depth, no + p->hypotheses};
    double minutes = bw_work_cost(&p->test_work[t], &p->costs, &after.stand);
    double chance = split(p, t, at->mass, yes, no), expected = minutes;
    w->test_used[t] = true;
    after.mass = yes;
    if (chance > 1e-9) expected += chance * look(w, &after);
    after.mass = no;
    if (chance < 1 - 1e-9) expected += (1 - chance) * look(w, &after);
    w->test_used[t] = false;
    if (minutes_out != NULL) *minutes_out = minutes;
    return expected;
}

static double try_fix(const struct planner *w, size_t r, const struct state *at,
                      double *minutes_out) {
    const struct bw_plan_problem *p = w->p;
    struct state after = {at->room, at->stand, at->depth, at->room + 2 * p->hypotheses};
    double minutes = bw_fix_cost(&p->fix_work[r], &p->costs, &after.stand);
    double gain = survive(w, r, at->mass, at->room);
    w->fix_used[r] = true;
    double rest = gain < 1 - 1e-9 ? look(w, &after) : 0;
    w->fix_used[r] = false;
    if (minutes_out != NULL) *minutes_out = minutes;
    return minutes + (1 - gain) * (p->costs.failed + rest);
}

static double look(const struct planner *w, const struct state *at) {
    double best = cost_to_go(w, at->mass, at->stand);
    if (at->depth == 0) return best;
    struct state nearer = *at;
    nearer.depth--;
    for (size_t i = 0; i < w->n_list && i < SHORT_LIST; i++) {
        size_t t = w->list[i].test;
        if (w->test_used[t]) continue;
        double expected = try_test(w, t, &nearer, NULL);
        if (expected < best) best = expected;
    }
    double gain;
    size_t r = best_fix(w, at, 1.0, w->fix_used, &gain);
    if (r < w->p->fixes) {
        double expected = try_fix(w, r, &nearer, NULL);
        if (expected < best) best = expected;
    }
    return best;
}

// Two fixes behind one door, proven together: the second pays no lock-out of its own.
static double try_pair(const struct planner *w, size_t r, size_t s, double *room,
                       double *minutes_out) {
    const struct bw_plan_problem *p = w->p;
    struct bw_stand stand = p->stand;
    double minutes = bw_work_cost(&p->fix_work[r], &p->costs, &stand);
    minutes += bw_fix_cost(&p->fix_work[s], &p->costs, &stand);
    double first = survive(w, r, p->mass, room);
    double *after = room + p->hypotheses;
    double second = survive(w, s, room, after);
    double left = (1 - first) * (1 - second);
    w->fix_used[r] = w->fix_used[s] = true;
    double rest = left > 1e-9 ? cost_to_go(w, after, stand) : 0;
    w->fix_used[r] = w->fix_used[s] = false;
    *minutes_out = minutes;
    return minutes + left * (p->costs.failed + rest);
}

static bool gather_cures(struct planner *w, struct bw_arena *arena) {
    const struct bw_plan_problem *p = w->p;
    w->cures = bw_arena_array(arena, p->fixes, sizeof *w->cures);
    if (w->cures == NULL) return false;
    for (size_t r = 0; r < p->fixes; r++) {
        const double *row = p->cure + r * p->hypotheses;
        struct cure *cure = &w->cures[r];
        size_t n = 0;
        for (size_t c = 0; c < p->hypotheses; c++) n += row[c] > 0;
        cure->cause = bw_arena_array(arena, n, sizeof *cure->cause);
        cure->chance = bw_arena_array(arena, n, sizeof *cure->chance);
        if (cure->cause == NULL || cure->chance == NULL) return false;
        for (size_t c = 0; c < p->hypotheses; c++) {
            if (row[c] <= 0) continue;
            cure->cause[cure->n] = (unsigned short)c;
            cure->chance[cure->n++] = row[c];
        }
    }
    return true;
}

// A specialist takes the cheapest way to cure what it is; what no fix cures costs his fee.
static void price_specialist(struct planner *w) {
    const struct bw_plan_problem *p = w->p;
    for (size_t c = 0; c < p->hypotheses; c++) w->hired[c] = DBL_MAX;
    for (size_t r = 0; r < p->fixes; r++) {
        for (size_t i = 0; i < w->cures[r].n; i++) {
            double *hired = &w->hired[w->cures[r].cause[i]];
            double cost = (p->fix_work[r].minutes + p->costs.prove) / w->cures[r].chance[i];
            if (cost < *hired) *hired = cost;
        }
    }
    for (size_t c = 0; c < p->hypotheses; c++)
        w->hired[c] = p->costs.specialist + (w->hired[c] < DBL_MAX ? w->hired[c] : 0);
}

// For each cause the fix one would try first if it were known, and what it then costs from each
// stand.
static void price_causes(struct planner *w, double *point) {
    const struct bw_plan_problem *p = w->p;
    memset(point, 0, p->hypotheses * sizeof *point);
    for (size_t c = 0; c < p->hypotheses; c++) {
        point[c] = 1.0;
        for (size_t s = 0; s < 4; s++) {
            struct bw_stand stand = {.on_site = (s & 1) != 0, .locked = (s & 2) != 0};
            w->known[s][c] = mend_only(w, point, stand);
        }
        double gain;
        const struct state there = {.mass = point, .stand = {.on_site = true}};
        w->class[c] = (unsigned short)best_fix(w, &there, 1.0, w->fix_used, &gain);
        point[c] = 0.0;
    }
}

static double test_minutes(const struct bw_plan_problem *p, size_t t) {
    const struct bw_work *work = &p->test_work[t];
    double minutes = work->minutes + work->fit_minutes;
    if (work->belts == BW_BELTS_STOPPED || work->fit_minutes > 0)
        minutes += (p->costs.lock_out + p->costs.close_up) / 3;  // usually shared by a few steps
    return minutes > 0.1 ? minutes : 0.1;
}

static bool tells_more(const struct worth *x, const struct worth *y) {
    return x->share * y->minutes > y->share * x->minutes;
}

// All tests that tell anything, most for their minutes first.
static void list_tests(struct planner *w, double *room) {
    const struct bw_plan_problem *p = w->p;
    double before = class_entropy(w, p->mass);
    for (size_t t = 0; t < p->tests && before > 1e-9; t++) {
        double yes = split(p, t, p->mass, room, room + p->hypotheses);
        double after =
            yes * class_entropy(w, room) + (1 - yes) * class_entropy(w, room + p->hypotheses);
        struct worth x = {(unsigned short)t, (before - after) / before, test_minutes(p, t)};
        if (x.share < 1e-6) continue;
        size_t i = w->n_list++;
        for (; i > 0 && tells_more(&x, &w->list[i - 1]); i--) w->list[i] = w->list[i - 1];
        w->list[i] = x;
    }
}

// ---- what tests are worth one after another ----

// The test that pays best at `mass`; BW_NO_TEST: none pays.
#define BW_NO_TEST SIZE_MAX
static size_t best_test(const struct planner *w, const double *mass, bool on_site, double *room) {
    size_t h = w->p->hypotheses, best = BW_NO_TEST;
    double before = class_entropy(w, mass), most = 1;
    for (size_t i = 0; i < w->n_list && i < PATH_TESTS; i++) {
        size_t t = w->list[i].test;
        if (w->test_used[t] || (!on_site && w->p->test_work[t].on_site)) continue;
        double yes = split(w->p, t, mass, room, room + h);
        double after = yes * class_entropy(w, room) + (1 - yes) * class_entropy(w, room + h);
        double pays = w->waste * (before - after) / w->list[i].minutes;
        if (pays <= most) continue;
        most = pays;
        best = i;
    }
    return best;
}

// Minutes of asking, and the price of what is then not known, if hypothesis `truth` is true.
// Answers are drawn evenly by a golden ratio sequence, the same in every run.
static double ask_along(const struct planner *w, size_t truth, bool on_site, double *room) {
    const struct bw_plan_problem *p = w->p;
    size_t h = p->hypotheses, asked[PATH_STEPS], n = 0;
    double *mass = room + 2 * h, minutes = 0;
    memcpy(mass, p->mass, h * sizeof *mass);
    while (n < PATH_STEPS) {
        size_t i = best_test(w, mass, on_site, room);
        if (i == BW_NO_TEST) break;
        size_t t = w->list[i].test;
        double draw = fmod((double)(truth * PATH_STEPS + n + 1) * 0.6180339887498949, 1.0);
        (void)split(p, t, mass, room, room + h);
        memcpy(mass, draw < p->yes[t * h + truth] ? room : room + h, h * sizeof *mass);
        minutes += w->list[i].minutes;
        w->test_used[t] = true;
        asked[n++] = t;
    }
    for (size_t i = 0; i < n; i++) w->test_used[asked[i]] = false;
    return minutes + w->waste * class_entropy(w, mass);
}

// What a nat costs with tests at hand, found by asking along the likeliest hypotheses.
static double price_of_asking(const struct planner *w, double entropy, bool on_site, double *room) {
    const struct bw_plan_problem *p = w->p;
    double minutes = 0, weight = 0, *left = room + 6 * p->hypotheses;
    memcpy(left, p->mass, p->hypotheses * sizeof *left);
    for (size_t k = 0; k < PATHS && k < p->hypotheses; k++) {
        size_t best = 0;
        for (size_t c = 1; c < p->hypotheses; c++)
            if (left[c] > left[best]) best = c;
        if (!(left[best] > 0)) break;
        minutes += left[best] * ask_along(w, best, on_site, room);
        weight += left[best];
        left[best] = 0;
    }
    return fmin(minutes / weight / entropy, w->waste);
}

static bool planner_init(struct planner *w, const struct bw_plan_problem *p, struct bw_arena *arena,
                         double **room_out) {
    size_t h = p->hypotheses;
    *w = (struct planner){.p = p};
    if (!gather_cures(w, arena)) return false;
    double *known = bw_arena_array(arena, 4 * h, sizeof *known);
    w->hired = bw_arena_array(arena, h, sizeof *w->hired);
    w->class = bw_arena_array(arena, h, sizeof *w->class);
    w->class_mass = bw_arena_array(arena, p->fixes + 1, sizeof *w->class_mass);
    w->mass = bw_arena_array(arena, h, sizeof *w->mass);
    w->tried = bw_arena_array(arena, p->fixes, sizeof *w->tried);
    w->fix_used = bw_arena_array(arena, p->fixes, sizeof *w->fix_used);
    w->test_used = bw_arena_array(arena, p->tests, sizeof *w->test_used);
    w->list = bw_arena_array(arena, p->tests, sizeof *w->list);
    double *room = bw_arena_array(arena, 8 * h, sizeof *room);
    if (bw_arena_failed(arena) || known == NULL || room == NULL) return false;
    for (size_t s = 0; s < 4; s++) w->known[s] = known + s * h;
    if (p->done != NULL) memcpy(w->fix_used, p->done, p->fixes * sizeof *p->done);
    price_specialist(w);
    price_causes(w, room);
    list_tests(w, room);
    double entropy = class_entropy(w, p->mass);
    double extra = mend_only(w, p->mass, p->stand) - known_cost(w, p->mass, p->stand);
    w->waste = entropy > 1e-6 && extra > 0 ? extra / entropy : 0;
    for (int site = 0; site < 2 && w->waste > 0; site++)
        w->price[site] = price_of_asking(w, entropy, site == 1, room);
    *room_out = room;
    return true;
}

static bool better(const struct bw_choice_made *x, const struct bw_choice_made *y) {
    if (x->expected < y->expected || x->expected > y->expected) return x->expected < y->expected;
    if (x->act != y->act) return x->act < y->act;
    if (x->which != y->which) return x->which < y->which;
    return x->second < y->second;
}

static void sort_choices(struct bw_choice_made *c, size_t n) {
    for (size_t i = 1; i < n; i++) {
        struct bw_choice_made x = c[i];
        size_t j = i;
        for (; j > 0 && better(&x, &c[j - 1]); j--) c[j] = c[j - 1];
        c[j] = x;
    }
}

// Pairs among the fixes behind the door that look best alone.
static size_t add_pairs(const struct planner *w, struct bw_choice_made *c, size_t n, double *room) {
    const struct bw_plan_problem *p = w->p;
    size_t pick[PAIRED], picked = 0, singles = n;
    for (size_t i = 0; i < singles && picked < PAIRED; i++)
        if (c[i].act == BW_ACT_FIX && p->fix_work[c[i].which].belts == BW_BELTS_STOPPED)
            pick[picked++] = c[i].which;
    for (size_t i = 0; i < picked; i++) {
        for (size_t j = i + 1; j < picked; j++) {
            struct bw_choice_made *pair = &c[n];
            *pair = (struct bw_choice_made){BW_ACT_TWO_FIXES, pick[i], pick[j], 0, 0};
            pair->expected = try_pair(w, pick[i], pick[j], room, &pair->minutes);
            if (pair->expected < c[0].expected) n++;
        }
    }
    return n;
}

static size_t all_choices(const struct planner *w, struct bw_choice_made *c, double *room) {
    const struct bw_plan_problem *p = w->p;
    size_t n = 0;
    double entropy = class_entropy(w, p->mass);
    const struct state here = {p->mass, p->stand, 0, room};
    for (size_t i = 0; i < w->n_list; i++) {
        // One that does not pay by itself would only be put before the good one it leads to.
        if (w->waste * w->list[i].share * entropy <= w->list[i].minutes) continue;
        c[n] = (struct bw_choice_made){.act = BW_ACT_TEST, .which = w->list[i].test};
        c[n].expected = try_test(w, c[n].which, &here, &c[n].minutes);
        n++;
    }
    for (size_t r = 0; r < p->fixes; r++) {
        if (w->fix_used[r] || !(gain_of(&w->cures[r], p->mass) > 1e-6)) continue;
        c[n] = (struct bw_choice_made){.act = BW_ACT_FIX, .which = r};
        c[n].expected = try_fix(w, r, &here, &c[n].minutes);
        n++;
    }
    double hired = hire(w, p->mass);
    c[n++] = (struct bw_choice_made){BW_ACT_SPECIALIST, 0, 0, hired, hired};
    return n;
}

// Looks one step further behind the likeliest choices.
static void refine(const struct planner *w, struct bw_choice_made *c, size_t n, double *room) {
    const struct state here = {w->p->mass, w->p->stand, 1, room};
    for (size_t i = 0; i < n; i++) {
        if (c[i].act == BW_ACT_TEST)
            c[i].expected = try_test(w, c[i].which, &here, &c[i].minutes);
        else if (c[i].act == BW_ACT_FIX)
            c[i].expected = try_fix(w, c[i].which, &here, &c[i].minutes);
    }
}

bool bw_plan_next(const struct bw_plan_problem *problem, size_t wanted, struct bw_arena *arena,
                  struct bw_plan *out, struct bw_err *err) {
    assert(problem->hypotheses < NO_CLASS && problem->fixes < NO_CLASS);
    struct planner w;
    double *room;
    size_t most = problem->tests + problem->fixes + 1 + PAIRED * PAIRED;
    struct bw_choice_made *c = bw_arena_array(arena, most, sizeof *c);
    if (c == NULL || !planner_init(&w, problem, arena, &room)) return bw_fail_memory(err);
    size_t n = all_choices(&w, c, room);
    sort_choices(c, n);
    n = add_pairs(&w, c, n, room);
    sort_choices(c, n);
    size_t refined = n < REFINED ? n : REFINED;
    refine(&w, c, refined, room);
    sort_choices(c, refined);
    double mend_now = mend_only(&w, problem->mass, problem->stand);
    *out = (struct bw_plan){
        .choices = c, .n = refined < wanted ? refined : wanted, .mend_now = mend_now};
    return true;
}
