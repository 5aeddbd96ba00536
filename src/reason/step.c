// step.c - from belief to the next step: the planning problem made from knowledge, and read back.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/case.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define WEARY 4.0  // answers after which a question costs twice the patience: estimate, no source
#define COVERED 0.995  // share of the blame whose causes are planned with one by one

// The planning problem and how to find one's way back from it.
struct problem {
    const struct bw_case *c;
    const struct bw_thought *thought;
    struct bw_plan_problem plan;
    size_t *cause;   // [hypotheses - 1]: of the network
    size_t *place;   // [net.causes]: hypothesis, the last for causes not planned with
    size_t *check;   // [tests]: of the knowledge
    size_t *remedy;  // [fixes]
    double *mass;
    double *yes, *cure;
    struct bw_work *test_work, *fix_work;
};

static double minutes(struct bw_quantity q) { return bw_known(q) ? q.v / 60.0 : 0; }

static enum bw_belts belts_of(int belts, int lock) {
    if (belts == BW_RUNNING) return BW_BELTS_RUNNING;
    return lock == BW_YES ? BW_BELTS_STOPPED : BW_BELTS_EITHER;
}

// What one more question costs beyond its time: the tenth is heavier than the first.
static double patience(const struct bw_case *c) {
    double asked = 0;
    for (size_t i = 0; i < c->n; i++)
        asked += c->replies[i].row < c->network->knowledge->checks && c->replies[i].from == NULL &&
                 c->replies[i].kind != BW_REPLY_UNSAID;
    return minutes(c->network->knowledge->assume.patience) * (1 + asked / WEARY);
}

static struct bw_work check_work(const struct bw_known_check *check, double extra) {
    return (struct bw_work){.minutes = minutes(check->minutes) + extra,
                            .fit_minutes = minutes(check->fit),
                            .on_site = check->place == BW_AT_MACHINE,
                            .belts = belts_of(check->belts, check->lock)};
}

// Minutes that are spent by somebody, and what money, standing and waiting count on top.
static struct bw_work remedy_work(const struct bw_known_remedy *remedy,
                                  const struct bw_assumptions *assume) {
    bool owner = remedy->who == BW_OWNER || remedy->who == BW_ELECTRICIAN;
    double extra = remedy->money.v * 60.0 / assume->hour.v +
                   assume->down.v * minutes(remedy->down) +
                   minutes(assume->wait) * (double)remedy->lead;
    return (struct bw_work){.minutes = minutes(remedy->minutes) + extra,
                            .on_site = !owner,
                            .again = remedy->lead > 0 && !owner,
                            .belts = belts_of(remedy->belts, remedy->lock)};
}

static struct bw_plan_costs plan_costs(const struct bw_assumptions *assume) {
    return (struct bw_plan_costs){.travel = minutes(assume->travel),
                                  .lock_out = minutes(assume->lock_out),
                                  .close_up = minutes(assume->close_up),
                                  .prove = minutes(assume->prove),
                                  .failed = minutes(assume->failed),
                                  .specialist = minutes(assume->specialist)};
}

// Chance that a cause outlived what was tried.
static double outlived(const struct problem *p, size_t cause) {
    const struct bw_network *network = p->c->network;
    double chance = 1;
    for (size_t r = 0; r < network->knowledge->remedies; r++) {
        size_t row = bw_remedy_row(network, r);
        if (bw_case_reply_to(p->c, row) == NULL) continue;
        chance *= 1 - network->net.miss[row * network->net.causes + cause];
    }
    return chance;
}

// Each cause's share of the blame for what is still there: a set's probability goes to its causes
// by the chance that each outlived what was tried. Sums to 1 over the kept sets.
static void find_blame(const struct problem *p, double *blame, double *left) {
    const struct bw_belief *b = &p->thought->belief;
    double total = 0;
    for (size_t i = 0; i < b->causes; i++) {
        left[i] = outlived(p, i);
        blame[i] = 0;
    }
    for (size_t s = 0; s < b->n_sets; s++) {
        const struct bw_set *set = &b->sets[s];
        double sum = 0;
        for (size_t i = 0; i < set->n; i++) sum += left[set->cause[i]];
        for (size_t i = 0; i < set->n; i++)
            blame[set->cause[i]] += set->probability * left[set->cause[i]] / sum;
        total += set->n > 0 ? set->probability : 0;
    }
    for (size_t i = 0; i < b->causes && total > 0; i++) blame[i] /= total;
}

