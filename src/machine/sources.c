// sources.c - see sources.h. Every weight here is an estimate: common practice, no source.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/sources.h"

#include "machine/contact.h"
#include "trade/bearing.h"

#include <math.h>
#include <string.h>

// Relative weights of the parts; one row a part, in the order of enum bw_part. Feed-side and
// planer marks are taken for sander marks often enough to deserve theirs.
static const struct {
    double weight;
    int n;
    struct bw_harmonic harmonics[5];
} PRIORS[BW_PART_COUNT] = {
    [BW_PART_SPLICE] = {10, 0, {{0}}},  // see bw_splice_harmonics
    [BW_PART_DRUM] = {7,
                      5,
                      {{1, 0.72, "out of round, bent or with a flat", 0.30},
                       {2, 0.16, "oval", 0.10},
                       {3, 0.05, "worn to three lobes", 0.10},
                       {0.5, 0.04, "bearing loose", 0.30},
                       {4, 0.03, "worn to four lobes", 0.10}}},
    [BW_PART_ROLLER] = {2,
                        3,
                        {{1, 0.80, "out of round or out of balance", 0.20},
                         {2, 0.15, "oval", 0.10},
                         {0.5, 0.05, "bearing loose", 0.30}}},
    [BW_PART_BEARING] = {0.6, 1, {{1, 1, "worn or pitted", 0.5}}},
    [BW_PART_MOTOR] = {1.5,
                       2,
                       {{1, 0.75, "out of balance or its mounts loose", 0.10},
                        {2, 0.25, "misaligned", 0.10}}},
    [BW_PART_DRIVE_BELT] = {1,
                            2,
                            {{1, 0.6, "worn, cracked or lumpy", 0.30},
                             {2, 0.4, "worn, cracked or lumpy", 0.30}}},
    [BW_PART_BRUSH] = {2, 1, {{1, 1, "worn on one side or out of balance", 0.10}}},
    [BW_PART_MAINS] = {0.3, 1, {{1, 1, "motor humming", 0.10}}},
    [BW_PART_OSCILLATION] =
        {1, 2, {{1, 0.4, "kicks at one turn", 0.20}, {2, 0.6, "cloudy bands at both turns", 0.20}}},
    [BW_PART_BEAT] = {0.4, 1, {{1, 1, "two close rates", 0.05}}},
    [BW_PART_FEED_BELT] = {2,
                           2,
                           {{1, 0.9, "joint thick or open", 0.6}, {2, 0.1, "two joints", 0.6}}},
    [BW_PART_FEED_DRIVE] = {2,
                            3,
                            {{1, 0.80, "worn, bent or jerking", 0.35},
                             {2, 0.15, "worn, bent or jerking", 0.35},
                             {3, 0.05, "worn, bent or jerking", 0.35}}},
    [BW_PART_HOLD_DOWN] = {1.5,
                           2,
                           {{1, 0.85, "out of round, dirty or jumping", 0.5},
                            {2, 0.15, "out of round, dirty or jumping", 0.5}}},
    [BW_PART_PLANER] = {4, 0, {{0}}},  // see bw_planer_harmonics
    [BW_PART_UNLISTED_TIMED] = {0.6 * BW_UNLISTED_WEIGHT, 1, {{1, 1, NULL, 0.3}}},
    [BW_PART_UNLISTED_PACED] = {0.4 * BW_UNLISTED_WEIGHT, 1, {{1, 1, NULL, 0.4}}},
};

static void harmonic(struct bw_source *source, double order, double share, const char *fault,
                     double narrow) {
    source->harmonics[source->n_harmonics++] = (struct bw_harmonic){order, share, fault, narrow};
}

void bw_source_prior(enum bw_part part, struct bw_source *source) {
    source->weight = PRIORS[part].weight;
    source->n_harmonics = PRIORS[part].n;
    for (int i = 0; i < source->n_harmonics; i++) source->harmonics[i] = PRIORS[part].harmonics[i];
}

