// model.c - see model.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: each uncertain length or speed becomes one variable (its natural logarithm, normal); a
// source is a linear form over them. Where the motor turns the drum through known pulleys, belt
// speed, drum and motor are tied by one more fact, which is how a second route to the drum's rate
// corrects a wrong plate. Unknown values get a prior as wide as the trade is. The defaults and
// weights below are common practice, no source, unless said.
#include "machine/model.h"

#include "machine/contact.h"
#include "machine/sources.h"
#include "trade/grit.h"

#include <assert.h>
#include <math.h>
#include <string.h>

// Priors for values the file leaves open: a typical value and how far machines lie apart.
#define TYPICAL_BELT_SPEED 18.0
#define TYPICAL_BELT_LENGTH 2.2
#define TYPICAL_DRUM 0.20
#define TYPICAL_ROLLER 0.14
#define SPREAD 0.35
// A plate's diameter is the new drum's; regrinding takes 1 to 4 %, so the drum is likely a little
// smaller.
#define REGROUND_SHIFT (-0.01)
#define STATED_SD 0.005        // a value written down without a way or a ±
#define DIRECT_DRIVE_SD 0.005  // creep of the belt on its drum
#define PULLEY_DRIVE_SD 0.015  // effective pulley diameters, V-belt creep

static const char *const WORDS[BW_PART_COUNT] = {
    "belt splice",
    "contact drum",
    "roll",
    "bearing",
    "motor",
    "drive belt",
    "brush",
    "mains hum",
    "belt oscillation",
    "two parts together",
    "feed belt joint",
    "feed drive",
    "hold-down roll",
    "planer",
    "an unlisted part that turns",
    "an unlisted part tied to travel",
};
const char *bw_part_word(enum bw_part part) { return WORDS[part]; }

// --- the builder's small tools ---------------------------------------------------------------

int bw_model_variable(struct bw_model *model, const char *name, double value, double relative_sd) {
    int i = bw_gauss_add(model->belief, log(value), relative_sd);
    model->variables[i] = name;
    return i;
}

static const char *say(struct bw_model *model, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct bw_model *model, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(model->arena, format, args);
    va_end(args);
    if (text != NULL) return text;
    model->failed = true;
    return "";
}

static void cost(struct bw_model *model, int head, const char *field, const char *text) {
    model->costs[model->n_costs++] = (struct bw_cost){field, text, head};
}

static double relative(struct bw_quantity q, double otherwise) {
    if (!bw_sd_known(q)) return otherwise;
    double sd = q.sd / q.v;
    return sd > 1e-5 ? sd : 1e-5;
}

static struct bw_source *add(struct bw_model *model, enum bw_part part, int head) {
    struct bw_source *source = &model->sources[model->n_sources++];
    source->part = part;
    source->head = head;
    source->lean = NAN;
    bw_source_prior(part, source);
    return source;
}

// --- one head --------------------------------------------------------------------------------

struct build {
    struct bw_model *model;
    const struct bw_head *head;
    int index;         // of the head
    const char *name;  // "head 2"
    double thickness;  // of the belt, m
    int speed;         // variable of the belt speed, -1
    int drum, motor;   // variables, -1
    const struct bw_source *drum_source;
};

static int belt_speed(struct build *b) {
    struct bw_model *model = b->model;
    struct bw_quantity speed = b->head->belt == NULL ? BW_UNKNOWN : b->head->belt->speed;
    const char *name = say(model, "belt speed of %s", b->name);
    if (bw_known(speed)) {
        int i = bw_model_variable(model, name, speed.v, relative(speed, 0.05));
        // Ways 0 and 1 are the plate and the motor's plate: both follow the mains frequency.
        model->motor_bound[i] = speed.way < 2;
        return i;
    }
    cost(model, b->index, say(model, "heads[%d].belt.speed", b->index),
         say(model,
             "the belt speed of %s is unknown: nothing that turns in time can be placed "
             "before a splice is chalked or its rate recorded with the doors shut",
             b->name));
    return bw_model_variable(model, name, TYPICAL_BELT_SPEED, SPREAD);
}

