// design.c - see design.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: an experiment is a few more observations. Under every joint explanation still standing
// their outcome has a predictive distribution (from the joint belief, so that shared errors are
// fitted). Outcomes are drawn from each explanation in proportion to its weight; for each the
// belief is updated over the others. The mean of the largest probability then is the chance that
// the best guess will be right, the share with 0.9 or more the chance that it settles. The draws
// come from a fixed sequence: the same input gives the same bytes. Minutes are estimates (common
// practice, no source).
//
// Feeds near 1:2, 1:3, 2:3 of the present one are avoided, for there a harmonic stands in for the
// fundamental; the feed goes down, so that the load never rises. Rejected: entropy as the measure
// (nobody bets a day's production on bits), a full second step (what is offered second best is
// nearly always it).
#include "study/source/design.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_STATES 40
#define MOST_GROUPS 10  // sources told apart; what is rarer counts as "other"
#define MOST_OFFERED 3
#define DRAWS 5  // outcomes drawn from each explanation
#define DECIDED 0.9
#define DEGREES 5.0

enum outcome { AS_PITCH, AS_RATE, AS_LENGTH, AS_SPEED, AS_WORDS };

struct design {
    struct bw_run *run;
    const struct belief *belief;
    const struct setting *setting;  // of the focus mark
    int focus, n_states, n_groups;
    double total;  // weight of the states used
    int group_of[MOST_STATES];
    const struct state *first[MOST_GROUPS];  // the likeliest state of each group
    double weight[MOST_GROUPS + 1];          // normalised; the last: other
    struct source_experiment *items;
    size_t n, room;
    bool failed;
};

// What is to be read: up to three numbers, and a yes or no.
struct plan {
    int n;
    struct bw_form forms[MOST_FORMS];
    bool is_mark[MOST_FORMS];  // the focus mark itself, at `ratio` times its feed
    double ratio;
    double reading[MOST_FORMS];  // sd of each reading
    double feed_noise;           // sd of the feed set anew, shared by the readings at it
    bool has_yes;
    double yes[MOST_GROUPS + 1];  // chance of "the mark is there", by group
};

static const struct hypothesis *focus_of(const struct design *d, const struct state *state) {
    return state_hypothesis(d->belief, state, d->focus);
}
static const struct bw_source *source_of(const struct design *d, int g) {
    return focus_of(d, d->first[g])->source;
}

static void group(struct design *d) {
    d->n_states = d->belief->n < MOST_STATES ? d->belief->n : MOST_STATES;
    for (int i = 0; i < d->n_states; i++) {
        const struct state *state = &d->belief->states[i];
        int g = 0;
        while (g < d->n_groups && source_of(d, g) != focus_of(d, state)->source) g++;
        if (g == d->n_groups && g < MOST_GROUPS) d->first[d->n_groups++] = state;
        d->group_of[i] = g;
        d->weight[g] += state->weight;
        d->total += state->weight;
    }
    for (int g = 0; g <= MOST_GROUPS; g++) d->weight[g] /= d->total;
}

// Chance that the best guess is right already.
static double now_right(const struct design *d) {
    double best = 0;
    for (int g = 0; g < d->n_groups; g++) best = fmax(best, d->weight[g]);
    return best;
}

// --- value of an experiment -------------------------------------------------------------------

// A state's predictive distribution of a plan's numbers, factored.
struct predictive {
    double mean[MOST_FORMS], sd[MOST_FORMS];
    double factor[MOST_FORMS][MOST_FORMS];
    double log_determinant;
};

