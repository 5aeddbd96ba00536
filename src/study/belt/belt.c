// belt.c - the study `belt`: from head, grit and stock to an order, each choice with its reason.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules of the trade without a source, but where said: polyester or cloth up to P60, cloth from P80
// to P120, paper with an overlap joint from P150 on, film between coats; a platen under cloth wants
// a butt joint (trade pages). Tolerances of size are from memory and small numbers of no standard
// that could be read. Grits are compared by size, so CAMI belts are judged alike.
#include "study/belt/belt.h"

#include "base/suggest.h"
#include "machine/contact.h"
#include "machine/machine.h"
#include "study/belt/record.h"
#include "trade/grit.h"
#include "trade/wood.h"

#include <math.h>
#include <string.h>
#include <strings.h>

// Grain sizes at which the rules change, halfway (by ratio) between two grits, m.
#define COARSE 220e-6  // P60 and coarser: above
#define MIDDLE 112e-6  // P120 and coarser: above
#define USUAL_LEAN (25 * M_PI / 180)

struct work {
    struct bw_arena *arena;
    const struct belt_input *in;
    const struct bw_machine *machine;
    const struct bw_head *head;
    const struct bw_wood *wood;
    const struct bw_grit *grit;
    struct belt_output out;
    struct belt_part parts[12];
    struct belt_line lines[5][16];  // AGAINST and so on, below
    bool cloth, between_coats, failed;
};
enum { AGAINST, LABEL, STORAGE, NOTES, CAUTIONS };