static void splice(struct build *b) {
    struct bw_model *model = b->model;
    const struct bw_belt *belt = b->head->belt;
    bool known = belt != NULL && bw_known(belt->length);
    const char *name = say(model, "belt length of %s", b->name);
    int length = known
                     ? bw_model_variable(model, name, belt->length.v, relative(belt->length, 0.003))
                     : bw_model_variable(model, name, TYPICAL_BELT_LENGTH, SPREAD);
    if (!known)
        cost(model, b->index, say(model, "heads[%d].belt.length", b->index),
             say(model, "the belt length of %s is unknown: read it off the belt's back", b->name));
    struct bw_source *source = add(model, BW_PART_SPLICE, b->index);
    source->id = say(model, "head%d.splice", b->index + 1);
    source->name = say(model, "belt splice of %s", b->name);
    source->timed = true;
    source->wide = !known;
    bw_form_add(&source->form, b->speed, 1);
    bw_form_add(&source->form, length, -1);
    long splices = belt == NULL || belt->splices == BW_NO_COUNT ? 1 : belt->splices;
    bw_splice_harmonics(splices, source);
    if (known && bw_known(belt->joint_angle))
        source->lean = tan(belt->joint_angle.v) / belt->length.v;
    if (b->head->contact == BW_CROSS_BELT) source->lean = NAN;
}

// Said to be the plate's, or given without a word of how it is known.
static bool by_plate(struct bw_quantity diameter) {
    return diameter.way == 0 || (diameter.way < 0 && !bw_sd_known(diameter));
}

// The variable of a roll's running circumference, pi (D + t).
static int circumference(struct build *b, struct bw_quantity diameter, struct bw_quantity tape,
                         double typical, const char *name) {
    struct bw_model *model = b->model;
    double around = M_PI * b->thickness;
    if (bw_known(tape))
        return bw_model_variable(model, name, tape.v + around, relative(tape, 0.003));
    if (!bw_known(diameter)) return bw_model_variable(model, name, M_PI * typical + around, SPREAD);
    bool plate = by_plate(diameter);
    double d = plate ? diameter.v * (1 + REGROUND_SHIFT) : diameter.v;
    return bw_model_variable(model, name, M_PI * d + around, relative(diameter, 0.015));
}

static bool bearing(struct build *b, const struct bw_source *shaft, const char *designation,
                    bool outer_turns, struct bw_err *err) {
    static const char *const PARTS[] = {"cage", "balls", "outer race", "inner race"};
    static const char *const IDS[] = {"cage", "balls", "outer", "inner"};
    static const double WEIGHT[] = {0.4, 0.2, 0.2, 0.2};
    if (designation == NULL) return true;
    double orders[4];
    if (!bw_source_bearing_orders(b->model->arena, designation, outer_turns, orders, err))
        return false;
    for (int i = 0; i < 4; i++) {
        struct bw_source *source = add(b->model, BW_PART_BEARING, b->index);
        source->id = say(b->model, "%s.bearing.%s", shaft->id, IDS[i]);
        source->name = say(b->model, "bearing %s, %s", PARTS[i], shaft->name);
        source->timed = true;
        source->wide = shaft->wide;
        source->form = shaft->form;
        source->form.constant += log(orders[i]);
        source->weight *= WEIGHT[i];
    }
    return true;
}

static bool drum(struct build *b, struct bw_err *err) {
    struct bw_model *model = b->model;
    int contact = b->head->contact;
    if (contact != BW_STEEL_DRUM && contact != BW_RUBBER_DRUM && contact != BW_COMBINATION)
        return true;
    const struct bw_drum *drum = b->head->drum;
    struct bw_quantity diameter = drum == NULL ? BW_UNKNOWN : drum->diameter;
    struct bw_quantity tape = drum == NULL ? BW_UNKNOWN : drum->circumference;
    bool known = bw_known(diameter) || bw_known(tape);
    b->drum = circumference(b, diameter, tape, TYPICAL_DRUM,
                            say(model, "drum circumference of %s", b->name));
    if (!known)
        cost(
            model, b->index, say(model, "heads[%d].drum.diameter", b->index),
            say(model, "the drum of %s has no diameter: put a tape round it, locked out", b->name));
    else if (!bw_known(tape) && by_plate(diameter))
        cost(model, b->index, say(model, "heads[%d].drum.diameter", b->index),
             say(model,
                 "the drum of %s is known by its plate only and may have been reground (1 to 4 "
                 "%% smaller): a tape round it, locked out, is five times sharper",
                 b->name));
    struct bw_source *source = add(model, BW_PART_DRUM, b->index);
    source->id = say(model, "head%d.drum", b->index + 1);
    source->name = say(model, "contact drum of %s", b->name);
    source->timed = true;
    source->wide = !known;
    bw_form_add(&source->form, b->speed, 1);
    bw_form_add(&source->form, b->drum, -1);
    b->drum_source = source;
    return bearing(b, source, drum == NULL ? NULL : drum->bearing, false, err);
}