// The causes that carry the blame, largest first, up to COVERED; all else is the last hypothesis.
static void choose_hypotheses(struct problem *p, const double *blame) {
    size_t last = p->thought->belief.causes - 1,
           n = 0;  // the network's last cause: not on the list
    double covered = blame[last];
    for (size_t i = 0; i <= last; i++) p->place[i] = BW_NO_INDEX;
    while (n < last && covered < COVERED) {
        size_t best = BW_NO_INDEX;
        for (size_t i = 0; i < last; i++)
            if (p->place[i] == BW_NO_INDEX && (best == BW_NO_INDEX || blame[i] > blame[best]))
                best = i;
        p->place[best] = n;
        p->cause[n] = best;
        p->mass[n++] = blame[best];
        covered += blame[best];
    }
    double rest = 1;
    for (size_t i = 0; i < n; i++) rest -= p->mass[i];
    p->mass[n] = rest > 0 ? rest : 0;
    for (size_t i = 0; i <= last; i++)
        if (p->place[i] == BW_NO_INDEX) p->place[i] = n;
    p->plan.hypotheses = n + 1;
    p->plan.mass = p->mass;
}

static void choose_tests(struct problem *p) {
    const struct bw_knowledge *k = p->c->network->knowledge;
    double extra = patience(p->c);
    for (size_t f = 0; f < k->checks; f++) {
        if (!bw_case_open(p->c, f)) continue;
        p->check[p->plan.tests] = f;
        p->test_work[p->plan.tests++] = check_work(&k->check[f], extra);
    }
}

static void choose_fixes(struct problem *p) {
    const struct bw_network *network = p->c->network;
    const struct bw_knowledge *k = network->knowledge;
    for (size_t r = 0; r < k->remedies; r++) {
        if (k->remedy[r].kind != BW_CURE || !network->remedy_open[r]) continue;
        if (bw_case_reply_to(p->c, bw_remedy_row(network, r)) != NULL) continue;
        p->remedy[p->plan.fixes] = r;
        p->fix_work[p->plan.fixes++] = remedy_work(&k->remedy[r], &k->assume);
    }
}

// Chance of hearing yes for each hypothesis: over the kept sets that hold the cause, each with
// its share of the set; the cause alone where no kept set has it.
static void fill_yes(struct problem *p, double *weight) {
    const struct bw_net *net = &p->c->network->net;
    const struct bw_belief *b = &p->thought->belief;
    size_t h = p->plan.hypotheses;
    memset(weight, 0, h * sizeof *weight);
    for (size_t s = 0; s < b->n_sets; s++)
        for (size_t i = 0; i < b->sets[s].n; i++)
            weight[p->place[b->sets[s].cause[i]]] += b->sets[s].probability / b->sets[s].n;
    for (size_t t = 0; t < p->plan.tests; t++) {
        double *yes = p->yes + t * h, wrong = p->c->network->wrong[p->check[t]];
        for (size_t s = 0; s < b->n_sets; s++) {
            const struct bw_set *set = &b->sets[s];
            double chance = bw_net_yes(net, p->check[t], set->cause, set->n);
            for (size_t i = 0; i < set->n; i++)
                yes[p->place[set->cause[i]]] += set->probability / set->n * chance;
        }
        for (size_t i = 0; i < h; i++) {
            unsigned short alone = (unsigned short)(i + 1 < h ? p->cause[i] : net->causes - 1);
            yes[i] = weight[i] > 0 ? yes[i] / weight[i] : bw_net_yes(net, p->check[t], &alone, 1);
            yes[i] = wrong + (1 - 2 * wrong) * yes[i];
        }
    }
}

