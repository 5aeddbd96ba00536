// static.c - the risk of static with its reasons, the ground path, and rods for the electrician.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sources: 65 % and 30 % are NFPA 77 (2000) 6.4.2; one megohm is the order NFPA 77 and TM 5-811-3
// give for draining static; 10 ohm in a path of metal is the usual sign of a loose or corroded
// joint (NFPA 77, from memory); 0.1 ohm for the protective conductor and all steps between are
// common practice.
#include "study/shopair/part.h"

#include "trade/earth.h"

#include <math.h>

#define DRAINS 1e6
#define TIGHT_JOINT 10.0
#define PROTECTS 0.1

int shopair_humidity_risk(double humidity) {
    return humidity >= 0.5 ? RISK_LOW : humidity >= 0.3 ? RISK_RAISED : RISK_HIGH;
}

static int risk_at(const struct shopair_input *in, int path, double humidity) {
    int risk = shopair_humidity_risk(humidity);
    if (in->dust == DUST_SHOCKS || path == PATH_OPEN) risk = RISK_HIGH;
    if (in->dust == DUST_CLINGS && risk < RISK_RAISED) risk = RISK_RAISED;
    if (in->dust == DUST_CLEAN && in->antistatic == 1 && path == PATH_SOUND && risk == RISK_RAISED)
        risk = RISK_LOW;
    return risk;
}

struct reasons {
    struct shopair_reason *items;
    size_t n;
};
#define MOST_REASONS 8

static void because(struct reasons *reasons, bool holds, const char *text) {
    if (holds) reasons->items[reasons->n++].text = text;
}

static void reasons_of(const struct shopair_input *in, int path, double h, struct reasons *r) {
    because(r, h >= 0.65,
            "at 65 % and more most surfaces take up enough water to carry charge "
            "away, if a path to ground is there");
    because(r, h >= 0.5 && h < 0.65, "from 50 % on charge seldom builds up (common practice)");
    because(r, h >= 0.3 && h < 0.5, "between 30 and 50 % it depends on belt, speed and ground");
    because(r, h < 0.3, "below about 30 % wood, belts and dust insulate and hold charge");
    because(r, in->antistatic == 0, "the belts are not antistatic");
    because(r, in->antistatic == 1,
            "antistatic belts carry their own charge to a grounded machine");
    because(r, in->dust == DUST_CLINGS,
            "dust cakes where it should not; static, damp and starved ports all do that");
    because(r, in->dust == DUST_SHOCKS, "sparks are felt or seen");
    because(r, path == PATH_OPEN, "a place is not connected to ground: it charges in any air");
    because(r, path == PATH_UNKNOWN, "the ground path was not measured");
}

// Four separate means and the order to take them in (common practice; what each can do is NFPA 77
// and physics).
static const struct shopair_remedy REMEDIES[] = {
    {"mend the ground path", "drains every metal part, at any humidity",
     "does nothing for charge on a belt, on wood or on dust itself",
     "locked out; the equipment grounding conductor is a licensed electrician's work"},
    {"antistatic belts", "carry the belt's charge to the rolls",
     "nothing where the rolls are not grounded, and little for charge on panels", NULL},
    {"a brush or tinsel near the belt, bonded", "takes high charge off without power",
     "leaves some hundred to a few thousand volts; wears and clogs with dust",
     "fit it locked out, clear of the belt; not in reach of panels"},
    {"an ionising bar", "brings belt or panel near zero where it stands",
     "acts over some centimetres only, and only while clean",
     "high voltage: in dusty places only a type certified for combustible dust"},
    {"damper air", "makes all surfaces carry charge away",
     "some plastics hold charge even then; wood swells, and it takes water all winter",
     "no mist near switchgear, bare iron or stacked panels"},
};