static bool roller(struct build *b, size_t i, struct bw_err *err) {
    struct bw_model *model = b->model;
    const struct bw_roller *roll = (const struct bw_roller *)b->head->rollers.items + i;
    static const char *const ROLES[] = {"tension roll", "idler", "drive roll"};
    const char *word = roll->name != NULL ? roll->name : ROLES[roll->role];
    bool known = bw_known(roll->diameter) || bw_known(roll->circumference);
    int around = circumference(b, roll->diameter, roll->circumference, TYPICAL_ROLLER,
                               say(model, "circumference of the %s of %s", word, b->name));
    struct bw_source *source = add(model, BW_PART_ROLLER, b->index);
    source->id = say(model, "head%d.roller%zu", b->index + 1, i + 1);
    source->name = say(model, "%s of %s", word, b->name);
    source->timed = true;
    source->wide = !known;
    bw_form_add(&source->form, b->speed, 1);
    bw_form_add(&source->form, around, -1);
    if (!known)
        cost(model, b->index, say(model, "heads[%d].rollers[%zu].diameter", b->index, i),
             say(model, "the %s of %s has no diameter", word, b->name));
    if (bearing(b, source, roll->bearing, roll->shaft_fixed == BW_YES, err)) return true;
    bw_err_within(err, "bearing");
    bw_err_within_index(err, "rollers", i);
    return false;
}

// Belt speed = motor speed x pulleys x drum: ties the three where all are in the file.
static void tie_motor(struct build *b, const struct bw_motor *motor) {
    bool pulleys = bw_known(motor->pulley) && bw_known(motor->driven_pulley);
    bool tied = motor->direct == BW_YES || pulleys;
    if (!tied || motor->drives_drum != BW_YES || b->drum < 0 || b->speed < 0) return;
    double ratio = pulleys ? motor->pulley.v / motor->driven_pulley.v : 1;
    struct bw_form form = {.constant = -log(ratio)};
    bw_form_add(&form, b->speed, 1);
    bw_form_add(&form, b->motor, -1);
    bw_form_add(&form, b->drum, -1);
    double sd = pulleys ? PULLEY_DRIVE_SD : DIRECT_DRIVE_SD;
    // A machine whose plate, pulleys and drum disagree badly has a wrong entry or another drive:
    // tied loosely, so that it does not drag the plate along, and said.
    double gap = bw_gauss_mean(b->model->belief, &form);
    double expected = sqrt(pow(bw_gauss_sd(b->model->belief, &form), 2) + sd * sd);
    if (fabs(gap) > 3.5 * expected) {
        cost(b->model, b->index, say(b->model, "heads[%d].motor", b->index),
             say(b->model,
                 "motor, pulleys and drum of %s give a belt speed %.0f %% off the one "
                 "stated: check the pulleys and the supply frequency",
                 b->name, 100 * fabs(expm1(gap))));
        return;
    }
    bw_gauss_observe(b->model->belief, &form, 0, sd);
}

static bool motor(struct build *b, struct bw_err *err) {
    const struct bw_motor *motor = b->head->motor;
    if (motor == NULL || !bw_known(motor->speed)) return true;
    struct bw_model *model = b->model;
    b->motor = bw_model_variable(model, say(model, "motor speed of %s", b->name), motor->speed.v,
                                 relative(motor->speed, 0.01));
    model->motor_bound[b->motor] = motor->speed.way <= 0;
    struct bw_source *source = add(model, BW_PART_MOTOR, b->index);
    source->id = say(model, "head%d.motor", b->index + 1);
    source->name = say(model, "motor of %s", b->name);
    source->timed = true;
    bw_form_add(&source->form, b->motor, 1);
    if (bw_known(motor->drive_belt) && bw_known(motor->pulley)) {
        struct bw_source *belt = add(model, BW_PART_DRIVE_BELT, b->index);
        belt->id = say(model, "head%d.drivebelt", b->index + 1);
        belt->name = say(model, "drive belt of %s", b->name);
        belt->timed = true;
        belt->form.constant = log(M_PI * motor->pulley.v / motor->drive_belt.v);
        bw_form_add(&belt->form, b->motor, 1);
    }
    tie_motor(b, motor);
    if (bearing(b, source, motor->bearing, false, err)) return true;
    bw_err_within(err, "bearing");
    bw_err_within(err, "motor");
    return false;
}

