// reason.c - claim: what the reasoning claims comes true, and what it costs to a proven repair.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Calls are drawn here from a world that differs from the shipped knowledge: for every call each
// link and leak is moved by a normal error of sd 1 on the logit scale, each weight by one of sd 0.7
// on the log scale, and so is each chance of cure; 17.5 % of phone answers and 5 % of looks,
// measurements and trials are wrong, one symptom told in ten is another, one answer in twenty is
// not known; minutes are off by a factor of up to 2 either way. 3 % of calls have a cause on no
// list, 15 % a second cause.
//
// Two arms answer the same calls with the same answers:
//   plan    the program: bw_case_next
//   gain    gain per minute: the check that takes most entropy off the causes per minute (travel
//           and lock-out counted where they fall due), until one cause has 0.9 or an hour of asking
//           is spent; then the repair of most chance per minute; again after a repair that failed
// And "plain" is what the answers of plan at its first repair say with the numbers as they stand
// in the files (doubt 0).
//
//   claim_reason [--sample] [--cases N] [--seed N] [--csv FILE]
#include "reason/case.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// --- chance: a draw is a function of its names, so that arms see the same world ----------------

static uint64_t mix(uint64_t z) {
    z += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}
enum what {
    WEIGHT = 1,
    CAUSE,
    SECOND,
    LINK,
    LEAK,
    CURE,
    TRUE_YES,
    WRONG,
    UNSURE,
    UNSAID,
    MINUTES,
    CURED,
    LESS
};
static uint64_t seed = 1;
static double uniform(size_t call, enum what what, size_t a, size_t b) {
    uint64_t z = mix(seed ^ mix(call ^ mix((uint64_t)what ^ mix(a ^ mix(b)))));
    return ((double)(z >> 11) + 0.5) * 0x1p-53;
}
static double normal(size_t call, enum what what, size_t a, size_t b) {
    return sqrt(-2 * log(uniform(call, what, a, 2 * b))) *
           cos(2 * M_PI * uniform(call, what, a, 2 * b + 1));
}
static double moved(double chance, double by) {
    if (chance <= 0 || chance >= 1) return chance;
    return 1 / (1 + exp(-(log(chance / (1 - chance)) + by)));
}

// --- a call --------------------------------------------------------------------------------------

#define LINK_SD 1.0
#define WEIGHT_SD 0.7
#define WRONG_PHONE 0.175
#define WRONG_SEEN 0.05
#define WRONG_SYMPTOM 0.10
#define NOT_KNOWN 0.05

struct call {
    size_t number;
    const struct bw_knowledge *k;
    size_t cause[2], n;  // BW_NO_INDEX: on no list
};

static size_t draw_cause(const struct bw_knowledge *k, size_t call, enum what what) {
    double sum = 0, at;
    for (int pass = 0; pass < 2; pass++) {
        at = pass == 0 ? HUGE_VAL : uniform(call, what, 0, 0) * sum;
        for (size_t c = 0; c < k->causes; c++) {
            double weight = k->cause[c].weight.v * exp(WEIGHT_SD * normal(call, WEIGHT, c, 0));
            if (pass == 0) sum += weight;
            if (pass == 1 && (at -= weight) < 0) return c;
        }
    }
    return k->causes - 1;
}

static double link_of(const struct call *call, size_t check, size_t cause) {
    const struct bw_knowledge *k = call->k;
    double shipped;
    if (cause != BW_NO_INDEX) {
        shipped = k->link[check * k->causes + cause];
    } else {  // on no list: like a cause picked blindly
        size_t other = (size_t)(uniform(call->number, LINK, check, 7) * (double)k->causes);
        shipped = k->link[check * k->causes + other];
    }
    return moved(shipped, LINK_SD * normal(call->number, LINK, check, cause + 1000));
}

static bool truly(const struct call *call, size_t check) {
    double no =
        1 - moved(call->k->check[check].leak.v, LINK_SD * normal(call->number, LEAK, check, 0));
    for (size_t i = 0; i < call->n; i++) no *= 1 - link_of(call, check, call->cause[i]);
    return uniform(call->number, TRUE_YES, check, 0) > no;
}

