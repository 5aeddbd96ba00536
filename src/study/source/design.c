// design.c - see design.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: an experiment is one more observation. Under every joint explanation still standing its outcome has a predictive
// distribution (mean and variance from the joint belief, so that shared errors are fitted); the chance that it
// settles the matter is the integral, over outcomes, of those where one source then has 0.9 or more. Minutes are
// estimates (common practice, no source). Feeds near 1:2, 1:3, 2:3 of the present one are avoided, for there a
// harmonic stands in for the fundamental; the feed goes down, so that the load never rises.
#include "study/source/design.h"

#include <math.h>
#include <stdlib.h>

#define MOST_STATES 80
#define MOST_GROUPS 10    // sources told apart; what is rarer counts as "other"
#define MOST_OFFERED 3
#define DECIDED 0.9
#define GRID 700

enum outcome { AS_PITCH, AS_RATE, AS_LENGTH, AS_SPEED };

struct design {
    struct bw_run *run;
    const struct belief *belief;
    int focus, n_states, n_groups;
    double total;                       // weight of the states used
    int group_of[MOST_STATES];
    const struct state *first[MOST_GROUPS];  // the likeliest state of each group
    double weight[MOST_GROUPS + 1];     // normalised; the last: other
    double mean[MOST_STATES], sd[MOST_STATES];  // of the outcome
    struct source_experiment *items;
    size_t n, room;
    bool failed;
};

static const struct hypothesis *focus_of(const struct design *d, const struct state *state) {
    return state_hypothesis(d->belief, state, d->focus);
}

static void group(struct design *d) {
    d->n_states = d->belief->n < MOST_STATES ? d->belief->n : MOST_STATES;
    for (int i = 0; i < d->n_states; i++) {
        const struct state *state = &d->belief->states[i];
        int g = 0;
        while (g < d->n_groups && focus_of(d, d->first[g])->source != focus_of(d, state)->source) g++;
        if (g == d->n_groups && g < MOST_GROUPS) d->first[d->n_groups++] = state;
        d->group_of[i] = g;
        d->weight[g] += state->weight;
        d->total += state->weight;
    }
    for (int g = 0; g <= MOST_GROUPS; g++) d->weight[g] /= d->total;
}

// --- value of an experiment -------------------------------------------------------------------

// Student t with five degrees, as the inference judges readings.
static double density(double x, double mean, double sd) {
    double z = (x - mean) / sd;
    return 0.3796066898 / sd / pow(1 + z * z / 5, 3);
}

static void count(const double p[MOST_GROUPS + 1], int n, double *settles, double *right) {
    double sum = 0, best = 0;
    for (int g = 0; g <= n; g++) {
        sum += p[g];
        if (g < n) best = fmax(best, p[g]);
    }
    *right += best;
    if (sum > 0 && best >= DECIDED * sum) *settles += sum;
}

static void value_scalar(const struct design *d, double *settles, double *right) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (int i = 0; i < d->n_states; i++) {
        low = fmin(low, d->mean[i] - 6 * d->sd[i]);
        high = fmax(high, d->mean[i] + 6 * d->sd[i]);
    }
    double step = (high - low) / GRID;
    *settles = *right = 0;
    for (int k = 0; k < GRID; k++) {
        double x = low + (k + 0.5) * step, p[MOST_GROUPS + 1] = {0};
        for (int i = 0; i < d->n_states; i++)
            p[d->group_of[i]] += d->belief->states[i].weight / d->total * step *
                                 density(x, d->mean[i], d->sd[i]);
        count(p, d->n_groups, settles, right);
    }
}

static void value_yes_no(const struct design *d, const double yes[MOST_GROUPS + 1],
                         double *settles, double *right) {
    *settles = *right = 0;
    for (int answer = 0; answer < 2; answer++) {
        double p[MOST_GROUPS + 1] = {0};
        for (int g = 0; g < MOST_GROUPS + 1; g++)
            p[g] = d->weight[g] * (answer ? yes[g] : 1 - yes[g]);
        count(p, d->n_groups, settles, right);
    }
}

// --- writing an experiment down ---------------------------------------------------------------

// Chance that the best guess is right already.
static double now_right(const struct design *d) {
    double best = 0;
    for (int g = 0; g < d->n_groups; g++) best = fmax(best, d->weight[g]);
    return best;
}