static void timed_alone(struct build *b, enum bw_part part, struct bw_quantity rate, const char *id,
                        double otherwise) {
    if (!bw_known(rate)) return;
    struct bw_model *model = b->model;
    struct bw_source *source = add(model, part, b->index);
    source->id = say(model, "head%d.%s", b->index + 1, id);
    source->name = say(model, "%s of %s", WORDS[part], b->name);
    source->timed = true;
    int i = bw_model_variable(model, source->name, rate.v, relative(rate, otherwise));
    bw_form_add(&source->form, i, 1);
}

static bool head(struct bw_model *model, int index, struct bw_err *err) {
    const struct bw_head *h = bw_machine_head(model->machine, (size_t)index);
    struct build b = {.model = model,
                      .head = h,
                      .index = index,
                      .speed = -1,
                      .drum = -1,
                      .motor = -1,
                      .name = say(model, "head %d", index + 1)};
    b.thickness = h->belt != NULL && bw_known(h->belt->thickness) ? h->belt->thickness.v : 0.001;
    if (h->contact == BW_BRUSH) {
        timed_alone(&b, BW_PART_BRUSH, h->brush_speed, "brush", 0.05);
        return motor(&b, err);
    }
    b.speed = model->belt_speed[index] = belt_speed(&b);
    splice(&b);
    if (!drum(&b, err)) {
        bw_err_within(err, "bearing");
        bw_err_within(err, "drum");
        return false;
    }
    for (size_t i = 0; i < h->rollers.n; i++)
        if (!roller(&b, i, err)) return false;
    if (!motor(&b, err)) return false;
    timed_alone(&b, BW_PART_OSCILLATION, h->oscillation, "oscillation", 0.15);
    return true;
}

// --- what is tied to the panel's travel ------------------------------------------------------

static void paced(struct bw_model *model, const struct bw_paced *part, enum bw_part kind,
                  const char *id) {
    struct bw_source *source = add(model, kind, -1);
    source->id = id;
    source->name = part->name;
    double pitch = part->pitch.v, sd = relative(part->pitch, STATED_SD);
    if (bw_known(part->diameter)) {
        double teeth = part->teeth == BW_NO_COUNT ? 1 : (double)part->teeth;
        pitch = M_PI * part->diameter.v / teeth;
        sd = relative(part->diameter, 0.015);
    }
    source->wide = isnan(pitch);
    if (source->wide) {
        pitch = 0.15;
        sd = 0.8;
        cost(model, -1, id,
             say(model, "the %s has neither pitch nor diameter: measure its circumference",
                 part->name));
    }
    bw_form_add(&source->form, bw_model_variable(model, part->name, pitch, sd), 1);
}

static void feed_side(struct bw_model *model) {
    const struct bw_conveyor *conveyor = model->machine->conveyor;
    if (conveyor != NULL && bw_known(conveyor->belt_length)) {
        struct bw_paced joint = {.name = "feed belt joint",
                                 .pitch = conveyor->belt_length,
                                 .diameter = BW_UNKNOWN,
                                 .teeth = BW_NO_COUNT};
        if (!bw_sd_known(joint.pitch)) joint.pitch.sd = 0.005 * joint.pitch.v;
        paced(model, &joint, BW_PART_FEED_BELT, "feed.belt");
    }
    for (size_t i = 0; conveyor != NULL && i < conveyor->parts.n; i++)
        paced(model, (const struct bw_paced *)conveyor->parts.items + i, BW_PART_FEED_DRIVE,
              say(model, "feed.part%zu", i + 1));
    const struct bw_list *rolls = &model->machine->hold_downs;
    for (size_t i = 0; i < rolls->n; i++)
        paced(model, (const struct bw_paced *)rolls->items + i, BW_PART_HOLD_DOWN,
              say(model, "holddown%zu", i + 1));
}