enum heard { HEARD_NO, HEARD_YES, HEARD_NOTHING };
static enum heard ask(const struct call *call, size_t check) {
    enum bw_check_kind kind = (enum bw_check_kind)call->k->check[check].kind;
    double wrong = kind <= BW_ASK ? WRONG_PHONE : WRONG_SEEN;
    if (uniform(call->number, UNSURE, check, 0) < NOT_KNOWN) return HEARD_NOTHING;
    bool yes = truly(call, check) != (uniform(call->number, WRONG, check, 0) < wrong);
    return yes ? HEARD_YES : HEARD_NO;
}

// What a caller says by himself of what is there; one mention in ten is of something else.
static bool mentions(const struct call *call, size_t symptom) {
    return truly(call, symptom) &&
           uniform(call->number, UNSAID, symptom, 0) < 1 - call->k->assume.unsaid.v;
}
static size_t mentioned(const struct call *call, size_t symptom) {
    const struct bw_knowledge *k = call->k;
    if (uniform(call->number, WRONG, symptom, 1) > WRONG_SYMPTOM) return symptom;
    size_t other = (size_t)(uniform(call->number, WRONG, symptom, 2) * (double)k->checks);
    while (k->check[other].kind != BW_SYMPTOM) other = (other + 1) % k->checks;
    return other;
}

static struct call draw_call(const struct bw_knowledge *k, size_t number) {
    struct call call = {.number = number, .k = k, .n = 1};
    bool unlisted = uniform(number, SECOND, 1, 0) < k->assume.unlisted.v;
    call.cause[0] = unlisted ? BW_NO_INDEX : draw_cause(k, number, CAUSE);
    double two = k->assume.together.v / (1 + k->assume.together.v);
    if (uniform(number, SECOND, 2, 0) < two) {
        call.cause[1] = draw_cause(k, number, SECOND);
        call.n += call.cause[1] != call.cause[0];
    }
    return call;
}

static double real_minutes(const struct call *call, size_t what, double minutes) {
    return minutes * pow(2.0, 2 * uniform(call->number, MINUTES, what, 0) - 1);
}

// Which causes the remedies end.
static bool ends(const struct call *call, size_t remedy, size_t cause) {
    const struct bw_knowledge *k = call->k;
    if (cause == BW_NO_INDEX) return false;
    double cure = moved(k->cure[remedy * k->causes + cause],
                        LINK_SD * normal(call->number, CURE, remedy, cause));
    return uniform(call->number, CURED, remedy, cause) < cure;
}

// --- an arm --------------------------------------------------------------------------------------

struct result {
    bool right;  // the first guess at the first repair was a cause at work
    // Every cause named at the first repair with at least 0.03: claimed, and whether at work.
    double named[40];
    bool named_right[40];
    size_t n_named;
    double claimed;  // for it
    double minutes;  // work, travel, lock-outs: on the clock
    size_t visits, steps, repairs;
    bool specialist;
};

struct run {
    const struct call *call;
    struct bw_case c;
    struct result r;
    bool ended[2];
};

static const struct bw_assumptions *assume(const struct run *run) { return &run->call->k->assume; }
static double min_of(struct bw_quantity q) { return bw_known(q) ? q.v / 60 : 0; }

static bool in_call(const struct call *call, size_t cause) {
    for (size_t i = 0; i < call->n; i++)
        if (call->cause[i] == cause) return true;
    return false;
}

static void guess(struct run *run, const struct bw_belief *b, struct result *out) {
    size_t best = 0;
    for (size_t i = 1; i < b->causes; i++)
        if (b->cause[i] > b->cause[best]) best = i;
    for (size_t i = 0; i < b->causes && out->n_named < 40; i++) {
        if (b->cause[i] < 0.03) continue;
        out->named[out->n_named] = b->cause[i];
        out->named_right[out->n_named++] = in_call(run->call, run->c.network->cause[i]);
    }
    out->claimed = b->cause[best];
    out->right = in_call(run->call, run->c.network->cause[best]);
}

struct work {
    double minutes;
    bool on_site, stopped, running;
};
static void pay(struct run *run, const struct work *work, struct bw_stand *stand) {
    bool stopped = work->stopped, running = work->running;
    run->r.minutes += work->minutes;
    if (work->on_site && !stand->on_site) {
        run->r.visits++;
        run->r.minutes += min_of(assume(run)->travel);
        stand->on_site = true;
    }
    if (stopped && !stand->locked) run->r.minutes += min_of(assume(run)->lock_out);
    if (stopped) stand->locked = true;
    if (running && stand->locked) {
        run->r.minutes += min_of(assume(run)->close_up);
        stand->locked = false;
    }
}

