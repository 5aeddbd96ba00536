// open.c - from what was told to plain numbers: heads, shelf, stock, feeds; and what is assumed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/contact.h"
#include "study/sequence/meter.h"
#include "study/sequence/shop.h"

#include "base/suggest.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define USUAL_MARKS 100e-6
#define USUAL_SPREAD 200e-6
#define UNCALIBRATED 0.5  // sd of the logarithm of the table's energies

static const char *shown(struct shop *shop, double m) { return shop_say(shop, "%.2f mm", 1e3 * m); }

// --- stock -----------------------------------------------------------------------------------

static bool open_finish(struct shop *shop, struct bw_err *err) {
    shop->finish = bw_finish_find(&shop->sanding, shop->in->finish);
    if (shop->finish != NULL) return true;
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < shop->sanding.finishes.n; i++)
        bw_words_add(&words, ((const struct bw_finish *)shop->sanding.finishes.items + i)->name);
    bw_fail(err, BW_INPUT, "not in the table of finishes");
    bw_err_within(err, "finish");
    bw_err_value(err, shop->in->finish);
    bw_words_mend(&words, shop->in->finish, "the table finishes has", err);
    return false;
}

static bool open_grit(struct shop *shop, const char *text, const struct bw_grit **out,
                      struct bw_err *err) {
    if (bw_grit_read(&shop->grits, text, strlen(text), out, err)) return true;
    bw_err_within(err, "grit");
    return false;
}

static bool long_enough(struct shop *shop, struct bw_err *err) {
    const struct sequence_input *in = shop->in;
    struct bw_quantity least = shop->machine->shortest_part;
    if (!bw_known(in->length)) {
        shop_assume(shop, "length", "all parts are as long as the machine asks for; give length");
        return true;
    }
    if (!bw_known(least)) {
        shop_assume(shop, "length",
                    "the machine file names no shortest part: see the manual before feeding any");
        return true;
    }
    if (in->length.v >= least.v * (1 - 1e-9)) return true;
    bw_fail(err, BW_REFUSED, "shorter than the shortest part this machine may be fed");
    bw_err_within(err, "length");
    bw_err_value(err, shown(shop, in->length.v));
    bw_err_mend(err,
                "the machine takes parts from %s on; run longer blanks and cut them after, "
                "or sand these by other means",
                shown(shop, least.v));
    return false;
}

static bool open_width(struct shop *shop, struct bw_err *err) {
    double own = bw_known(shop->machine->width) ? shop->machine->width.v : BW_NAN;
    if (!bw_known(shop->in->width)) {
        shop->width = isnan(own) ? 1 : own;
        shop_assume(shop, "width",
                    isnan(own) ? "1 m is sanded at a time"
                               : "the whole working width is sanded at a time");
        return true;
    }
    shop->width = shop->in->width.v;
    if (isnan(own) || shop->width <= own * (1 + 1e-9)) return true;
    bw_fail(err, BW_INPUT, "wider than the machine's working width");
    bw_err_within(err, "width");
    bw_err_value(err, shown(shop, shop->width));
    bw_err_mend(err, "at most %s", shown(shop, own));
    return false;
}

// Fresh stock is never even; sanded or told stock is taken as told.
static void open_spread(struct shop *shop) {
    const struct sequence_input *in = shop->in;
    shop->spread = bw_known(in->spread) ? in->spread.v : 0;
    if (bw_known(in->spread) || bw_known(in->remove) || in->came_from != NULL ||
        bw_known(in->veneer) || shop->wood->structure == BW_COATING)
        return;
    shop->spread = USUAL_SPREAD;
    shop_assume(shop, "spread", "thickness varies by 0.2 mm; give spread");
}

static bool open_marks(struct shop *shop, struct bw_err *err) {
    const struct sequence_input *in = shop->in;
    const struct bw_planer *planer = shop->machine->planer;
    if (bw_known(in->marks)) {
        shop->marks = in->marks.v;
    } else if (in->came_from != NULL) {
        const struct bw_grit *grit;
        if (!bw_grit_read(&shop->grits, in->came_from, strlen(in->came_from), &grit, err)) {
            bw_err_within(err, "came_from");
            return false;
        }
        shop->marks = bw_sanding_clear(&shop->sanding, grit->size.v);
    } else if (planer != NULL && bw_known(planer->feed) && bw_known(planer->speed) &&
               bw_known(planer->cutting_circle)) {
        double pitch = bw_knife_pitch(planer->feed.v, planer->speed.v, (double)planer->showing);
        double cusp = bw_ridge(pitch, planer->cutting_circle.v / 2);
        shop->marks = fmax(cusp, USUAL_MARKS);
        shop_assume(shop, "marks",
                    shop_say(shop,
                             "the planer's cusps are %.0f µm; with torn grain and snipe %.0f µm "
                             "come in",
                             1e6 * cusp, 1e6 * shop->marks));
    } else {
        shop->marks = USUAL_MARKS;
        shop_assume(shop, "marks", "marks and torn grain 0.1 mm deep come in; give marks");
    }
    return true;
}