static void planer(struct bw_model *model) {
    const struct bw_planer *planer = model->machine->planer;
    if (planer == NULL) return;
    struct bw_source *source = add(model, BW_PART_PLANER, -1);
    source->id = "planer";
    source->name = planer->name == NULL ? "planer" : planer->name;
    source->wide = !bw_known(planer->feed) || !bw_known(planer->speed);
    int feed = bw_known(planer->feed) ? bw_model_variable(model, "planer feed", planer->feed.v,
                                                          relative(planer->feed, 0.10))
                                      : bw_model_variable(model, "planer feed", 0.15, 0.5);
    int speed = bw_known(planer->speed) ? bw_model_variable(model, "planer speed", planer->speed.v,
                                                            relative(planer->speed, 0.02))
                                        : bw_model_variable(model, "planer speed", 85, 0.25);
    bw_form_add(&source->form, feed, 1);
    bw_form_add(&source->form, speed, -1);
    bw_planer_harmonics(planer->knives == BW_NO_COUNT ? 0 : planer->knives, planer->showing,
                        source);
    if (source->wide)
        cost(model, -1, "planer",
             "the planer's feed and cutter speed decide whether marks came in with "
             "the wood: read both off its plate");
}

static void others(struct bw_model *model) {
    if (bw_known(model->machine->supply)) {
        struct bw_source *mains = add(model, BW_PART_MAINS, -1);
        mains->id = "mains";
        mains->name = "mains hum";
        mains->timed = true;
        mains->form.constant = log(2 * model->machine->supply.v);
        bw_form_add(&mains->form, bw_model_variable(model, "mains frequency", 1, 0.001), 1);
    }
    // Whatever the file does not hold: any rate from a few to some hundred a second, any length
    // from millimetres to a metre. Centre and spread of both: common practice, no source.
    struct bw_source *timed = add(model, BW_PART_UNLISTED_TIMED, -1);
    timed->id = "unlisted.timed";
    timed->name = WORDS[BW_PART_UNLISTED_TIMED];
    timed->timed = true;
    bw_form_add(&timed->form, bw_model_variable(model, "unlisted rate", 18, 1.1), 1);
    struct bw_source *unpaced = add(model, BW_PART_UNLISTED_PACED, -1);
    unpaced->id = "unlisted.paced";
    unpaced->name = WORDS[BW_PART_UNLISTED_PACED];
    bw_form_add(&unpaced->form, bw_model_variable(model, "unlisted travel", 0.030, 1.2), 1);
}

// --- two sources that swell and fade together -------------------------------------------------

static bool can_beat(const struct bw_source *source) {
    return source->timed && !source->wide &&
           (source->part == BW_PART_SPLICE || source->part == BW_PART_DRUM);
}

static void beat(struct bw_model *model, const struct bw_source *a, const struct bw_source *b) {
    double fa = exp(bw_gauss_mean(model->belief, &a->form));
    double fb = exp(bw_gauss_mean(model->belief, &b->form));
    double gap = fa - fb;
    // Slow waves are seen as such only where they are several marks long.
    if (fabs(gap) > 0.25 * fmin(fa, fb) || fabs(gap) < 1e-6 * fa) return;
    struct bw_source *source = add(model, BW_PART_BEAT, -1);
    source->id = say(model, "beat.%s.%s", a->id, b->id);
    source->name = say(model, "waves of the %s with the %s", a->name, b->name);
    source->timed = true;
    // d ln|fa - fb| = (fa dln fa - fb dln fb) / (fa - fb). Once the gap is within a few sd of
    // nothing this no longer holds, and all that can be said is its order of magnitude.
    const struct bw_form nothing = {.constant = 0};
    struct bw_form slope = bw_form_sum(&nothing, fa / gap, &a->form);
    slope = bw_form_sum(&slope, -fb / gap, &b->form);
    if (bw_gauss_sd(model->belief, &slope) > 0.4) {
        source->wide = true;
        bw_form_add(&source->form, bw_model_variable(model, source->name, 1, 0.7), 1);
    } else {
        slope.constant = 0;
        slope.constant = -bw_gauss_mean(model->belief, &slope);
        source->form = slope;
    }
    source->form.constant += log(fabs(gap));
}

#define MAX_BEATS 12

static void beats(struct bw_model *model) {
    int n = model->n_sources, found = 0;
    for (int i = 0; i < n; i++) {
        for (int j = i + 1; j < n && found < MAX_BEATS; j++) {
            const struct bw_source *a = &model->sources[i], *b = &model->sources[j];
            if (!can_beat(a) || !can_beat(b) || a->head == b->head || a->part != b->part) continue;
            int before = model->n_sources;
            beat(model, a, b);
            found += model->n_sources - before;
        }
    }
}

// --- all of it -------------------------------------------------------------------------------

static size_t bearings(const struct bw_machine *machine) {
    size_t n = 0;
    for (size_t i = 0; i < machine->heads.n; i++) n += 2 + bw_machine_head(machine, i)->rollers.n;
    return n;
}