static void fill_cures(struct problem *p) {
    const struct bw_network *network = p->c->network;
    size_t h = p->plan.hypotheses, n = network->net.causes;
    for (size_t r = 0; r < p->plan.fixes; r++) {
        const double *cure = network->cures + p->remedy[r] * network->knowledge->causes;
        size_t row = bw_remedy_row(network, p->remedy[r]);
        for (size_t i = 0; i + 1 < h; i++)
            if (cure[network->cause[p->cause[i]]] > 0)
                p->cure[r * h + i] = network->net.miss[row * n + p->cause[i]];
    }
}

static bool problem_make(struct problem *p, struct bw_arena *arena) {
    const struct bw_network *network = p->c->network;
    const struct bw_knowledge *k = network->knowledge;
    size_t n = network->net.causes;
    p->cause = bw_arena_array(arena, n, sizeof *p->cause);
    p->place = bw_arena_array(arena, n, sizeof *p->place);
    p->mass = bw_arena_array(arena, n + 1, sizeof *p->mass);
    p->check = bw_arena_array(arena, k->checks, sizeof *p->check);
    p->remedy = bw_arena_array(arena, k->remedies, sizeof *p->remedy);
    p->test_work = bw_arena_array(arena, k->checks, sizeof *p->test_work);
    p->fix_work = bw_arena_array(arena, k->remedies, sizeof *p->fix_work);
    double *blame = bw_arena_array(arena, 2 * n, sizeof *blame);
    if (bw_arena_failed(arena)) return false;
    find_blame(p, blame, blame + n);
    choose_hypotheses(p, blame);
    choose_tests(p);
    choose_fixes(p);
    size_t h = p->plan.hypotheses;
    p->yes = bw_arena_array(arena, p->plan.tests * h, sizeof *p->yes);
    p->cure = bw_arena_array(arena, p->plan.fixes * h, sizeof *p->cure);
    double *weight = bw_arena_array(arena, h, sizeof *weight);
    if (p->yes == NULL || p->cure == NULL || weight == NULL) return false;
    fill_yes(p, weight);
    fill_cures(p);
    p->plan.yes = p->yes;
    p->plan.test_work = p->test_work;
    p->plan.cure = p->cure;
    p->plan.fix_work = p->fix_work;
    p->plan.stand = p->c->stand;
    p->plan.costs = plan_costs(&k->assume);
    return true;
}

// ---- reading the plan back ----

// Likeliest hypothesis after test `t` comes out as `yes`; network cause, BW_NO_INDEX: none of the
// planned.
static size_t likeliest_after(const struct problem *p, size_t t, bool yes) {
    size_t best = 0, h = p->plan.hypotheses;
    double most = -1;
    for (size_t i = 0; i < h; i++) {
        double chance = p->yes[t * h + i], mass = p->mass[i] * (yes ? chance : 1 - chance);
        if (mass <= most) continue;
        most = mass;
        best = i;
    }
    return best + 1 == h ? BW_NO_INDEX : p->cause[best];
}

static double chance_of(const double *row, const double *mass, size_t h) {
    double sum = 0;
    for (size_t i = 0; i < h; i++) sum += row[i] * mass[i];
    return sum;
}

// Minutes on the clock: without money, standing and waiting.
static double clock_minutes(const struct problem *p, const struct bw_choice_made *choice) {
    const struct bw_knowledge *k = p->c->network->knowledge;
    double time = choice->minutes;
    if (choice->act == BW_ACT_TEST) return time - patience(p->c);
    if (choice->act != BW_ACT_FIX && choice->act != BW_ACT_TWO_FIXES) return time;
    size_t both[2] = {choice->which, choice->second};
    for (size_t i = 0; i < (choice->act == BW_ACT_FIX ? 1u : 2u); i++) {
        const struct bw_known_remedy *remedy = &k->remedy[p->remedy[both[i]]];
        time -= p->fix_work[both[i]].minutes - minutes(remedy->minutes);
    }
    return time;
}

