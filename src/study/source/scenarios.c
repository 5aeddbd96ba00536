// scenarios.c - see scenarios.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A plate written for 50 Hz on a 60 Hz supply is wrong by 20 %, a swapped pulley or a rescaled
// display by anything: these are hypotheses of their own, not the tails of a normal error.
#include "study/source/scenarios.h"

#include <math.h>

#define WEIGHT_SUPPLY 0.015   // each direction, where the file does not say both frequencies
#define WEIGHT_CORRECTED 0.3  // two frequencies stated, but the plate speeds were already converted
#define WEIGHT_FEED_SCALE 0.03  // the dial or display was rescaled or never set
#define WEIGHT_HEAD_SPEED 0.02  // each head: pulley swapped, plate of another version
#define LOOSE_FEED 0.25
#define LOOSE_HEAD 0.15

static struct scenario *add(struct evidence *e, const char *name, double weight) {
    struct scenario *scenario = &e->scenarios[e->n_scenarios++];
    *scenario = (struct scenario){.name = name, .weight = weight};
    return scenario;
}

static void shift(struct scenario *scenario, int variable, double by, double extra_sd) {
    if (scenario->n == MAX_SHIFTS) return;
    scenario->shifts[scenario->n].variable = variable;
    scenario->shifts[scenario->n].shift = by;
    scenario->shifts[scenario->n++].extra_sd = extra_sd;
}

// All speeds read off plates move with the mains frequency.
static void supply(struct evidence *e, const char *name, double weight, double factor) {
    struct scenario *scenario = add(e, name, weight);
    for (int i = 0; i < e->model->belief->n; i++)
        if (e->model->motor_bound[i]) shift(scenario, i, log(factor), 0);
}

static void supplies(struct evidence *e) {
    double site = e->model->machine->supply.v, plate = e->model->machine->plate_supply.v;
    if (isnan(site) || isnan(plate)) {
        supply(e, "plates written for 50 Hz, supply 60 Hz", WEIGHT_SUPPLY, 60.0 / 50.0);
        supply(e, "plates written for 60 Hz, supply 50 Hz", WEIGHT_SUPPLY, 50.0 / 60.0);
    } else if (fabs(site / plate - 1) > 0.02) {
        supply(e, "plates written for another mains frequency", 1 - WEIGHT_CORRECTED, site / plate);
    }
}

static bool is_dial(const struct setting *setting) {
    // Ways 0 to 2 of a feed are dial, display and plate; -1 is not said.
    return setting->bias >= 0 && setting->feed.way <= 2;
}

void scenarios_list(struct evidence *e) {
    add(e, NULL, 0);
    supplies(e);
    struct scenario *feed = add(e, "feed dial or display off scale", WEIGHT_FEED_SCALE);
    for (int i = 0; i < e->n_settings; i++) {
        bool fresh = is_dial(&e->settings[i]);
        for (int j = 0; j < i; j++) fresh = fresh && e->settings[j].bias != e->settings[i].bias;
        if (fresh) shift(feed, e->settings[i].bias, 0, LOOSE_FEED);
    }
    if (feed->n == 0) e->n_scenarios--;
    for (size_t i = 0; i < e->model->machine->heads.n; i++) {
        int variable = e->model->belt_speed[i];
        if (variable < 0 || !e->model->motor_bound[variable]) continue;
        const char *name = bw_arena_format(
            e->arena, "belt speed of head %zu far off its plate (pulley changed, another motor)",
            i + 1);
        if (name == NULL) e->failed = true;
        shift(add(e, name, WEIGHT_HEAD_SPEED), variable, 0, LOOSE_HEAD);
    }
    double rest = 1;
    for (int i = 1; i < e->n_scenarios; i++) rest -= e->scenarios[i].weight;
    e->scenarios[0].weight = rest > 0.05 ? rest : 0.05;
}