// --- heads -----------------------------------------------------------------------------------

static struct part part_of(const struct shop *shop, enum bw_pressing kind,
                           const struct bw_head *head) {
    double hardness = head->drum == NULL ? BW_NAN : head->drum->hardness.v;
    struct bw_pressing_part limits = bw_pressing_limits(&shop->sanding, kind, hardness);
    struct part part = {.most = limits.most.v,
                        .coarsest = limits.coarsest,
                        .finest = limits.finest,
                        .contact = 8e-3,
                        .diameter = 0.2};
    bool drum = kind == BW_PRESS_STEEL || kind == BW_PRESS_RUBBER;
    part.name = drum ? "drum" : kind == BW_PRESS_PLATEN ? "platen" : "sectional platen";
    part.steel = kind == BW_PRESS_STEEL;
    part.platen = !drum;
    if (drum && head->drum != NULL) {
        if (bw_known(head->drum->contact)) part.contact = head->drum->contact.v;
        if (bw_known(head->drum->diameter)) part.diameter = head->drum->diameter.v;
    }
    if (!drum) part.contact = head->platen == NULL ? 50e-3 : head->platen->contact.v;
    return part;
}

// A combination head works by its drum, by its platen, or by the drum with the platen dragging
// behind it: that takes what the drum takes and leaves what the platen leaves.
static void add_parts(const struct shop *shop, const struct bw_head *head, struct shop_head *out) {
    static const enum bw_pressing KINDS[] = {[BW_STEEL_DRUM] = BW_PRESS_STEEL,
                                             [BW_RUBBER_DRUM] = BW_PRESS_RUBBER,
                                             [BW_PLATEN] = BW_PRESS_PLATEN,
                                             [BW_SECTIONAL_PLATEN] = BW_PRESS_SECTIONAL};
    out->n_parts = 1;
    if (head->contact != BW_COMBINATION) {
        out->parts[0] = part_of(shop, KINDS[head->contact], head);
        return;
    }
    out->n_parts = 3;
    out->parts[0] = part_of(shop, BW_PRESS_PLATEN, head);
    out->parts[2] = part_of(shop, BW_PRESS_RUBBER, head);
    out->parts[1] = out->parts[2];
    out->parts[1].name = "drum and platen";
    out->parts[1].platen = true;
    out->parts[1].coarsest = fmin(out->parts[0].coarsest, out->parts[2].coarsest);
}

static const struct sequence_head *told_of(const struct shop *shop, size_t index) {
    const struct sequence_head *heads = shop->in->heads.items;
    for (size_t i = 0; i < shop->in->heads.n; i++)
        if (heads[i].head == (long)index + 1) return &heads[i];
    return NULL;
}

static void open_speed(struct shop *shop, const struct bw_head *head, struct shop_head *out) {
    bool known = head->belt != NULL && bw_known(head->belt->speed);
    out->slow = out->fast = known ? head->belt->speed.v : 18;
    if (!known) shop_assume(shop, "speed", shop_say(shop, "%s runs its belt at 18 m/s", out->name));
}

static bool open_head(struct shop *shop, size_t index) {
    const struct bw_head *head = bw_machine_head(shop->machine, index);
    struct shop_head out = {.index = index,
                            .name = bw_head_name(shop->arena, shop->machine, index),
                            .power = BW_NAN,
                            .idle = BW_NAN,
                            .full = BW_NAN,
                            .good_heat = (double)INFINITY};
    const struct sequence_head *told = told_of(shop, index);
    if (out.name == NULL) return false;
    if (head->contact == BW_BRUSH || head->contact == BW_CROSS_BELT) {
        shop_assume(shop, "heads",
                    shop_say(shop, "%s is left as it is: no plan is made for a %s", out.name,
                             bw_contact_word(head->contact)));
        return true;
    }
    if (told != NULL && told->state == STATE_OUT) return true;
    add_parts(shop, head, &out);
    open_speed(shop, head, &out);
    if (head->motor != NULL) out.power = head->motor->power.v;
    if (told != NULL) {
        if (bw_known(told->slow)) {
            out.slow = told->slow.v;
            out.fast = told->fast.v;
        }
        if (bw_known(told->power)) out.power = told->power.v;
        out.idle = told->idle.v;
        out.full = told->full.v;
        out.hard = told->state == STATE_HARD_DRUM;
        out.weak_air = told->state == STATE_WEAK_AIR;
    }
    if (isnan(out.power))
        shop_assume(shop, "power",
                    shop_say(shop,
                             "the motor of %s is strong enough: no power is "
                             "in the machine file",
                             out.name));
    shop->heads[shop->n_heads++] = out;
    return true;
}