static void must(bool done, const struct bw_err *err) {
    if (done) return;
    fprintf(stderr, "claim_reason: %s\n", err->what);
    exit(2);
}

static void do_check(struct run *run, size_t f) {
    const struct bw_known_check *check = &run->call->k->check[f];
    struct bw_err err = {0};
    struct bw_stand stand = run->c.stand;
    bool fit = bw_known(check->fit);
    struct work work = {real_minutes(run->call, f, min_of(check->minutes) + min_of(check->fit)),
                        check->place == BW_AT_MACHINE, check->lock == BW_YES || fit,
                        check->belts == BW_RUNNING || fit};
    pay(run, &work, &stand);
    enum heard heard = ask(run->call, f);
    struct bw_reply reply = bw_reply_graded(f, heard == HEARD_YES);
    if (heard == HEARD_NOTHING) reply.kind = BW_REPLY_UNKNOWN;
    must(bw_case_reply(&run->c, reply, &err), &err);
    run->c.stand = stand;
    run->r.steps++;
}

// One or two remedies, proven together; true: the fault is gone.
static bool do_remedies(struct run *run, size_t first, size_t second) {
    const struct bw_knowledge *k = run->call->k;
    struct bw_err err = {0};
    struct bw_stand stand = run->c.stand;
    size_t both[2] = {first, second};
    bool less = false, gone = true;
    for (size_t i = 0; i < 2 && both[i] != BW_NO_INDEX; i++) {
        const struct bw_known_remedy *remedy = &k->remedy[both[i]];
        bool ours = remedy->who == BW_TECHNICIAN || remedy->who == BW_SPECIALIST;
        if (ours && remedy->lead > 0 && stand.on_site) stand.on_site = false;  // come again
        double minutes = real_minutes(run->call, k->checks + both[i], min_of(remedy->minutes));
        struct work work = {minutes, ours, remedy->lock == BW_YES, false};
        pay(run, &work, &stand);
        for (size_t c = 0; c < run->call->n; c++) {
            bool ended = ends(run->call, both[i], run->call->cause[c]);
            less = less || (ended && !run->ended[c]);
            run->ended[c] = run->ended[c] || ended;
        }
    }
    pay(run, &(struct work){min_of(assume(run)->prove), false, false, true}, &stand);
    run->r.repairs++;
    run->r.steps++;
    for (size_t c = 0; c < run->call->n; c++) gone = gone && run->ended[c];
    for (size_t i = 0; i < 2 && both[i] != BW_NO_INDEX && !gone; i++)
        must(bw_case_tried(&run->c, both[i], less, &err), &err);
    run->c.stand = stand;
    return gone;
}

static void hire(struct run *run) {
    run->r.specialist = true;
    run->r.visits++;
    run->r.minutes += min_of(assume(run)->specialist);
}

#define MOST_STEPS 150
#define SETS 1000  // as the interview keeps

static void intake(struct run *run, const struct call *call, const struct bw_network *network,
                   struct bw_arena *arena) {
    struct bw_err err = {0};
    *run = (struct run){.call = call};
    must(bw_case_begin(network, arena, &run->c, &err), &err);
    for (size_t f = 0; f < call->k->checks; f++)
        if (call->k->check[f].kind == BW_SYMPTOM && mentions(call, f))
            must(bw_case_reply(&run->c, bw_reply_graded(mentioned(call, f), 1), &err), &err);
    must(bw_case_intake_done(&run->c, &err), &err);
}

// The same replies, the numbers as they stand in the files.
static struct result guess_plainly(const struct run *run, const struct bw_network *sure,
                                   struct bw_arena *work) {
    struct run plain = *run;
    struct bw_thought thought;
    struct bw_err err = {0};
    struct result out = {.right = false};
    plain.c.network = sure;
    must(bw_case_think(&plain.c, BW_NO_INDEX, 0, work, &thought, &err), &err);
    guess(&plain, &thought.belief, &out);
    return out;
}