static const char *say(struct work *w, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

static struct bw_list *list_of(struct work *w, int which) {
    struct bw_list *const LISTS[] = {&w->out.against, &w->out.label, &w->out.storage, &w->out.notes,
                                     &w->out.cautions};
    return LISTS[which];
}
static void line(struct work *w, int which, const char *text) {
    struct bw_list *list = list_of(w, which);
    if (list->n < 16) w->lines[which][list->n++].text = text;
}

static void part(struct work *w, const char *name, const char *choice, const char *reason,
                 const char *fitted) {
    bool differs = fitted != NULL && strcasecmp(fitted, choice) != 0;
    w->parts[w->out.parts.n++] =
        (struct belt_part){.part = name,
                           .choice = choice,
                           .reason = reason,
                           .fitted = fitted,
                           .change = fitted == NULL ? BW_NO_CHOICE : differs};
}

// --- what it is made of ----------------------------------------------------------------------

static bool on_platen(const struct work *w) {
    int contact = w->head->contact;
    return contact == BW_PLATEN || contact == BW_SECTIONAL_PLATEN || contact == BW_COMBINATION;
}

static void choose_backing(struct work *w) {
    double size = w->grit->size.v;
    const char *choice, *reason;
    w->cloth = size > MIDDLE;
    if (w->between_coats) {
        choice = "3 mil film";
        reason = "even thickness leaves an even scratch in the film of lacquer";
    } else if (size > COARSE) {
        choice = "Y polyester";
        reason = "heavy stock tears paper; polyester keeps its shape and may be washed";
    } else if (size > MIDDLE) {
        choice = "X cloth";
        reason = "stands the stock a middle head takes";
    } else if (size > 90e-6) {
        choice = "F paper";
        reason = "flatter than cloth, so the scratch is evener, and cheaper; heavy enough for a "
                 "wide belt";
    } else {
        choice = "E paper";
        reason = "flat and smooth for the last belt";
    }
    part(w, "backing", choice, reason, w->in->fitted_backing);
}

static void choose_coat(struct work *w) {
    if (w->wood->loads >= 2)
        part(w, "coat", "open", "what this stock leaves on a belt needs room between the grains",
             w->in->fitted_coat);
    else if (w->wood->structure == BW_SOFTWOOD ||
             (w->wood->loads == 1 && w->wood->structure != BW_PANEL))
        part(w, "coat", "semi-open", "loads a little: some room, and most of the life",
             w->in->fitted_coat);
    else
        part(w, "coat", "closed", "hardly loads: full cover lasts longest and scratches evenest",
             w->in->fitted_coat);
}

static void choose_mineral(struct work *w) {
    double size = w->grit->size.v;
    const char *choice = "aluminium oxide", *reason = "tough: the usual grain on wood";
    if (w->between_coats) {
        choice = "silicon carbide";
        reason = "sharp: cuts lacquer cool, at the price of a shorter life";
    } else if (w->wood->structure == BW_PANEL && size < MIDDLE) {
        choice = "silicon carbide";
        reason = "sharp: shears the fibres of a board's face instead of pressing them down";
    } else if (size > COARSE && w->wood->density.v > 750) {
        choice = "ceramic alumina";
        reason = "dense stock under pressure keeps breaking it sharp; it lasts";
    } else if (size > COARSE) {
        choice = "zirconia alumina";
        reason = "sharpens itself under the load of a calibrating head";
    }
    part(w, "mineral", choice, reason, w->in->fitted_mineral);
}

static bool segmented(const struct work *w) {
    return bw_known(w->out.width) && w->out.width.v > w->in->roll.v * (1 + 1e-9);
}

static void choose_joint(struct work *w) {
    double size = w->grit->size.v;
    const char *choice = "overlap, grain removed";
    const char *reason = "thin enough for a finishing belt, and paper keeps its strength";
    if (segmented(w)) {
        choice = "segmented, strips on the bias";
        reason = "wider than the roll it is cut from";
    } else if (w->between_coats) {
        choice = "butt with tape let in";
        reason = "the least step: a joint shows in lacquer first";
    } else if (w->cloth && on_platen(w)) {
        choice = "butt with tape, straight";
        reason = "cloth on a platen: an overlap knocks at every turn and shows as chatter";
    } else if (w->in->reverses == 1) {
        choice = "butt with tape, straight";
        reason = "it is to run both ways, and an overlap peels when it runs backwards";
    } else if (size > COARSE) {
        choice = "overlap with full coat";
        reason = "the strongest; its step drowns in the scratch of a coarse belt";
    } else if (w->cloth) {
        choice = "overlap, grain partly removed";
        reason = "strong on a drum with half of the step";
    }
    part(w, "joint", choice, reason, w->in->fitted_joint);
}

static void choose_rest(struct work *w) {
    part(w, "bond", "resin over resin", "stands the heat and the moisture of a wide belt", NULL);
    part(w, "antistatic", "yes",
         "dust then falls into the hood instead of clinging to belt and panel; it does not "
         "replace the ground path",
         NULL);
    bool fine = w->grit->size.v < MIDDLE;
    if (w->between_coats || (w->wood->loads == 3 && fine))
        part(w, "topcoat", "stearate",
             "keeps the belt from loading; wipe the face before water-borne finish, or it "
             "crawls",
             NULL);
    else
        part(w, "topcoat", "none", "not needed on this stock", NULL);
}

static const char *choice_of(const struct work *w, const char *name) {
    for (size_t i = 0; i < w->out.parts.n; i++)
        if (strcmp(w->parts[i].part, name) == 0) return w->parts[i].choice;
    return "";
}

static void choose_direction(struct work *w) {
    bool one_way = strncmp(choice_of(w, "joint"), "overlap", 7) == 0;
    part(w, "direction", one_way ? "by the arrow" : "either way",
         one_way ? "an overlap runs only the way of its arrow, which is printed inside"
                 : "a butt joint has no direction; mark one all the same, and keep to it",
         NULL);
}

// --- size ------------------------------------------------------------------------------------

static const char *both(struct work *w, double m) {
    return say(w, "%.0f mm (%.2f in)", 1e3 * m, m / 0.0254);
}

static void size_up(struct work *w) {
    const struct belt_input *in = w->in;
    const struct bw_belt *belt = w->head->belt;
    double print = belt != NULL ? belt->length.v : BW_NAN;
    w->out.width = bw_known(in->width) ? in->width : belt != NULL ? belt->width : BW_UNKNOWN;
    w->out.length = bw_known(in->length) ? in->length : bw_exactly(print);
    w->out.skew = BW_UNKNOWN;
    if (bw_known(in->edge_left)) {
        double mean = (in->edge_left.v + in->edge_right.v) / 2;
        double skew = fabs(in->edge_left.v - in->edge_right.v);
        w->out.skew = bw_exactly(skew);
        if (!bw_known(w->out.length))
            w->out.length = bw_exactly(mean);
        else if (fabs(mean - w->out.length.v) > 5e-3)
            line(w, NOTES,
                 say(w,
                     "the old belt measures %s, the file or print says %s: measure "
                     "once more before ordering",
                     both(w, mean), both(w, w->out.length.v)));
        if (skew > 2e-3)
            line(w, NOTES,
                 say(w,
                     "the old belt's edges differ by %.1f mm: over 2 mm a belt tracks "
                     "hard and wrinkles; send it back",
                     1e3 * skew));
        else if (skew > 1e-3)
            line(w, NOTES,
                 say(w,
                     "the old belt's edges differ by %.1f mm: up to 1 mm is good, up "
                     "to 2 mm runs",
                     1e3 * skew));
    }
    double l = w->out.length.v, b = w->out.width.v;
    w->out.length_tolerance = bw_exactly(l <= 1 ? 3e-3 : l <= 3 ? 5e-3 : 10e-3);
    w->out.width_tolerance = bw_exactly(b <= 0.05 ? 1e-3 : b <= 0.3 ? 2e-3 : 3e-3);
}

static bool sized(struct work *w, struct bw_err *err) {
    size_up(w);
    bool length = bw_known(w->out.length);
    if (length && bw_known(w->out.width)) return true;
    bw_fail(err, BW_INPUT, "not in the machine file for this head");
    bw_err_within(err, length ? "width" : "length");
    bw_err_mend(err, "read it off the back of the belt, or give edge_left and edge_right of an old "
                     "belt laid flat");
    return false;
}

// Strips as wide as the roll run across the belt, leaning by the joint's angle: each covers
// roll / cos(lean) of its length.
static void count_splices(struct work *w) {
    const struct bw_belt *belt = w->head->belt;
    double lean = belt != NULL && bw_known(belt->joint_angle) ? belt->joint_angle.v : USUAL_LEAN;
    w->out.splices = 1;
    if (segmented(w))
        w->out.splices = (long)fmax(2, ceil(w->out.length.v * cos(lean) / w->in->roll.v - 1e-9));
    w->out.splice_rate = BW_UNKNOWN;
    if (belt != NULL && bw_known(belt->speed))
        w->out.splice_rate =
            bw_exactly((double)w->out.splices * bw_splice_rate(belt->speed.v, w->out.length.v));
    const char *joint = segmented(w)                                        ? "segmented"
                        : strncmp(choice_of(w, "joint"), "overlap", 7) == 0 ? "overlap"
                                                                            : "butt";
    w->out.machine_lines =
        say(w, "belt: {length: %.0f mm, width: %.0f mm, splices: %ld, joint: %s, grit: %s}",
            1e3 * w->out.length.v, 1e3 * w->out.width.v, w->out.splices, joint, w->grit->name);
    if (segmented(w))
        line(w, NOTES,
             say(w,
                 "%ld joints pass in a turn, not quite evenly spaced: marks come at "
                 "the belt's own turn as well as %ld times it",
                 w->out.splices, w->out.splices));
}

// --- order, label, storage, against what is fitted -----------------------------------------------

static void write_order(struct work *w) {
    const char *top = choice_of(w, "topcoat");
    w->out.order =
        say(w,
            "%ld belts %.0f x %.0f mm (%.2f x %.2f in), %s, %s, %s coat, %s, resin over resin, "
            "antistatic, %sjoint: %s",
            w->in->count, 1e3 * w->out.width.v, 1e3 * w->out.length.v, w->out.width.v / 0.0254,
            w->out.length.v / 0.0254, w->grit->name, choice_of(w, "backing"), choice_of(w, "coat"),
            choice_of(w, "mineral"), strcmp(top, "none") == 0 ? "" : "stearate topcoat, ",
            choice_of(w, "joint"));
    const char *name = w->machine->name == NULL ? "machine" : w->machine->name;
    line(w, LABEL,
         say(w, "%s, %s", name, bw_head_name(w->arena, w->machine, (size_t)w->in->head - 1)));
    line(w, LABEL,
         say(w, "%s   %.0f x %.0f mm", w->grit->name, 1e3 * w->out.width.v, 1e3 * w->out.length.v));
    line(w, LABEL,
         say(w, "%s, %s, %s coat", choice_of(w, "backing"), choice_of(w, "mineral"),
             choice_of(w, "coat")));
    line(w, LABEL,
         say(w, "joint: %s; direction: %s", choice_of(w, "joint"), choice_of(w, "direction")));
    line(w, LABEL, "lot ____________  hung since ____________");
    line(w, LABEL, "fitted __________  off __________  m2 ________");
    line(w, LABEL, "why off: worn  loaded  burning  finish  damaged");
}

static void compare(struct work *w) {
    size_t changes = 0;
    for (size_t i = 0; i < w->out.parts.n; i++) changes += w->parts[i].change == 1;
    const char *now = w->in->fitted_grit != NULL ? w->in->fitted_grit
                      : w->head->belt != NULL    ? w->head->belt->grit
                                                 : NULL;
    if (now != NULL && strcasecmp(now, w->grit->name) != 0)
        line(w, AGAINST, say(w, "%s is fitted now, %s is to come", now, w->grit->name));
    for (size_t i = 0; i < w->out.parts.n; i++)
        if (w->parts[i].change == 1)
            line(w, AGAINST,
                 say(w, "%s: %s now, %s to come", w->parts[i].part, w->parts[i].fitted,
                     w->parts[i].choice));
    if (changes > 1)
        line(w, AGAINST,
             "more than one thing changes: if the new belt is also to find a fault, "
             "change one of them first, or the result tells nothing");
}

static void store(struct work *w) {
    double t = w->in->temperature.v - 273.15, h = 100 * w->in->humidity.v;
    line(w, STORAGE,
         "keep at 40 to 60 % humidity and 15 to 25 °C (makers' pages differ; this "
         "lies within nearly all), off concrete and away from walls and heaters");
    line(w, STORAGE,
         "unpack a day before use and hang beside the machine on a bar of 100 mm or "
         "more, 0.3 m off the floor; keep two days' belts there");
    if (bw_known(w->in->humidity) && (h < 35 || h > 65))
        line(w, STORAGE,
             say(w, "%.0f %% is too %s: belts cup%s", h, h < 35 ? "dry" : "damp",
                 h < 35 ? " and crack at the joint; make-up humidity or closed bags "
                          "until use"
                        : " and cut less; run a damp belt five to ten minutes without "
                          "stock before work"));
    if (bw_known(w->in->temperature) && (t < 15 || t > 25))
        line(w, STORAGE, say(w, "%.0f °C is outside what belts keep in", t));
    const char *backing = choice_of(w, "backing");
    if (strstr(backing, "polyester") != NULL || strstr(backing, "film") != NULL)
        line(w, STORAGE,
             "polyester and film do not mind moisture but take a set in the cold: "
             "warm them through before tension");
}

static void warn(struct work *w) {
    if (w->wood->tannin >= 2)
        line(w, NOTES,
             say(w,
                 "%s stains blue-black where iron and water meet: no steel wool, no "
                 "steel brush on the belt, dry air in the nozzles",
                 w->wood->name));
    if (w->wood->loads == 3)
        line(w, NOTES,
             "clean the belt early and often with the machine's own cleaner, or off the machine; "
             "never by hand at a running belt");
    if (w->between_coats)
        line(w, CAUTIONS, "lacquer dust and wood dust are not mixed in one collector");
    line(w, CAUTIONS,
         "lock out power and air before a belt is changed: tension, platen and bed "
         "hold pressure, and drums coast");
}

// --- all of it -----------------------------------------------------------------------------------

static bool open_shop(struct work *w, struct bw_err *err) {
    struct bw_grits grits;
    const struct belt_input *in = w->in;
    w->machine = in->machine.content;
    if (in->head > (long)w->machine->heads.n) {
        bw_fail(err, BW_INPUT, "the machine has %zu heads", w->machine->heads.n);
        bw_err_within(err, "head");
        return false;
    }
    w->head = bw_machine_head(w->machine, (size_t)in->head - 1);
    if (w->head->contact == BW_BRUSH) {
        bw_fail(err, BW_INPUT, "a brush has no sanding belt");
        bw_err_within(err, "head");
        return false;
    }
    if (!bw_grits_load(w->arena, &grits, err)) return false;
    if (!bw_grit_read(&grits, in->grit, strlen(in->grit), &w->grit, err)) {
        bw_err_within(err, "grit");
        return false;
    }
    if (!bw_wood_find(w->arena, in->wood, &w->wood, err)) {
        bw_err_within(err, "wood");
        return false;
    }
    w->between_coats = w->wood->structure == BW_COATING || strcmp(in->finish, "sealed") == 0;
    return sized(w, err);
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    struct work *w = bw_arena_get(run_->arena, sizeof *w);
    if (w == NULL) return bw_fail_memory(err);
    w->arena = run_->arena;
    w->in = in;
    if (!open_shop(w, err)) return w->failed ? bw_fail_memory(err) : false;
    w->out.parts.items = w->parts;
    for (int i = AGAINST; i <= CAUTIONS; i++) list_of(w, i)->items = w->lines[i];
    choose_backing(w);
    choose_coat(w);
    choose_mineral(w);
    choose_joint(w);
    choose_rest(w);
    choose_direction(w);
    count_splices(w);
    write_order(w);
    compare(w);
    store(w);
    warn(w);
    w->out.answer = say(w, "%s on %s, %s, joint: %s", w->grit->name, choice_of(w, "backing"),
                        choice_of(w, "mineral"), choice_of(w, "joint"));
    if (w->failed || bw_arena_failed(w->arena)) return bw_fail_memory(err);
    *(struct belt_output *)out_ = w->out;
    return true;
}

const struct bw_study bw_study_belt = {
    .name = "belt",
    .summary = "which belt to order for a head: size, backing, coat, mineral, joint, and why",
    .about =
        "The size from the machine file, from the print, or from an old belt's two edges, with "
        "tolerances; backing, coat, mineral, bond, joint in words, antistatic, topcoat and "
        "direction, each with its reason; what changes against the belt fitted now.\n\n"
        "An order line, a label for the bag, how to keep and hang it in this shop's air, and the "
        "lines for the machine file. Belts wider than the roll are segmented, and how many joints "
        "then pass in a turn is told, for the study rates.\n\n"
        "The rules are common practice without a source: see the tables backings, joints, coats, "
        "minerals.",
    .example =
        "beltwright belt examples/three-head.yaml --head 3 --grit P150 --wood \"hard maple\" "
        "--humidity \"30 %\"",
    .in = &belt_input_record,
    .out = &belt_output_record,
    .shape = 1,
    .run = run,
    .text = belt_text,
};