static struct bw_model *empty(struct bw_arena *arena, const struct bw_machine *machine) {
    size_t heads = machine->heads.n, rollers = bearings(machine);
    size_t paced_parts =
        machine->hold_downs.n + 1 + (machine->conveyor == NULL ? 0 : machine->conveyor->parts.n);
    size_t sources = heads * 6 + 5 * rollers + paced_parts + MAX_BEATS + 6;
    size_t variables = heads * 6 + rollers + paced_parts + MAX_BEATS + 8 + BW_MODEL_SPARE;
    struct bw_model *model = bw_arena_get(arena, sizeof *model);
    if (model == NULL) return NULL;
    model->arena = arena;
    model->machine = machine;
    model->belief = bw_gauss_new(arena, (int)variables);
    model->variables = bw_arena_array(arena, variables, sizeof *model->variables);
    model->motor_bound = bw_arena_array(arena, variables, sizeof *model->motor_bound);
    model->belt_speed = bw_arena_array(arena, heads + 1, sizeof *model->belt_speed);
    model->sources = bw_arena_array(arena, sources, sizeof *model->sources);
    model->costs =
        bw_arena_array(arena, 4 * heads + rollers + paced_parts + 2, sizeof *model->costs);
    bool whole = model->belief != NULL && model->variables != NULL && model->motor_bound != NULL &&
                 model->belt_speed != NULL && model->sources != NULL && model->costs != NULL;
    return whole ? model : NULL;
}

// Listed sources share 1 - BW_UNLISTED_WEIGHT of the prior.
static void normalise(struct bw_model *model) {
    double listed = 0;
    for (int i = 0; i < model->n_sources; i++)
        if (model->sources[i].part < BW_PART_UNLISTED_TIMED) listed += model->sources[i].weight;
    for (int i = 0; i < model->n_sources; i++)
        if (model->sources[i].part < BW_PART_UNLISTED_TIMED && listed > 0)
            model->sources[i].weight *= (1 - BW_UNLISTED_WEIGHT) / listed;
}

// Grits are read where the rest is, so that a bare number is asked about before a belt is ordered
// by it.
static bool grits_read(struct bw_arena *arena, const struct bw_machine *machine,
                       struct bw_err *err) {
    struct bw_grits grits = {.n = 0};
    for (size_t i = 0; i < machine->heads.n; i++) {
        const struct bw_belt *belt = bw_machine_head(machine, i)->belt;
        const struct bw_grit *grit;
        if (belt == NULL || belt->grit == NULL) continue;
        if (grits.n == 0 && !bw_grits_load(arena, &grits, err)) return false;
        if (bw_grit_read(&grits, belt->grit, strlen(belt->grit), &grit, err)) continue;
        bw_err_within(err, "belt.grit");
        bw_err_within_index(err, "heads", i);
        return false;
    }
    return true;
}

bool bw_model_build(struct bw_arena *arena, const struct bw_machine *machine, struct bw_model **out,
                    struct bw_err *err) {
    struct bw_model *model = empty(arena, machine);
    if (model == NULL) return bw_fail_memory(err);
    if (!grits_read(arena, machine, err)) return false;
    for (size_t i = 0; i < machine->heads.n; i++) {
        model->belt_speed[i] = -1;
        if (head(model, (int)i, err)) continue;
        bw_err_within_index(err, "heads", i);
        return false;
    }
    feed_side(model);
    planer(model);
    beats(model);
    others(model);
    normalise(model);
    if (model->failed) return bw_fail_memory(err);
    *out = model;
    return true;
}

const struct bw_source *bw_model_find(const struct bw_model *model, const char *id) {
    for (int i = 0; i < model->n_sources; i++)
        if (strcmp(model->sources[i].id, id) == 0) return &model->sources[i];
    return NULL;
}

struct bw_height bw_source_height(const struct bw_model *model, const struct bw_source *source,
                                  double pitch) {
    struct bw_height none = {NAN, 1};
    const struct bw_machine *machine = model->machine;
    if (source->part == BW_PART_MAINS) return bw_head_height(bw_machine_head(machine, 0), pitch);
    if (source->part == BW_PART_PLANER) {
        struct bw_quantity circle = machine->planer->cutting_circle;
        return bw_known(circle) ? (struct bw_height){bw_ridge(pitch, circle.v / 2), 1} : none;
    }
    if (!source->timed || source->head < 0 || source->part == BW_PART_OSCILLATION) return none;
    return bw_head_height(bw_machine_head(machine, (size_t)source->head), pitch);
}