static struct result by_plan(const struct call *call, const struct bw_network *network,
                             const struct bw_network *sure, struct result *plain) {
    struct bw_arena *arena = bw_arena_new(0);
    struct run run;
    struct bw_err err = {0};
    intake(&run, call, network, arena);
    for (bool gone = false; !gone && run.r.steps < MOST_STEPS;) {
        struct bw_arena *work = bw_arena_new(0);
        struct bw_thought thought;
        struct bw_options options;
        must(bw_case_think(&run.c, BW_NO_INDEX, SETS, work, &thought, &err), &err);
        must(bw_case_next(&run.c, &thought, 1, work, &options, &err), &err);
        const struct bw_next next = options.items[0];
        if (next.kind == BW_NEXT_CHECK) {
            do_check(&run, next.which);
        } else {
            if (run.r.repairs == 0) {
                guess(&run, &thought.belief, &run.r);
                *plain = guess_plainly(&run, sure, work);
            }
            gone = next.kind == BW_NEXT_SPECIALIST || do_remedies(&run, next.which, next.second);
            if (next.kind == BW_NEXT_SPECIALIST) hire(&run);
        }
        bw_arena_free(work);
    }
    bw_arena_free(arena);
    return run.r;
}

// --- gain per minute
// -------------------------------------------------------------------------------

static double entropy(const double *p, size_t n) {
    double h = 0;
    for (size_t i = 0; i < n; i++)
        if (p[i] > 0) h -= p[i] * log(p[i]);
    return h;
}

// Nats a check takes off the causes, each taken alone by its share of the blame.
static double gain_of(const struct run *run, const struct bw_belief *b, size_t f, double *room) {
    const struct bw_net *net = &run->c.network->net;
    size_t n = b->causes;
    double *yes = room, *no = room + n, sum = 0, wrong = run->c.network->wrong[f];
    for (size_t i = 0; i < n; i++) {
        double p = 1 - net->quiet[f] * net->miss[f * n + i];
        p = wrong + (1 - 2 * wrong) * p;
        yes[i] = b->share[i] * p;
        no[i] = b->share[i] - yes[i];
        sum += yes[i];
    }
    for (size_t i = 0; i < n; i++) {
        yes[i] /= sum;
        no[i] /= 1 - sum;
    }
    return entropy(b->share, n) - sum * entropy(yes, n) - (1 - sum) * entropy(no, n);
}

static double check_minutes(const struct run *run, size_t f) {
    const struct bw_known_check *check = &run->call->k->check[f];
    bool fit = bw_known(check->fit), lock = check->lock == BW_YES || fit;
    double minutes = min_of(check->minutes) + min_of(check->fit);
    if (check->place == BW_AT_MACHINE && !run->c.stand.on_site)
        minutes += min_of(assume(run)->travel);
    if (lock && !run->c.stand.locked) minutes += min_of(assume(run)->lock_out);
    return fmax(minutes, 0.5);
}

static size_t best_check(const struct run *run, const struct bw_belief *b, double *room) {
    size_t best = BW_NO_INDEX;
    double most = 0.0005;
    for (size_t f = 0; f < run->call->k->checks; f++) {
        if (!bw_case_open(&run->c, f)) continue;
        double rate = gain_of(run, b, f, room) / check_minutes(run, f);
        if (rate <= most) continue;
        most = rate;
        best = f;
    }
    return best;
}

static size_t best_remedy(const struct run *run, const struct bw_belief *b) {
    const struct bw_network *network = run->c.network;
    const struct bw_knowledge *k = network->knowledge;
    size_t best = BW_NO_INDEX;
    double most = 0;
    for (size_t r = 0; r < k->remedies; r++) {
        if (k->remedy[r].kind != BW_CURE) continue;
        if (bw_case_reply_to(&run->c, bw_remedy_row(network, r)) != NULL) continue;
        double chance = 0;
        for (size_t i = 0; i + 1 < b->causes; i++)
            chance += b->share[i] * k->cure[r * k->causes + network->cause[i]];
        double cost = min_of(k->remedy[r].minutes) + min_of(assume(run)->prove) +
                      k->remedy[r].money.v * 60 / assume(run)->hour.v +
                      min_of(assume(run)->wait) * (double)k->remedy[r].lead;
        if (chance < 0.03 || chance / cost <= most) continue;
        most = chance / cost;
        best = r;
    }
    return best;
}