static bool open_heads(struct shop *shop, struct bw_err *err) {
    for (size_t i = 0; i < shop->in->heads.n; i++) {
        const struct sequence_head *told = (const struct sequence_head *)shop->in->heads.items + i;
        if (told->head <= (long)shop->machine->heads.n) continue;
        bw_fail(err, BW_INPUT, "the machine has %zu heads", shop->machine->heads.n);
        bw_err_within(err, "head");
        bw_err_within_index(err, "heads", i);
        return false;
    }
    for (size_t i = 0; i < shop->machine->heads.n; i++)
        if (!open_head(shop, i)) return bw_fail_memory(err);
    for (int h = 0; h < shop->n_heads; h++)
        if (shop->heads[h].parts[0].platen && strcmp(shop->finish->name, "glue-up") != 0)
            shop->platen_last = true;
    if (shop->n_heads > 0) return true;
    bw_fail(err, BW_INPUT, "no head is left to plan with");
    bw_err_within(err, "heads");
    bw_err_mend(err, "brushes and cross belts are not planned; take \"is out\" off one head");
    return false;
}

// --- shelf -----------------------------------------------------------------------------------

static int coarse_first(const void *x, const void *y) {
    const struct shelf_belt *a = x, *b = y;
    int order = bw_grit_order(a->grit, b->grit);
    if (order != 0) return order;
    return (a->given > b->given) - (a->given < b->given);
}

static bool add_belt(struct shop *shop, const char *grit, const struct sequence_belt *given,
                     struct bw_err *err) {
    struct shelf_belt *belt = &shop->belts[shop->n_belts];
    *belt = (struct shelf_belt){.given = given, .price = USUAL_PRICE, .life = USUAL_LIFE};
    if (!open_grit(shop, grit, &belt->grit, err)) return false;
    belt->most = bw_sanding_most(&shop->sanding, belt->grit->size.v);
    belt->clear = bw_sanding_clear(&shop->sanding, belt->grit->size.v);
    if (given != NULL && bw_known(given->price)) belt->price = given->price.v;
    if (given != NULL && bw_known(given->life)) belt->life = given->life.v;
    belt->priced = given != NULL && bw_known(given->price) && bw_known(given->life);
    shop->money = shop->money && belt->priced;
    shop->n_belts++;
    return true;
}

static bool open_shelf(struct shop *shop, struct bw_err *err) {
    static const char *const USUAL[] = {"P36",  "P40",  "P60",  "P80",  "P100", "P120",
                                        "P150", "P180", "P220", "P240", "P320", "P400"};
    shop->money = bw_known(shop->in->hour);
    shop->hour = shop->money ? shop->in->hour.v : USUAL_HOUR;
    for (size_t i = 0; i < shop->in->belts.n; i++) {
        const struct sequence_belt *given = (const struct sequence_belt *)shop->in->belts.items + i;
        if (add_belt(shop, given->grit, given, err)) continue;
        bw_err_within_index(err, "belts", i);
        return false;
    }
    for (size_t i = 0; shop->in->belts.n == 0 && i < sizeof USUAL / sizeof *USUAL; i++)
        if (!add_belt(shop, USUAL[i], NULL, err)) return false;
    if (shop->in->belts.n == 0) shop_assume(shop, "belts", "any belt from P36 to P400 can be had");
    if (!shop->money)
        shop_assume(shop, "cost",
                    "plans are compared by guessed costs, 60 an hour, 40 a belt, 1500 m² a belt "
                    "where none is given: only their order is worth something. Give hour, and "
                    "costs and lasts of each belt");
    qsort(shop->belts, (size_t)shop->n_belts, sizeof *shop->belts, coarse_first);
    return true;
}

// --- feeds, veneer, roughness --------------------------------------------------------------------

