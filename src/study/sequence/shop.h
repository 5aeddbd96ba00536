// shop.h - machine, stock and shelf in plain numbers, and the planner's problem made of them.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SEQUENCE_SHOP_H
#define BW_STUDY_SEQUENCE_SHOP_H

#include "machine/machine.h"
#include "study/sequence/plan.h"
#include "study/sequence/record.h"
#include "trade/sanding.h"
#include "trade/wood.h"

// The limits a plan keeps. The order is that of the messages.
enum limit {
    LIMIT_MOST,     // the grit's own removal
    LIMIT_CLEAR,    // the scratch before is cleared
    LIMIT_SKIP,     // largest grit step
    LIMIT_CONTACT,  // drum, platen: stock and grits
    LIMIT_POWER,    // motor
    LIMIT_HEAT,     // the shop's own good case
    LIMIT_SPEED,    // belt speed against the stock
    LIMIT_FINISH,   // the last belt
    LIMIT_STOCK,    // what has to come off
    LIMIT_THROUGH,  // veneer
    LIMIT_FEED,     // slowest feed the line takes
    LIMIT_PASSES,
    LIMIT_COUNT
};

struct shelf_belt {
    const struct bw_grit *grit;
    const struct sequence_belt *given;  // NULL: of the usual shelf
    double most, clear;                 // m
    double price, life;                 // money, m2
    bool priced;
};
struct part {  // what presses the belt of a head
    const char *name;
    bool steel, platen;
    double most, coarsest, finest;  // m, grain sizes
    double contact, diameter;       // m along the feed; the diameter where steel decides it
};
struct shop_head {
    size_t index;
    const char *name;
    struct part parts[3];
    int n_parts;
    double power;       // W, NaN: not known
    double slow, fast;  // m/s
    double idle, full;  // A, NaN: not known
    double good_heat;   // W/m2 at 1 m/s of belt speed, INFINITY: no good case
    bool weak_air, hard, used;
};
struct shop {
    struct bw_arena *arena;
    const struct sequence_input *in;
    const struct bw_machine *machine;
    const struct bw_wood *wood;
    const struct bw_finish *finish;
    struct bw_grits grits;
    struct bw_sanding sanding;
    struct shelf_belt belts[PLAN_MOST_BELTS];  // by size, coarse to fine
    int n_belts;
    struct shop_head heads[BW_MAX_HEADS];
    int n_heads;  // those that can be planned with
    double feeds[PLAN_MOST_FEEDS];
    int n_feeds;
    double width;                     // m sanded at a time
    double marks, spread;             // m, coming in
    double cap;                       // m, INFINITY: no veneer
    double energy;                    // factor on the table's, calibrated
    double energy_sd;                 // of its logarithm
    double rough_slope, rough_floor;  // Ra = slope d50 + floor
    bool platen_last;                 // there is a platen, and the finish wants it last
    bool rough_own, money;
    double hour;
    int passes;
    struct sequence_line *assumed;
    size_t n_assumed;
    bool failed;
};

// What the planner is asked, apart from the shop itself.
struct question {
    double loose[LIMIT_COUNT];  // 1: as it is; 1.1: a tenth more room
    bool off[LIMIT_COUNT];
    double energy, most, clear, marks, life, hour;  // factors on uncertain numbers
    double weight_money, weight_time, weight_pass;  // on money, s and passes a m2
    double slowest;                                 // m/s, feeds below are not tried
    int passes;                                     // 0: the shop's
    int without;                                    // belt left out, -1: none
    const struct bw_grit *with[2];                  // belts added to the shelf, NULL: none
    bool whether;                                   // only whether there is a plan: quick
    bool between;                                   // limits rounded outwards: for the bound
};
struct question question_plain(void);

// Guesses where no price is given: they only put plans in order.
#define USUAL_PRICE 40.0
#define USUAL_LIFE 1500.0  // m2
#define USUAL_HOUR 60.0

#define UNIT 1e9  // the planner's whole costs in one of the question's own

// Fills the shop. Errors: BW_INPUT for names not known, BW_REFUSED for parts too short.
bool shop_open(struct bw_arena *arena, const struct sequence_input *in, struct shop *out,
               struct bw_err *err) BW_CHECKED;

// A question put to the planner. `ways` tell what the answer's steps mean; in `shop->arena`.
struct asked {
    struct plan_answer plan;
    struct plan_problem *problem;
    const struct shelf_belt *belts;
};
bool shop_ask(struct shop *shop, const struct question *question, struct asked *out,
              struct bw_err *err) BW_CHECKED;

// A belt at work on a head.
struct point {
    const struct shop_head *head;
    const struct part *part;
    const struct shelf_belt *belt;
    double feed;  // m/s
};
// The most it may take (m), at which belt speed (m/s), and which limit says so.
struct use_limits {
    double most, speed;
    enum limit by;
};
struct use_limits shop_limits(const struct shop *shop, const struct question *question,
                              const struct point *point);
// What the motor can give (W) at a belt speed: slowed by its drive it gives less in proportion.
double shop_motor(const struct shop_head *head, double speed);
// Power (W) at the motor, belt sharp; and over the contact (W/m2).
double shop_power(const struct shop *shop, const struct point *point, double takes);
double shop_heat(const struct shop *shop, const struct point *point, double takes);
// Chance that a veneer is sanded through when `removed` (m) comes off, `edge` more at edges.
double shop_through(const struct shop *shop, double removed);
double shop_ra(const struct shop *shop, const struct shelf_belt *belt);
// Money and time (s) a m2 of an answer.
double shop_money(const struct shop *shop, const struct asked *asked);
double shop_time(const struct shop *shop, const struct asked *asked);

const char *shop_say(struct shop *shop, const char *format, ...) BW_PRINTF(2, 3);
void shop_assume(struct shop *shop, const char *about, const char *text);

#endif