static struct result by_gain(const struct call *call, const struct bw_network *network) {
    struct bw_arena *arena = bw_arena_new(0);
    struct run run;
    struct bw_err err = {0};
    double asked = 0;
    intake(&run, call, network, arena);
    double *room = bw_arena_array(arena, 2 * network->net.causes, sizeof *room);
    for (bool gone = false; !gone && run.r.steps < MOST_STEPS;) {
        struct bw_arena *work = bw_arena_new(0);
        struct bw_thought thought;
        must(bw_case_think(&run.c, BW_NO_INDEX, 0, work, &thought, &err), &err);
        const struct bw_belief *b = &thought.belief;
        double most = 0;
        for (size_t i = 0; i < b->causes; i++) most = fmax(most, b->share[i]);
        size_t f = most >= 0.9 || asked >= 60 ? BW_NO_INDEX : best_check(&run, b, room);
        if (f != BW_NO_INDEX) {
            asked += min_of(call->k->check[f].minutes) + min_of(call->k->check[f].fit);
            do_check(&run, f);
        } else {
            size_t r = best_remedy(&run, b);
            if (run.r.repairs == 0) guess(&run, b, &run.r);
            gone = r == BW_NO_INDEX || do_remedies(&run, r, BW_NO_INDEX);
            if (r == BW_NO_INDEX) hire(&run);
        }
        bw_arena_free(work);
    }
    bw_arena_free(arena);
    return run.r;
}

// --- what came of it
// -------------------------------------------------------------------------------

enum arm { PLAN, PLAIN, GAIN, ARMS };
static const char *const ARM_NAMES[ARMS] = {"plan", "plain", "gain"};

struct tally {
    size_t n;
    double right, claimed, minutes, minutes2, visits, visits2, steps, repairs, specialist;
    double decile_n[10], decile_right[10], decile_claimed[10];  // of the first guess
    double named_n[10], named_right[10], named_claimed[10];     // of every cause named
};

static void add(struct tally *t, const struct result *r) {
    int decile = (int)(r->claimed * 10);
    decile = decile > 9 ? 9 : decile;
    t->n++;
    t->right += r->right;
    t->claimed += r->claimed;
    t->minutes += r->minutes;
    t->visits += (double)r->visits;
    t->steps += (double)r->steps;
    t->repairs += (double)r->repairs;
    t->specialist += r->specialist;
    t->decile_n[decile]++;
    t->decile_right[decile] += r->right;
    t->decile_claimed[decile] += r->claimed;
    for (size_t i = 0; i < r->n_named; i++) {
        decile = (int)fmin(r->named[i] * 10, 9);
        t->named_n[decile]++;
        t->named_right[decile] += r->named_right[i];
        t->named_claimed[decile] += r->named[i];
    }
}

static void tell_deciles(const char *what, const double *n, const double *right,
                         const double *claimed) {
    printf("       %s (claimed/right, n):", what);
    for (int d = 0; d < 10; d++)
        if (n[d] > 0)
            printf("  %.0f/%.0f (%.0f)", 100 * claimed[d] / n[d], 100 * right[d] / n[d], n[d]);
    printf("\n");
}

static void tell(enum arm arm, const struct tally *t) {
    double n = (double)t->n;
    printf("%-6s n %zu  first guess right %.1f %% (claimed %.1f %%)", ARM_NAMES[arm], t->n,
           100 * t->right / n, 100 * t->claimed / n);
    if (arm != PLAIN)
        printf("  minutes %.0f  visits %.3f  steps %.1f  repairs %.2f  specialist %.1f %%",
               t->minutes / n, t->visits / n, t->steps / n, t->repairs / n,
               100 * t->specialist / n);
    printf("\n");
    tell_deciles("first guess", t->decile_n, t->decile_right, t->decile_claimed);
    tell_deciles("every cause named", t->named_n, t->named_right, t->named_claimed);
}

// Mean difference of two arms call by call, as a share of the second, with two standard errors.
struct paired {
    double sum, sum2, base;
    size_t n;
};
static void pair(struct paired *p, double ours, double theirs) {
    p->n++;
    p->sum += ours - theirs;
    p->sum2 += (ours - theirs) * (ours - theirs);
    p->base += theirs;
}
static void tell_pair(const char *what, const struct paired *p) {
    double n = (double)p->n, mean = p->sum / n, sd = sqrt(fmax(p->sum2 / n - mean * mean, 0) / n);
    printf("plan against gain, %s: %+.1f %% ± %.1f (two standard errors)\n", what,
           100 * p->sum / p->base, 200 * sd / (p->base / n));
}