static void predictive_of(const struct design *d, const struct plan *plan, int i,
                          struct predictive *out) {
    const struct state *state = &d->belief->states[i];
    const struct hypothesis *h = focus_of(d, state);
    struct bw_form forms[MOST_FORMS];
    bool feels[MOST_FORMS];
    for (int f = 0; f < plan->n; f++) {
        forms[f] = plan->is_mark[f] ? h->form : plan->forms[f];
        // A paced mark does not feel the feed.
        feels[f] = plan->feed_noise > 0 && (!plan->is_mark[f] || h->source->timed);
        if (plan->is_mark[f] && h->source->timed) forms[f].constant += log(plan->ratio);
    }
    struct joint joint;
    state_predict_joint(d->belief, state, forms, plan->n, &joint);
    memcpy(out->mean, joint.mean, sizeof out->mean);
    double shared = plan->feed_noise * plan->feed_noise;
    out->log_determinant = 0;
    for (int f = 0; f < plan->n; f++) {
        for (int g = 0; g <= f; g++) {
            double sum = joint.covariance[f][g] + (feels[f] && feels[g] ? shared : 0);
            if (f == g) sum += plan->reading[f] * plan->reading[f];
            if (f == g) out->sd[f] = sqrt(sum);
            for (int k = 0; k < g; k++) sum -= out->factor[f][k] * out->factor[g][k];
            out->factor[f][g] = f == g ? sqrt(fmax(sum, 1e-12)) : sum / out->factor[g][g];
        }
        out->log_determinant += 2 * log(out->factor[f][f]);
    }
}

// Student t, as the inference judges readings; up to a constant that all states share.
static double density(const struct predictive *p, int n, const double *y) {
    double distance = 0, white[MOST_FORMS];
    for (int f = 0; f < n; f++) {
        double rest = y[f] - p->mean[f];
        for (int k = 0; k < f; k++) rest -= p->factor[f][k] * white[k];
        white[f] = rest / p->factor[f][f];
        distance += white[f] * white[f];
    }
    return exp(-0.5 * p->log_determinant - (DEGREES + n) / 2 * log1p(distance / (DEGREES - 2)));
}

static double uniform(uint64_t *sequence) {  // splitmix64
    *sequence += 0x9e3779b97f4a7c15u;
    uint64_t z = *sequence;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return ((double)((z ^ (z >> 31)) >> 11) + 0.5) * 0x1p-53;
}

static void draw(const struct predictive *p, int n, uint64_t *sequence, double *y) {
    double z[MOST_FORMS];
    for (int f = 0; f < n; f++) {
        z[f] = sqrt(-2 * log(uniform(sequence))) * cos(2 * M_PI * uniform(sequence));
        y[f] = p->mean[f];
        for (int k = 0; k <= f; k++) y[f] += p->factor[f][k] * z[k];
    }
}

struct seen {  // one outcome of a plan
    double y[MOST_FORMS];
    bool there;
    double weight;
};
struct worth {
    double settles, right;
};

// The belief over groups once an outcome is seen; adds to what the plan is worth.
static void count(const struct design *d, const struct plan *plan, const struct predictive *states,
                  const struct seen *seen, struct worth *worth) {
    double p[MOST_GROUPS + 1] = {0}, sum = 0, best = 0;
    for (int i = 0; i < d->n_states; i++) {
        double like = d->belief->states[i].weight * density(&states[i], plan->n, seen->y);
        double yes = plan->yes[d->group_of[i]];
        if (plan->has_yes) like *= seen->there ? yes : 1 - yes;
        p[d->group_of[i]] += like;
        sum += like;
    }
    for (int g = 0; g < d->n_groups; g++) best = fmax(best, p[g]);
    if (sum <= 0) return;
    worth->right += seen->weight * best / sum;
    if (best >= DECIDED * sum) worth->settles += seen->weight;
}

static struct worth value(struct design *d, const struct plan *plan) {
    struct predictive states[MOST_STATES];
    memset(states, 0, sizeof states);
    for (int i = 0; i < d->n_states; i++) predictive_of(d, plan, i, &states[i]);
    uint64_t sequence = 1;
    struct worth worth = {0, 0};
    int draws = plan->n == 0 ? 1 : DRAWS;
    for (int i = 0; i < d->n_states; i++) {
        double weight = d->belief->states[i].weight / d->total / draws;
        for (int k = 0; k < draws; k++) {
            struct seen seen = {.there = true};
            draw(&states[i], plan->n, &sequence, seen.y);
            double yes = plan->has_yes ? plan->yes[d->group_of[i]] : 1;
            seen.weight = weight * yes;
            count(d, plan, states, &seen, &worth);
            seen.there = false;
            seen.weight = weight * (1 - yes);
            if (yes < 1) count(d, plan, states, &seen, &worth);
        }
    }
    return worth;
}