static struct source_experiment *offer(struct design *d, double settles, double right) {
    double now = now_right(d);
    if (d->n == d->room || (right < now + 0.02 && settles < 0.05)) return NULL;
    struct source_experiment *x = &d->items[d->n++];
    *x = (struct source_experiment){.feed = BW_UNKNOWN, .minutes = BW_UNKNOWN,
                                    .settles = bw_exactly(settles), .right = bw_exactly(right)};
    return x;
}

static struct source_prediction *predictions(struct design *d, struct source_experiment *x) {
    struct source_prediction *items =
        bw_arena_array(d->run->arena, MOST_GROUPS, sizeof *items);
    if (items == NULL) {
        d->failed = true;
        return NULL;
    }
    x->predictions = (struct bw_list){items, 0};
    return items;
}

static struct source_prediction *predict(struct design *d, struct source_experiment *x, int g) {
    struct source_prediction *p = (struct source_prediction *)x->predictions.items +
                                  x->predictions.n++;
    *p = (struct source_prediction){.name = focus_of(d, d->first[g])->source->name,
                                    .pitch = BW_UNKNOWN, .rate = BW_UNKNOWN,
                                    .length = BW_UNKNOWN, .speed = BW_UNKNOWN};
    return p;
}

// Mean and sd of the outcome over a group's states, as a quantity.
static struct bw_quantity of_group(const struct design *d, int g) {
    double w = 0, mean = 0, square = 0;
    for (int i = 0; i < d->n_states; i++) {
        if (d->group_of[i] != g) continue;
        double weight = d->belief->states[i].weight;
        w += weight;
        mean += weight * d->mean[i];
        square += weight * (d->mean[i] * d->mean[i] + d->sd[i] * d->sd[i]);
    }
    mean /= w;
    double variance = square / w - mean * mean;
    double value = exp(mean);
    return bw_about(value, value * sqrt(variance > 0 ? variance : 0));
}

static void scalar_predictions(struct design *d, struct source_experiment *x, enum outcome as) {
    if (x == NULL || predictions(d, x) == NULL) return;
    for (int g = 0; g < d->n_groups; g++) {
        if (d->weight[g] < 0.02) continue;
        struct source_prediction *p = predict(d, x, g);
        struct bw_quantity q = of_group(d, g);
        if (as == AS_PITCH) p->pitch = q;
        if (as == AS_RATE) p->rate = q;
        if (as == AS_LENGTH) p->length = q;
        if (as == AS_SPEED) p->speed = q;
    }
}