// Hardwood and softwood by a trade page (6 to 12 and 12 to 17 m/min), the others common practice.
static double usual_feed(struct shop *shop) {
    static const double MOST[] = {[BW_RING_POROUS] = 12,
                                  [BW_DIFFUSE] = 12,
                                  [BW_SOFTWOOD] = 17,
                                  [BW_PANEL] = 25,
                                  [BW_COATING] = 15};
    if (bw_known(shop->in->most_feed)) return shop->in->most_feed.v;
    bool end = shop->in->orientation == END_GRAIN;
    double most = end ? 6 : MOST[shop->wood->structure];
    shop_assume(shop, "feed",
                shop_say(shop, "at most %.0f m/min on %s, as is usual; give most_feed for another",
                         most, end ? "end grain" : shop->wood->name));
    return most / 60;
}

// The preferred numbers R20 (ISO 3), m/min: 12 % apart, finer than a dial.
static void open_feeds(struct shop *shop) {
    static const double R20[] = {1,    1.12, 1.25, 1.4, 1.6, 1.8, 2,   2.24, 2.5, 2.8,
                                 3.15, 3.55, 4,    4.5, 5,   5.6, 6.3, 7.1,  8,   9};
    const struct bw_machine *m = shop->machine;
    double low = bw_known(m->feed_min) ? m->feed_min.v : 3 / 60.0;
    double high = bw_known(m->feed_max) ? m->feed_max.v : 15 / 60.0;
    if (!bw_known(m->feed_min) || !bw_known(m->feed_max))
        shop_assume(shop, "feed", "feeds from 3 to 15 m/min, where the machine file is silent");
    if (bw_known(shop->in->feed))
        low = high = shop->in->feed.v;
    else
        high = fmax(low, fmin(high, usual_feed(shop)));
    shop->feeds[shop->n_feeds++] = low;
    for (double decade = 0.1; decade < 1e3; decade *= 10) {
        for (size_t i = 0; i < 20 && shop->n_feeds < PLAN_MOST_FEEDS - 1; i++) {
            double feed = R20[i] * decade / 60;
            if (feed > low * 1.03 && feed < high * 0.97) shop->feeds[shop->n_feeds++] = feed;
        }
    }
    if (high > low) shop->feeds[shop->n_feeds++] = high;
}

// The most that may come off before the veneer's risk is used up, by halving.
static void open_veneer(struct shop *shop) {
    shop->cap = (double)INFINITY;
    if (!bw_known(shop->in->veneer)) return;
    double low = 0, high = shop->in->veneer.v;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (shop_through(shop, middle + shop->in->edge.v) <= shop->in->risk.v)
            low = middle;
        else
            high = middle;
    }
    shop->cap = low;
}

static bool open_roughness(struct shop *shop, struct bw_err *err) {
    static const double FLOOR[] = {4.5e-6, 1.5e-6, 2e-6, 2.5e-6, 0};
    double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
    for (size_t i = 0; i < shop->in->traces.n; i++) {
        const struct sequence_trace *trace =
            (const struct sequence_trace *)shop->in->traces.items + i;
        const struct bw_grit *grit;
        if (!open_grit(shop, trace->grit, &grit, err)) {
            bw_err_within_index(err, "traces", i);
            return false;
        }
        double x = grit->size.v;
        n += 1;
        sx += x;
        sy += trace->ra.v;
        sxx += x * x;
        sxy += x * trace->ra.v;
    }
    double spread = n * sxx - sx * sx;
    shop->rough_slope = 0.045;
    shop->rough_floor = FLOOR[shop->wood->structure];
    shop->rough_own = n > 0;
    if (n > 0 && spread > 1e-3 * sx * sx) shop->rough_slope = (n * sxy - sx * sy) / spread;
    if (n > 0) shop->rough_floor = (sy - shop->rough_slope * sx) / n;
    if (bw_known(shop->in->roughest) && n == 0)
        shop_assume(shop, "roughness",
                    "Ra is 0.045 of the grain size and the wood's own floor, from memory and not "
                    "calibrated: give traces");
    return true;
}

// --- the shop's own amps and good cases ------------------------------------------------------

static const struct shop_head *head_numbered(const struct shop *shop, long number) {
    for (int h = 0; h < shop->n_heads; h++)
        if ((long)shop->heads[h].index + 1 == number) return &shop->heads[h];
    return NULL;
}

static bool use_belt(struct shop *shop, const struct sequence_use *use, struct shelf_belt *out,
                     struct bw_err *err) {
    *out = (struct shelf_belt){.price = USUAL_PRICE, .life = USUAL_LIFE};
    if (!open_grit(shop, use->grit, &out->grit, err)) return false;
    if (use->head <= (long)shop->machine->heads.n) return true;
    bw_fail(err, BW_INPUT, "the machine has %zu heads", shop->machine->heads.n);
    bw_err_within(err, "head");
    return false;
}