// --- writing an experiment down ---------------------------------------------------------------

struct offer {
    const char *id, *title, *how, *caution, *part;
    int head;  // index, -1: none
    double minutes;
    enum outcome as;  // of the plan's first number
    const char *then, *otherwise;
};

// Mean and sd of the plan's first number over a group's states.
static struct bw_quantity of_group(struct design *d, const struct plan *plan, int g) {
    double w = 0, mean = 0, square = 0;
    for (int i = 0; i < d->n_states; i++) {
        if (d->group_of[i] != g) continue;
        struct predictive p;
        memset(&p, 0, sizeof p);
        predictive_of(d, plan, i, &p);
        double weight = d->belief->states[i].weight;
        w += weight;
        mean += weight * p.mean[0];
        square += weight * (p.mean[0] * p.mean[0] + p.sd[0] * p.sd[0]);
    }
    mean /= w;
    double variance = square / w - mean * mean;
    double v = exp(mean);
    return bw_about(v, v * sqrt(variance > 0 ? variance : 0));
}

static void predict(struct design *d, const struct plan *plan, const struct offer *offer, int g,
                    struct source_prediction *p) {
    *p = (struct source_prediction){.name = source_of(d, g)->name,
                                    .pitch = BW_UNKNOWN,
                                    .rate = BW_UNKNOWN,
                                    .length = BW_UNKNOWN,
                                    .speed = BW_UNKNOWN};
    if (plan->has_yes) p->outcome = plan->yes[g] > 0.5 ? offer->then : offer->otherwise;
    if (offer->as == AS_WORDS || (plan->has_yes && plan->yes[g] <= 0.5)) return;
    struct bw_quantity q = of_group(d, plan, g);
    if (offer->as == AS_PITCH) p->pitch = q;
    if (offer->as == AS_RATE) p->rate = q;
    if (offer->as == AS_LENGTH) p->length = q;
    if (offer->as == AS_SPEED) p->speed = q;
}

static void propose(struct design *d, const struct plan *plan, const struct offer *offer) {
    struct worth worth = value(d, plan);
    if (d->n == d->room || (worth.right < now_right(d) + 0.02 && worth.settles < 0.05)) return;
    struct source_prediction *items = bw_arena_array(d->run->arena, MOST_GROUPS, sizeof *items);
    if (items == NULL) {
        d->failed = true;
        return;
    }
    struct source_experiment *x = &d->items[d->n++];
    *x = (struct source_experiment){.id = offer->id,
                                    .title = offer->title,
                                    .how = offer->how,
                                    .caution = offer->caution,
                                    .part = offer->part,
                                    .head = offer->head < 0 ? BW_NO_COUNT : offer->head + 1,
                                    .feed = BW_UNKNOWN,
                                    .minutes = bw_exactly(60 * offer->minutes),
                                    .settles = bw_exactly(worth.settles),
                                    .right = bw_exactly(worth.right),
                                    .predictions = {items, 0}};
    if (plan->ratio > 0) x->feed = bw_exactly(plan->ratio * d->setting->typical);
    for (int g = 0; g < d->n_groups; g++)
        if (d->weight[g] >= 0.02) predict(d, plan, offer, g, &items[x->predictions.n++]);
}

static const char *say(struct design *d, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct design *d, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(d->run->arena, format, args);
    va_end(args);
    if (text == NULL) d->failed = true;
    return text == NULL ? "" : text;
}

// --- the experiments --------------------------------------------------------------------------

static const char DOORS_SHUT[] =
    "doors shut, nobody in line with the infeed, no part under the machine's shortest length";
static const char LOCK_OUT[] = "lock out power and air, release the tension, wait until drums and "
                               "belt stand still before a hand goes "
                               "in; doors shut again before it runs";

static void add_mark(const struct design *d, struct plan *plan, double ratio) {
    const struct item *item = &d->belief->evidence->items[d->focus];
    plan->ratio = ratio;
    plan->is_mark[plan->n] = true;
    plan->reading[plan->n++] = fmax(item->sd, 0.005);
    plan->feed_noise = bw_known(d->setting->feed) ? M_SQRT2 * d->setting->own_sd : 0.02;
}