static void words_predictions(struct design *d, struct source_experiment *x,
                              const double yes[MOST_GROUPS + 1], const char *then,
                              const char *otherwise) {
    if (x == NULL || predictions(d, x) == NULL) return;
    for (int g = 0; g < d->n_groups; g++)
        if (d->weight[g] >= 0.02) predict(d, x, g)->outcome = yes[g] > 0.5 ? then : otherwise;
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
static const char LOCK_OUT[] =
    "lock out power and air, release the tension, wait until drums and belt stand still before a hand goes "
    "in; doors shut again before it runs";

// The same outcome form in every state.
static void outcomes(struct design *d, const struct bw_form *form, double noise) {
    for (int i = 0; i < d->n_states; i++) {
        double variance;
        state_predict(d->belief, &d->belief->states[i], form, &d->mean[i], &variance);
        d->sd[i] = sqrt(variance + noise * noise);
    }
}

static void feed_outcomes(struct design *d, double ratio) {
    const struct item *item = &d->belief->evidence->items[d->focus];
    const struct setting *setting = &d->belief->evidence->settings[item->setting];
    double reading = fmax(item->sd, 0.008);
    double noise = sqrt(2 * setting->own_sd * setting->own_sd + reading * reading);
    if (!bw_known(setting->feed)) noise = hypot(0.02, reading);
    for (int i = 0; i < d->n_states; i++) {
        const struct hypothesis *h = focus_of(d, &d->belief->states[i]);
        struct bw_form form = h->form;
        if (h->source->timed) form.constant += log(ratio);
        double variance;
        state_predict(d->belief, &d->belief->states[i], &form, &d->mean[i], &variance);
        // A paced mark does not feel the feed's errors.
        double own = h->source->timed ? noise : reading;
        d->sd[i] = sqrt(variance + own * own);
    }
}

static void change_feed(struct design *d) {
    static const double DOWN[] = {0.72, 0.70, 0.74, 0.62, 0.78, 0.58};
    const struct bw_machine *machine = d->belief->evidence->model->machine;
    const struct item *item = &d->belief->evidence->items[d->focus];
    const struct setting *setting = &d->belief->evidence->settings[item->setting];
    double best = 0, best_settles = -1, best_right = 0;
    for (size_t i = 0; i < sizeof DOWN / sizeof DOWN[0]; i++) {
        if (bw_known(machine->feed_min) && DOWN[i] * setting->typical < machine->feed_min.v) continue;
        double settles, right;
        feed_outcomes(d, DOWN[i]);
        value_scalar(d, &settles, &right);
        if (settles <= best_settles + 0.005) continue;  // the first named wins a tie
        best = DOWN[i];
        best_settles = settles;
        best_right = right;
    }
    bool up = best_settles < 0;
    if (up) {
        best = 1.32;
        if (bw_known(machine->feed_max) && best * setting->typical > machine->feed_max.v) return;
        feed_outcomes(d, best);
        value_scalar(d, &best_settles, &best_right);
    } else {
        feed_outcomes(d, best);
    }
    struct source_experiment *x = offer(d, best_settles, best_right);
    if (x == NULL) return;
    x->id = "feed";
    x->title = up ? "raise the feed by a third, with half the cut"
                  : "sand a scrap panel at a slower feed, same cut";
    x->how = "read the new feed the same way as the first, count ten or more marks; a part that turns "
             "in time gives a shorter pitch, one tied to the panel's travel keeps it";
    x->caution = up ? "halve the cut first so that the load does not rise; doors shut, nobody in line "
                      "with the infeed"
                    : DOORS_SHUT;
    x->feed = bw_exactly(best * setting->typical);
    x->minutes = bw_exactly(10 * 60);
    scalar_predictions(d, x, AS_PITCH);
}

// The head whose belt the remaining sources hang on.
static int likely_head(const struct design *d) {
    double weight[BW_MAX_HEADS] = {0};
    int best = -1;
    for (int g = 0; g < d->n_groups; g++) {
        int head = focus_of(d, d->first[g])->source->head;
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

static void chalk(struct design *d, int head) {
    const struct bw_source *splice = splice_of(d, head);
    const struct item *item = &d->belief->evidence->items[d->focus];
    if (splice == NULL) return;
    const struct setting *setting = &d->belief->evidence->settings[item->setting];
    struct bw_form form = bw_form_sum(&setting->form, -1, &splice->form);
    double settles, right;
    outcomes(d, &form, 0.005);
    value_scalar(d, &settles, &right);
    struct source_experiment *x = offer(d, settles, right);
    if (x == NULL) return;
    x->id = "chalk";
    x->title = say(d, "chalk the splice of head %d", head + 1);
    x->how = say(d, "locked out, chalk a line across the grain side beside the joint; run one scrap panel "
                    "at the same feed with only this head cutting and measure the chalk marks over ten "
                    "gaps in its first metre; then give it as --mark \"PITCH is splice of head %d\": "
                    "after that no speed is needed", head + 1);
    x->caution = LOCK_OUT;
    x->minutes = bw_exactly(20 * 60);
    scalar_predictions(d, x, AS_PITCH);
}

static void recording(struct design *d, int head) {
    const struct bw_source *splice = splice_of(d, head);
    if (splice == NULL) return;
    double settles, right;
    outcomes(d, &splice->form, 0.001);
    value_scalar(d, &settles, &right);
    struct source_experiment *x = offer(d, settles, right);
    if (x == NULL) return;
    x->id = "recording";
    x->title = say(d, "record the sound of head %d running alone", head + 1);
    x->how = say(d, "a phone against the cabinet for a minute, only head %d running, not cutting; the thump "
                    "of the splice gives its rate; then --rate \"RATE by recording is splice of head %d\"",
                 head + 1, head + 1);
    x->caution = DOORS_SHUT;
    x->minutes = bw_exactly(5 * 60);
    scalar_predictions(d, x, AS_RATE);
}

static void film(struct design *d) {
    const struct item *item = &d->belief->evidence->items[d->focus];
    const struct setting *setting = &d->belief->evidence->settings[item->setting];
    double settles, right;
    outcomes(d, &setting->form, 0.0025);
    value_scalar(d, &settles, &right);
    struct source_experiment *x = offer(d, settles, right);
    if (x == NULL) return;
    x->id = "film";
    x->title = "film a panel of known length in cut";
    x->how = "from the side, nose and tail past one post, at the same feed setting; length over time is the "
             "feed; then give it as \"at FEED by film\"";
    x->caution = DOORS_SHUT;
    x->minutes = bw_exactly(5 * 60);
    scalar_predictions(d, x, AS_SPEED);
}

static void tape(struct design *d) {
    for (int g = 0; g < d->n_groups; g++) {
        const struct bw_source *source = focus_of(d, d->first[g])->source;
        if ((source->part != BW_PART_DRUM && source->part != BW_PART_ROLLER) || d->weight[g] < 0.05)
            continue;
        struct bw_form form = {.constant = 0};
        bw_form_add(&form, source->form.terms[1].variable, 1);
        if (bw_gauss_sd(d->belief->gauss[0], &form) < 0.006) continue;  // known by tape already
        double settles, right;
        outcomes(d, &form, 0.003);
        value_scalar(d, &settles, &right);
        struct source_experiment *x = offer(d, settles, right);
        if (x == NULL) continue;
        x->id = "tape";
        x->title = say(d, "put a tape round the %s", source->name);
        x->how = "its circumference without the belt, into the machine file with today's date (the lengths "
                 "below include the belt)";
        x->caution = LOCK_OUT;
        x->minutes = bw_exactly(25 * 60);
        scalar_predictions(d, x, AS_LENGTH);
        return;
    }
}

static void lift_heads(struct design *d, int head) {
    if (d->belief->evidence->model->machine->heads.n < 2) return;
    double yes[MOST_GROUPS + 1];
    for (int g = 0; g <= MOST_GROUPS; g++) {
        int own = g < d->n_groups ? focus_of(d, d->first[g])->source->head : -1;
        yes[g] = own < 0 ? 0.90 : own == head ? 0.95 : 0.04;
    }
    double settles, right;
    value_yes_no(d, yes, &settles, &right);
    struct source_experiment *x = offer(d, settles, right);
    if (x == NULL) return;
    x->id = "one-head";
    x->title = say(d, "sand a scrap panel with only head %d cutting", head + 1);
    x->how = say(d, "the other heads lifted clear, a light cut, same feed; then --trial \"only head %d mark "
                    "stays\" or \"... mark gone\"", head + 1);
    x->caution = DOORS_SHUT;
    x->minutes = bw_exactly(10 * 60);
    words_predictions(d, x, yes, "the mark stays", "the mark is gone");
}

static void new_belt(struct design *d, int head) {
    double yes[MOST_GROUPS + 1];
    bool splice = false;
    for (int g = 0; g <= MOST_GROUPS; g++) {
        const struct bw_source *source = g < d->n_groups ? focus_of(d, d->first[g])->source : NULL;
        bool own = source != NULL && source->part == BW_PART_SPLICE && source->head == head;
        yes[g] = own ? 0.90 : 0.06;
        splice = splice || own;
    }
    if (!splice) return;
    double settles, right;
    value_yes_no(d, yes, &settles, &right);
    struct source_experiment *x = offer(d, settles, right);
    if (x == NULL) return;
    x->id = "new-belt";
    x->title = say(d, "put another belt of the same kind on head %d", head + 1);
    x->how = say(d, "change nothing else: no cleaning, same tension, same cut; then --trial \"new belt on head "
                    "%d mark gone\" or \"... mark stays\"; the old belt back again makes it a proof", head + 1);
    x->caution = LOCK_OUT;
    x->minutes = bw_exactly(15 * 60);
    words_predictions(d, x, yes, "the mark is gone", "the mark stays");
}

static double merit(const struct source_experiment *x) {
    return x->settles.v + 0.3 * x->right.v - x->minutes.v / 60 * 0.004;
}

static int by_merit(const void *a, const void *b) {
    double x = merit(a), y = merit(b);
    return (x < y) - (x > y);
}

bool design_experiments(struct bw_run *run, const struct belief *belief, int focus,
                        struct bw_list *out, struct bw_err *err) {
    enum { ROOM = 8 };
    struct design d = {.run = run, .belief = belief, .focus = focus, .room = ROOM};
    d.items = bw_arena_array(run->arena, ROOM, sizeof *d.items);
    if (d.items == NULL) return bw_fail_memory(err);
    group(&d);
    *out = (struct bw_list){d.items, 0};
    if (now_right(&d) >= DECIDED) return true;
    change_feed(&d);
    film(&d);
    tape(&d);
    int head = likely_head(&d);
    if (head >= 0) {
        chalk(&d, head);
        recording(&d, head);
        lift_heads(&d, head);
        new_belt(&d, head);
    }
    if (d.failed) return bw_fail_memory(err);
    qsort(d.items, d.n, sizeof *d.items, by_merit);
    out->n = d.n < MOST_OFFERED ? d.n : MOST_OFFERED;
    return true;
}