// Energy over the table's, from readings that can decide.
static bool calibrate(struct shop *shop, struct bw_err *err) {
    double n = 0, sum = 0, square = 0;
    shop->energy = 1;
    shop->energy_sd = UNCALIBRATED;
    for (size_t i = 0; i < shop->in->setup.n; i++) {
        const struct sequence_use *use = (const struct sequence_use *)shop->in->setup.items + i;
        struct shelf_belt belt;
        if (!use_belt(shop, use, &belt, err)) {
            bw_err_within_index(err, "setup", i);
            return false;
        }
        const struct shop_head *head = head_numbered(shop, use->head);
        if (head == NULL || !bw_known(use->reads) || !bw_known(use->takes) ||
            !bw_known(use->feed) || !(use->takes.v > 0) || isnan(head->idle) || isnan(head->full) ||
            isnan(head->power))
            continue;
        double share = meter_share(head->idle, head->full, use->reads.v);
        if (share < METER_LEAST) continue;
        struct point at = {head, &head->parts[head->n_parts - 1], &belt, use->feed.v};
        double ratio = log(share * head->power / shop_power(shop, &at, use->takes.v));
        n += 1;
        sum += ratio;
        square += ratio * ratio;
    }
    if (n == 0) return true;
    double mean = sum / n, within = n > 1 ? (square - n * mean * mean) / (n - 1) : 0;
    // A reading is good to a fifth: removal, meter, and how sharp the belt was.
    shop->energy = exp(mean);
    shop->energy_sd = sqrt((0.04 + fmax(within, 0)) / n);
    return true;
}

static bool open_good(struct shop *shop, struct bw_err *err) {
    double highest = 0;
    for (size_t i = 0; i < shop->in->good.n; i++) {
        const struct sequence_use *use = (const struct sequence_use *)shop->in->good.items + i;
        struct shelf_belt belt;
        if (!use_belt(shop, use, &belt, err)) {
            bw_err_within_index(err, "good", i);
            return false;
        }
        struct shop_head *head = (struct shop_head *)head_numbered(shop, use->head);
        if (head == NULL || !bw_known(use->takes) || !bw_known(use->feed)) continue;
        struct point at = {head, &head->parts[head->n_parts - 1], &belt, use->feed.v};
        double heat = shop->in->dull.v * head->fast / 18 * shop_heat(shop, &at, use->takes.v);
        head->good_heat = isinf(head->good_heat) ? heat : fmax(heat, head->good_heat);
        highest = fmax(highest, heat);
    }
    for (int h = 0; h < shop->n_heads && highest > 0; h++)
        if (isinf(shop->heads[h].good_heat)) shop->heads[h].good_heat = highest;
    if (highest == 0)
        shop_assume(shop, "heat",
                    "heat limits nothing, for no good case of this shop is known: give good");
    return true;
}

bool shop_open(struct bw_arena *arena, const struct sequence_input *in, struct shop *shop,
               struct bw_err *err) {
    *shop = (struct shop){.arena = arena, .in = in, .machine = in->machine.content, .energy = 1};
    shop->assumed = bw_arena_array(arena, 32, sizeof *shop->assumed);
    if (shop->assumed == NULL) return bw_fail_memory(err);
    if (!bw_grits_load(arena, &shop->grits, err) ||
        !bw_sanding_load(arena, &shop->grits, &shop->sanding, err))
        return false;
    if (!bw_wood_find(arena, in->wood, &shop->wood, err)) {
        bw_err_within(err, "wood");
        return false;
    }
    open_spread(shop);
    if (!open_finish(shop, err) || !long_enough(shop, err) || !open_width(shop, err) ||
        !open_marks(shop, err) || !open_heads(shop, err) || !open_shelf(shop, err))
        return false;
    open_feeds(shop);
    open_veneer(shop);
    shop->passes = in->passes != BW_NO_COUNT ? (int)in->passes
                   : shop->n_heads == 1      ? 5
                   : shop->n_heads == 2      ? 3
                                             : 2;
    if (!open_roughness(shop, err) || !calibrate(shop, err)) return false;
    // End grain is only guessed, and amps read on it have that in them.
    if (in->orientation == END_GRAIN && shop->energy_sd >= UNCALIBRATED) {
        shop->energy = in->end_grain.v;
        shop_assume(shop, "end grain",
                    shop_say(shop,
                             "takes %.1f times the energy along it; no figure is known, read "
                             "the amps",
                             in->end_grain.v));
    }
    return open_good(shop, err);
}