static void add_form(struct plan *plan, const struct bw_form *form, double reading) {
    plan->forms[plan->n] = *form;
    plan->reading[plan->n++] = reading;
}

static void add_one_head(const struct design *d, struct plan *plan, int head) {
    plan->has_yes = true;
    for (int g = 0; g <= MOST_GROUPS; g++) {
        int own = g < d->n_groups ? source_of(d, g)->head : -1;
        plan->yes[g] = own < 0 ? 0.90 : own == head ? 0.95 : 0.04;
    }
}

// The slower feed that tells most; 0 where the machine cannot go slower.
static double best_ratio(struct design *d) {
    static const double DOWN[] = {0.72, 0.70, 0.74, 0.62, 0.78, 0.58};
    const struct bw_machine *machine = d->belief->evidence->model->machine;
    double best = 0, best_right = -1;
    for (size_t i = 0; i < sizeof DOWN / sizeof DOWN[0]; i++) {
        if (bw_known(machine->feed_min) && DOWN[i] * d->setting->typical < machine->feed_min.v)
            continue;
        struct plan plan = {.n = 0};
        add_mark(d, &plan, DOWN[i]);
        double right = value(d, &plan).right;
        if (right <= best_right + 0.005) continue;  // the first named wins a tie
        best = DOWN[i];
        best_right = right;
    }
    return best;
}

static void change_feed(struct design *d, double ratio) {
    const struct bw_machine *machine = d->belief->evidence->model->machine;
    bool up = ratio <= 0;
    if (up) ratio = 1.32;
    if (up && bw_known(machine->feed_max) && ratio * d->setting->typical > machine->feed_max.v)
        return;
    struct plan plan = {.n = 0};
    add_mark(d, &plan, ratio);
    struct offer offer = {.id = "feed",
                          .head = -1,
                          .minutes = 10,
                          .as = AS_PITCH,
                          .title = up ? "raise the feed by a third, with half the cut"
                                      : "sand a scrap panel at a slower feed, same cut",
                          .how = "read the new feed the same way as the first, count ten or more "
                                 "marks; a part that turns in time "
                                 "then has another pitch, one tied to the panel's travel keeps it; "
                                 "give it as one more --mark with "
                                 "\"same as mark 1\"",
                          .caution = up ? "halve the cut first so that the load does not rise; "
                                          "doors shut, nobody in line with "
                                          "the infeed"
                                        : DOORS_SHUT};
    propose(d, &plan, &offer);
}

// The head whose belt the remaining sources hang on.
static int likely_head(const struct design *d) {
    double weight[BW_MAX_HEADS] = {0};
    int best = -1;
    for (int g = 0; g < d->n_groups; g++) {
        int head = source_of(d, g)->head;
        if (head < 0) continue;
        weight[head] += d->weight[g];
        if (best < 0 || weight[head] > weight[best]) best = head;
    }
    return best;
}

static const struct bw_source *splice_of(const struct design *d, int head) {
    const struct bw_model *model = d->belief->evidence->model;
    for (int i = 0; i < model->n_sources; i++)
        if (model->sources[i].part == BW_PART_SPLICE && model->sources[i].head == head)
            return &model->sources[i];
    return NULL;
}

static struct bw_form splice_pitch(const struct design *d, const struct bw_source *splice) {
    return bw_form_sum(&d->setting->form, -1, &splice->form);
}