static struct bw_next read_choice(const struct problem *p, const struct bw_choice_made *choice,
                                  double mend_now) {
    size_t h = p->plan.hypotheses;
    struct bw_next next = {.kind = BW_NEXT_SPECIALIST,
                           .which = BW_NO_INDEX,
                           .second = BW_NO_INDEX,
                           .minutes = clock_minutes(p, choice),
                           .expected = choice->expected,
                           .saves = mend_now - choice->expected,
                           .yes_cause = BW_NO_INDEX,
                           .no_cause = BW_NO_INDEX};
    if (choice->act == BW_ACT_TEST) {
        next.kind = BW_NEXT_CHECK;
        next.which = p->check[choice->which];
        next.chance = chance_of(p->yes + choice->which * h, p->mass, h);
        next.yes_cause = likeliest_after(p, choice->which, true);
        next.no_cause = likeliest_after(p, choice->which, false);
    } else if (choice->act != BW_ACT_SPECIALIST) {
        next.kind = BW_NEXT_REMEDY;
        next.which = p->remedy[choice->which];
        next.chance = chance_of(p->cure + choice->which * h, p->mass, h);
        if (choice->act == BW_ACT_TWO_FIXES) next.second = p->remedy[choice->second];
    }
    return next;
}

bool bw_case_next(const struct bw_case *c, const struct bw_thought *thought, size_t wanted,
                  struct bw_arena *arena, struct bw_options *out, struct bw_err *err) {
    struct problem p = {.c = c, .thought = thought};
    struct bw_plan plan;
    if (!problem_make(&p, arena)) return bw_fail_memory(err);
    if (!bw_plan_next(&p.plan, wanted, arena, &plan, err)) return false;
    struct bw_next *items = bw_arena_array(arena, plan.n, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < plan.n; i++) items[i] = read_choice(&p, &plan.choices[i], plan.mend_now);
    *out = (struct bw_options){.items = items, .n = plan.n, .mend_now = plan.mend_now};
    return true;
}

// ---- remedies ----

// Chance that a remedy ends the fault: over the kept sets, every cause of which it must cure.
static double cures_all(const struct bw_network *network, const struct bw_belief *b,
                        size_t remedy) {
    size_t row = bw_remedy_row(network, remedy);
    const double *cure = network->cures + remedy * network->knowledge->causes;
    double sum = 0;
    for (size_t s = 0; s < b->n_sets; s++) {
        double all = b->sets[s].n > 0 ? b->sets[s].probability : 0;
        for (size_t i = 0; i < b->sets[s].n && all > 0; i++) {
            size_t cause = network->cause[b->sets[s].cause[i]];
            bool can = cause != BW_NO_INDEX && cure[cause] > 0;
            all *= can ? network->net.miss[row * network->net.causes + b->sets[s].cause[i]] : 0;
        }
        sum += all;
    }
    return sum;
}

// Falling chance per minute, money and waiting counted in; ties by remedy.
static bool goes_before(const double *merit, const struct bw_advice *x, const struct bw_advice *y) {
    double a = merit[x->remedy], b = merit[y->remedy];
    if (a < b || a > b) return a > b;
    return x->remedy < y->remedy;
}

bool bw_case_advice(const struct bw_case *c, const struct bw_thought *thought, int kind,
                    struct bw_arena *arena, struct bw_list *out, struct bw_err *err) {
    const struct bw_network *network = c->network;
    const struct bw_knowledge *k = network->knowledge;
    struct bw_advice *items = bw_arena_array(arena, k->remedies, sizeof *items);
    double *merit = bw_arena_array(arena, k->remedies, sizeof *merit);
    if (items == NULL || merit == NULL) return bw_fail_memory(err);
    struct bw_plan_costs costs = plan_costs(&k->assume);
    size_t n = 0;
    for (size_t r = 0; r < k->remedies; r++) {
        if (k->remedy[r].kind != kind || !network->remedy_open[r]) continue;
        if (bw_case_reply_to(c, bw_remedy_row(network, r)) != NULL) continue;
        struct bw_advice advice = {.remedy = r, .chance = cures_all(network, &thought->belief, r)};
        if (advice.chance < 0.03) continue;
        struct bw_stand stand = c->stand;
        struct bw_work work = remedy_work(&k->remedy[r], &k->assume);
        merit[r] = advice.chance / bw_fix_cost(&work, &costs, &stand);
        size_t at = n++;
        for (; at > 0 && goes_before(merit, &advice, &items[at - 1]); at--)
            items[at] = items[at - 1];
        items[at] = advice;
    }
    *out = (struct bw_list){.items = items, .n = n};
    return true;
}