static void check_sample(const struct tally *t) {
    // Loose on purpose: a sample of a few calls shows only that nothing is broken.
    bool good = t[PLAN].right >= 0.25 * (double)t[PLAN].n && t[PLAN].steps > 0;
    printf("%sok 1 - the program guesses right in a quarter of a few calls\n1..1\n",
           good ? "" : "not ");
    if (!good) exit(1);
}

struct options {
    size_t cases;
    bool sample;
    FILE *csv;
};

static unsigned long number_of(const char *text) {
    char *end;
    unsigned long n = strtoul(text, &end, 10);
    if (*end == '\0' && end != text) return n;
    fprintf(stderr, "claim_reason: not a number: %s\n", text);
    exit(2);
}

static struct options read_options(int argc, char **argv) {
    struct options o = {.cases = 400};
    for (int i = 1; i < argc; i++) {
        bool more = i + 1 < argc;
        if (strcmp(argv[i], "--sample") == 0) o.sample = true;
        if (more && strcmp(argv[i], "--cases") == 0) o.cases = number_of(argv[++i]);
        if (more && strcmp(argv[i], "--seed") == 0) seed = number_of(argv[++i]);
        if (more && strcmp(argv[i], "--csv") == 0) o.csv = fopen(argv[++i], "w");
    }
    if (o.sample) o.cases = 6;
    return o;
}

static void write_row(FILE *csv, const struct call *call, int arm, const struct result *r) {
    if (csv == NULL) return;
    fprintf(csv, "%zu,%s,%s,%zu,%d,%.4f,%.1f,%zu,%zu,%zu,%d\n", call->number, ARM_NAMES[arm],
            call->cause[0] == BW_NO_INDEX ? "unlisted" : call->k->cause[call->cause[0]].id, call->n,
            r->right, r->claimed, r->minutes, r->visits, r->steps, r->repairs, r->specialist);
}

struct world {
    const struct bw_network *network, *sure;
    struct tally tally[ARMS];
    struct paired minutes, visits, right;
};

static void run_call(struct world *w, const struct call *call, FILE *csv) {
    struct result r[ARMS] = {{.right = false}};
    r[PLAN] = by_plan(call, w->network, w->sure, &r[PLAIN]);
    r[GAIN] = by_gain(call, w->network);
    pair(&w->minutes, r[PLAN].minutes, r[GAIN].minutes);
    pair(&w->visits, (double)r[PLAN].visits, (double)r[GAIN].visits);
    pair(&w->right, r[PLAN].right, r[GAIN].right);
    for (int a = 0; a < ARMS; a++) {
        add(&w->tally[a], &r[a]);
        write_row(csv, call, a, &r[a]);
    }
}

static bool anybody_calls(const struct call *call) {
    for (size_t f = 0; f < call->k->checks; f++)
        if (call->k->check[f].kind == BW_SYMPTOM && mentions(call, f)) return true;
    return false;
}

int main(int argc, char **argv) {
    struct options o = read_options(argc, argv);
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_knowledge k, firm;
    struct bw_err err = {0};
    struct bw_features none = bw_features_none();
    struct bw_network network, sure;
    must(bw_knowledge_load(arena, NULL, 0, NULL, &k, &err), &err);
    firm = k;
    firm.assume.doubt.v = 0;
    const struct bw_network_from from = {&k, &none, NULL}, as_written = {&firm, &none, NULL};
    must(bw_network_make(&from, arena, &network, &err), &err);
    must(bw_network_make(&as_written, arena, &sure, &err), &err);
    struct world w = {.network = &network, .sure = &sure};
    if (o.csv != NULL)
        fprintf(o.csv, "call,arm,cause,causes,right,claimed,minutes,visits,steps,repairs,"
                       "specialist\n");
    for (size_t number = 0, done = 0; done < o.cases; number++) {
        struct call call = draw_call(&k, number);
        if (!anybody_calls(&call)) continue;
        done++;
        run_call(&w, &call, o.csv);
    }
    for (int a = 0; a < ARMS; a++) tell((enum arm)a, &w.tally[a]);
    tell_pair("minutes", &w.minutes);
    tell_pair("visits", &w.visits);
    tell_pair("first guess right", &w.right);
    if (o.sample) check_sample(w.tally);
    if (o.csv != NULL && fclose(o.csv) != 0) return 1;
    bw_arena_free(arena);
    return 0;
}