static void chalk(struct design *d, int head, const struct bw_source *splice) {
    struct bw_form form = splice_pitch(d, splice);
    struct plan plan = {.n = 0};
    add_form(&plan, &form, 0.005);
    bool several = d->belief->evidence->model->machine->heads.n > 1;
    if (several) add_one_head(d, &plan, head);
    struct offer offer = {
        .id = several ? "chalk-one-head" : "chalk",
        .head = head,
        .minutes = 20,
        .as = AS_PITCH,
        .title = say(d,
                     several ? "chalk the splice of head %d and sand a scrap panel with it alone"
                             : "chalk the splice of head %d",
                     head + 1),
        .how = say(
            d,
            "locked out, chalk a line across the grain side beside the joint; run one scrap panel "
            "at "
            "the same feed%s and measure the chalk marks over ten gaps in its first metre; "
            "then give --mark \"PITCH is splice of head %d\"%s: after that no speed is needed",
            several ? ", the other heads lifted clear," : "", head + 1,
            several ? say(d, " and --trial \"only head %d mark stays\" (or gone)", head + 1) : ""),
        .caution = LOCK_OUT,
        .then = "the mark is there",
        .otherwise = "no mark"};
    propose(d, &plan, &offer);
}

// One scrap panel tells three things: which head, the speeds' ratio, and whether the mark follows
// the feed.
static void scrap_panel(struct design *d, int head, const struct bw_source *splice, double ratio) {
    if (ratio <= 0) return;
    struct bw_form form = splice_pitch(d, splice);
    form.constant += log(ratio);
    struct plan plan = {.n = 0};
    add_mark(d, &plan, ratio);
    add_form(&plan, &form, 0.005);
    bool several = d->belief->evidence->model->machine->heads.n > 1;
    if (several) add_one_head(d, &plan, head);
    struct offer offer = {
        .id = "scrap-panel",
        .head = head,
        .minutes = 25,
        .as = AS_PITCH,
        .title = say(d, "chalk the splice of head %d and sand a scrap panel slower%s", head + 1,
                     several ? ", with this head alone" : ""),
        .how =
            say(d,
                "locked out, chalk a line across the grain side beside the joint; set the slower "
                "feed%s; on "
                "the panel measure the chalk marks and the mark itself, ten gaps each; then give "
                "--mark \""
                "PITCH at FEED is splice of head %d\"%s and, if the mark is there, --mark \"PITCH "
                "at FEED "
                "same as mark 1\"",
                several ? ", lift the other heads clear" : "", head + 1,
                several ? say(d, ", --trial \"only head %d mark stays\" (or gone)", head + 1) : ""),
        .caution = LOCK_OUT,
        .then = "the mark is there",
        .otherwise = "no mark"};
    propose(d, &plan, &offer);
}

static void recording(struct design *d, int head, const struct bw_source *splice, bool with_film) {
    struct plan plan = {.n = 0};
    add_form(&plan, &splice->form, 0.001);
    if (with_film) add_form(&plan, &d->setting->form, 0.0025);
    struct offer offer = {
        .id = with_film ? "recording-film" : "recording",
        .head = head,
        .as = AS_RATE,
        .minutes = with_film ? 10 : 5,
        .title = say(d,
                     with_film ? "record head %d running alone, and film a panel in cut"
                               : "record the sound of head %d running alone",
                     head + 1),
        .how = say(
            d,
            "a phone against the cabinet for a minute, only head %d running, not cutting: the "
            "thump of "
            "the splice gives its rate; give --rate \"RATE by recording is splice of head %d\"%s",
            head + 1, head + 1,
            with_film
                ? "; the panel's length over the time between nose and tail at one post is the "
                  "feed: give it as \"at FEED by film\""
                : ""),
        .caution = DOORS_SHUT};
    propose(d, &plan, &offer);
}

static void film(struct design *d) {
    struct plan plan = {.n = 0};
    add_form(&plan, &d->setting->form, 0.0025);
    struct offer offer = {.id = "film",
                          .head = -1,
                          .minutes = 5,
                          .as = AS_SPEED,
                          .title = "film a panel of known length in cut",
                          .how = "from the side, nose and tail past one post, at the same feed "
                                 "setting; length over time is the "
                                 "feed; then give it as \"at FEED by film\"",
                          .caution = DOORS_SHUT};
    propose(d, &plan, &offer);
}