void bw_splice_harmonics(long splices, struct bw_source *source) {
    static const char HIGH[] = "joint thick, stiff or lifting";
    static const double NARROW = 0.85;
    source->n_harmonics = 0;
    if (splices <= 1) {
        harmonic(source, 1, 0.86, HIGH, NARROW);
        harmonic(source, 2, 0.07, HIGH, 0.5);
        harmonic(source, 3, 0.04, HIGH, 0.4);
        harmonic(source, 4, 0.03, HIGH, 0.3);
        return;
    }
    long most = 2 * splices;
    if (most > BW_MAX_HARMONICS) most = BW_MAX_HARMONICS;
    double others = (double)(most - 3) > 1 ? (double)(most - 3) : 1;
    for (long k = 1; k <= most; k++) {
        double share = k == splices       ? 0.58
                       : k == 1           ? 0.17
                       : k == 2 * splices ? 0.08
                                          : 0.17 / others;
        harmonic(source, (double)k, share,
                 k == 1 ? "one of its joints thick, stiff or lifting" : HIGH, NARROW);
    }
}

void bw_planer_harmonics(long knives, long showing, struct bw_source *source) {
    static const char KNIFE[] = "knife marks left by the planer";
    source->n_harmonics = 0;
    harmonic(source, (double)showing, 0.75, KNIFE, 0.4);
    if (showing != 1) harmonic(source, 1, 0.12, KNIFE, 0.4);
    if (knives > 1 && knives != showing) harmonic(source, (double)knives, 0.13, KNIFE, 0.4);
}

bool bw_source_bearing_orders(struct bw_arena *arena, const char *designation, bool outer_turns,
                              double orders[4], struct bw_err *err) {
    struct bw_bearings table;
    struct bw_bearing_geometry geometry;
    if (!bw_bearings_load(arena, &table, err) ||
        !bw_bearing_read(arena, &table, designation, strlen(designation), &geometry, err))
        return false;
    struct bw_bearing_orders found =
        bw_bearing_orders(&geometry, outer_turns ? BW_OUTER_TURNS : BW_INNER_TURNS);
    orders[0] = found.cage;
    orders[1] = found.element;
    orders[2] = found.outer_race;
    orders[3] = found.inner_race;
    return true;
}

// Contact lengths where the file has none (common practice, no source): a rubber drum presses
// over about 8 mm, a platen over its stated length.
#define RUBBER_CONTACT 0.008
#define PLATEN_CONTACT 0.050
#define BRUSH_CONTACT 0.020

static double drum_radius(const struct bw_head *head) {
    double thickness =
        head->belt != NULL && bw_known(head->belt->thickness) ? head->belt->thickness.v : 0.001;
    if (head->drum == NULL) return NAN;
    if (bw_known(head->drum->circumference))
        return head->drum->circumference.v / (2 * M_PI) + thickness;
    return head->drum->diameter.v / 2 + thickness;
}

struct bw_press bw_head_press(const struct bw_head *head) {
    double radius = drum_radius(head);
    double contact = head->drum != NULL ? head->drum->contact.v : (double)NAN;
    switch (head->contact) {
    case BW_STEEL_DRUM: return (struct bw_press){true, radius, 0};
    case BW_RUBBER_DRUM:
    case BW_COMBINATION:  // the drum cuts, the platen only smooths what it left
        return (struct bw_press){false, radius, isnan(contact) ? RUBBER_CONTACT : contact};
    case BW_BRUSH: return (struct bw_press){false, NAN, BRUSH_CONTACT};
    default:
        return (struct bw_press){false, NAN,
                                 head->platen != NULL && bw_known(head->platen->contact)
                                     ? head->platen->contact.v
                                     : PLATEN_CONTACT};
    }
}

struct bw_height bw_head_height(const struct bw_head *head, double pitch) {
    struct bw_press press = bw_head_press(head);
    double ceiling = isnan(press.radius) ? press.radius : bw_ridge(pitch, press.radius);
    return (struct bw_height){ceiling, bw_contact_share(press.contact, pitch)};
}