bool shopair_static(struct bw_arena *arena, const struct shopair_input *in,
                    struct bw_quantity humidity, struct shopair_output *out) {
    double sd = bw_sd_known(humidity) ? humidity.sd : 0;
    out->risk = risk_at(in, out->path, humidity.v);
    out->risk_dry = risk_at(in, out->path, humidity.v - sd);
    out->risk_damp = risk_at(in, out->path, humidity.v + sd);
    struct reasons reasons = {bw_arena_array(arena, MOST_REASONS, sizeof *reasons.items), 0};
    if (reasons.items == NULL) return false;
    reasons_of(in, out->path, humidity.v, &reasons);
    out->reasons = (struct bw_list){reasons.items, reasons.n};
    if (out->risk == RISK_LOW) return true;
    size_t n = sizeof REMEDIES / sizeof REMEDIES[0], kept = 0;
    struct shopair_remedy *items = bw_arena_array(arena, n, sizeof *items);
    if (items == NULL) return false;
    for (size_t i = 0; i < n; i++) {
        if (i == 0 && out->path == PATH_SOUND) continue;
        if (i == 1 && in->antistatic == 1) continue;
        items[kept++] = REMEDIES[i];
    }
    out->remedies = (struct bw_list){items, kept};
    return true;
}

// --- ground ----------------------------------------------------------------------------------

static int path_of(const struct shopair_ground *ground) {
    if (ground->resistance.v > DRAINS) return PATH_OPEN;
    if (ground->part == PART_METAL && ground->resistance.v > TIGHT_JOINT) return PATH_LOOSE;
    return PATH_SOUND;
}

static const char *path_verdict(const struct shopair_ground *ground) {
    double ohm = ground->resistance.v;
    if (ohm > DRAINS)
        return "open for static: above one megohm nothing drains. Find the break, locked out";
    if (ground->part != PART_METAL) return "drains static";
    if (ohm > TIGHT_JOINT)
        return "drains static, but metal all the way reads under 10 ohm: a joint is loose, "
               "painted or corroded";
    if (ohm > PROTECTS)
        return "drains static; too much for a protective conductor (order of 0.1 ohm): have an "
               "electrician test that one with a proper instrument";
    return "sound for static; whether it carries a fault an ohmmeter cannot prove";
}

bool shopair_grounds(struct bw_arena *arena, const struct shopair_input *in,
                     struct shopair_output *out) {
    static const int WORSE[] = {[PATH_SOUND] = 0, [PATH_LOOSE] = 1, [PATH_OPEN] = 2};
    size_t n = in->grounds.n;
    struct shopair_ground_row *rows = bw_arena_array(arena, n + 1, sizeof *rows);
    if (rows == NULL) return false;
    out->path = n == 0 ? PATH_UNKNOWN : PATH_SOUND;
    for (size_t i = 0; i < n; i++) {
        const struct shopair_ground *ground = (const struct shopair_ground *)in->grounds.items + i;
        rows[i] = (struct shopair_ground_row){ground->at, path_verdict(ground), ground->resistance,
                                              path_of(ground)};
        if (WORSE[rows[i].open] > WORSE[out->path]) out->path = rows[i].open;
    }
    out->grounds = (struct bw_list){rows, n};
    return true;
}

bool shopair_rods(struct bw_arena *arena, const struct shopair_input *in,
                  struct shopair_output *out, struct bw_err *err) {
    if (in->soil == NULL && !bw_known(in->resistivity)) return true;
    struct bw_soil measured = {
        .resistivity = in->resistivity, .low = BW_UNKNOWN, .high = BW_UNKNOWN};
    const struct bw_soil *soil = &measured;
    if (in->soil != NULL && !bw_soil_find(arena, in->soil, &soil, err)) {
        bw_err_within(err, "soil");
        return false;
    }
    enum { MOST = 4 };
    struct shopair_rod_row *rows = bw_arena_array(arena, MOST, sizeof *rows);
    if (rows == NULL) return bw_fail_memory(err);
    double each = bw_rod(1, in->rod_length.v, in->rod_diameter.v);  // for one ohm metre
    for (int i = 0; i < MOST; i++) {
        double all = bw_rods(each, i + 1);
        rows[i] =
            (struct shopair_rod_row){bw_exactly(i + 1), bw_exactly(all * soil->resistivity.v),
                                     bw_exactly(all * soil->low.v), bw_exactly(all * soil->high.v)};
    }
    out->rods = (struct bw_list){rows, MOST};
    return true;
}