static void tape(struct design *d) {
    for (int g = 0; g < d->n_groups; g++) {
        const struct bw_source *source = source_of(d, g);
        if ((source->part != BW_PART_DRUM && source->part != BW_PART_ROLLER) || d->weight[g] < 0.05)
            continue;
        struct bw_form form = {.constant = 0};
        bw_form_add(&form, source->form.terms[1].variable, 1);
        if (bw_gauss_sd(d->belief->gauss[0], &form) < 0.006) continue;  // known by tape already
        struct plan plan = {.n = 0};
        add_form(&plan, &form, 0.003);
        struct offer offer = {.id = "tape",
                              .head = -1,
                              .minutes = 25,
                              .as = AS_LENGTH,
                              .part = source->id,
                              .title = say(d, "put a tape round the %s", source->name),
                              .how = "its circumference without the belt, into the machine file "
                                     "with today's date (the lengths "
                                     "below include the belt)",
                              .caution = LOCK_OUT};
        propose(d, &plan, &offer);
        return;
    }
}

static void lift_heads(struct design *d, int head) {
    if (d->belief->evidence->model->machine->heads.n < 2) return;
    struct plan plan = {.n = 0};
    add_one_head(d, &plan, head);
    struct offer offer = {.id = "one-head",
                          .head = head,
                          .minutes = 10,
                          .as = AS_WORDS,
                          .title = say(d, "sand a scrap panel with only head %d cutting", head + 1),
                          .how = say(d,
                                     "the other heads lifted clear, a light cut, same feed; then "
                                     "--trial \"only head %d mark "
                                     "stays\" (or gone)",
                                     head + 1),
                          .caution = DOORS_SHUT,
                          .then = "the mark is there",
                          .otherwise = "no mark"};
    propose(d, &plan, &offer);
}

static void new_belt(struct design *d, int head) {
    struct plan plan = {.has_yes = true};
    bool splice = false;
    for (int g = 0; g <= MOST_GROUPS; g++) {
        const struct bw_source *source = g < d->n_groups ? source_of(d, g) : NULL;
        bool own = source != NULL && source->part == BW_PART_SPLICE && source->head == head;
        plan.yes[g] = own ? 0.10 : 0.94;
        splice = splice || own;
    }
    struct offer offer = {
        .id = "new-belt",
        .head = head,
        .minutes = 15,
        .as = AS_WORDS,
        .title = say(d, "put another belt of the same kind on head %d", head + 1),
        .how = say(d,
                   "change nothing else: no cleaning, same tension, same cut; then --trial \"new "
                   "belt on head "
                   "%d mark gone\" (or stays); the old belt back again makes it a proof",
                   head + 1),
        .caution = LOCK_OUT,
        .then = "the mark is there",
        .otherwise = "no mark"};
    if (splice) propose(d, &plan, &offer);
}

static double merit(const struct source_experiment *x) {
    return 0.5 * x->settles.v + x->right.v - x->minutes.v / 60 * 0.003;
}

static int by_merit(const void *a, const void *b) {
    double x = merit(a), y = merit(b);
    return (x < y) - (x > y);
}

bool design_experiments(struct bw_run *run, const struct belief *belief, int focus,
                        struct bw_list *out, struct bw_err *err) {
    enum { ROOM = 12 };
    const struct evidence *e = belief->evidence;
    struct design d = {.run = run,
                       .belief = belief,
                       .focus = focus,
                       .room = ROOM,
                       .setting = &e->settings[e->items[focus].setting]};
    d.items = bw_arena_array(run->arena, ROOM, sizeof *d.items);
    if (d.items == NULL) return bw_fail_memory(err);
    group(&d);
    *out = (struct bw_list){d.items, 0};
    if (now_right(&d) >= DECIDED) return true;
    double ratio = best_ratio(&d);
    change_feed(&d, ratio);
    film(&d);
    tape(&d);
    int head = likely_head(&d);
    const struct bw_source *splice = head < 0 ? NULL : splice_of(&d, head);
    if (splice != NULL) {
        chalk(&d, head, splice);
        scrap_panel(&d, head, splice, ratio);
        recording(&d, head, splice, false);
        recording(&d, head, splice, true);
        new_belt(&d, head);
    }
    if (head >= 0) lift_heads(&d, head);
    if (d.failed) return bw_fail_memory(err);
    qsort(d.items, d.n, sizeof *d.items, by_merit);
    out->n = d.n < MOST_OFFERED ? d.n : MOST_OFFERED;
    return true;
}
