// airflow.c - the study `airflow`: taps and traverses to flow, and each port against its least.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tap: flow = C A sqrt(2 SP / density), C the hood's coefficient. A traverse: mean velocity times
// area. Uncertainties are added in squares by the components ISO 3966 lists (clause 12, "Errors");
// what each component is worth here is common practice and told in the budget, so that a reader
// can see which one decides. Nearly always it is the area: measure the diameter twice.
#include "study/airflow/airflow.h"

#include "machine/machine.h"
#include "numeric/moist_air.h"
#include "study/airflow/traverse.h"
#include "trade/hood.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#define PRACTICE (1100 * 0.0004719474432)  // m3/s: 1100 cfm (common practice, no source)
#define PRACTICE_PORT 0.150                // m: under 6 in the rule asks too much of the port
#define SURE 0.9

struct work {
    struct bw_arena *arena;
    const struct airflow_input *in;
    struct bw_quantity density;
    struct airflow_output out;
    struct airflow_port *ports;
    struct airflow_change *changes;
    struct airflow_share *shares;
    struct airflow_card *cards;
    struct airflow_note *notes;
    bool failed;
};

static void *array(struct work *w, size_t n, size_t size) {
    void *items = bw_arena_array(w->arena, n + 1, size);
    if (items == NULL) w->failed = true;
    return items;
}

static const char *say(struct work *w, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

static void note(struct work *w, const char *text) { w->notes[w->out.notes.n++].text = text; }

// --- the machine's ports -----------------------------------------------------------------------

static const struct bw_port *plate_of(const struct work *w, const char *at) {
    const struct bw_machine *machine = w->in->machine.content;
    for (size_t h = 0; machine != NULL && h < machine->heads.n; h++) {
        const struct bw_head *head = bw_machine_head(machine, h);
        for (size_t p = 0; p < head->ports.n; p++) {
            const struct bw_port *port = (const struct bw_port *)head->ports.items + p;
            if (port->name != NULL && strcasecmp(port->name, at) == 0) return port;
        }
    }
    return NULL;
}

static bool diameter_of(const struct work *w, const char *at, struct bw_quantity given,
                        struct bw_quantity *out, struct bw_err *err) {
    const struct bw_port *port = plate_of(w, at);
    *out = bw_known(given) || port == NULL ? given : port->diameter;
    if (bw_known(*out)) return true;
    bw_fail(err, BW_INPUT, "the diameter at \"%s\" is not known", at);
    bw_err_mend(err, "give diameter=, or name the port as the machine file does");
    return false;
}

// --- verdicts ----------------------------------------------------------------------------------

static double chance_below(struct bw_quantity q, double limit) {
    if (!(q.sd > 0)) return q.v < limit ? 1 : 0;
    return 0.5 * erfc((q.v - limit) / q.sd / M_SQRT2);
}

static const char *advice(const struct airflow_port *port) {
    if (port->verdict == PORT_SMALL)
        return "too small a port for the 1100 cfm of common practice: go by the machine's plate or "
               "its maker, or give this port's least flow";
    if (port->verdict == PORT_STARVED && port->carries == SPEED_LOW)
        return "starved, and dust settles on the way: look for open gates, a blinded filter, a "
               "plugged or leaking hose, in that order";
    if (port->verdict == PORT_STARVED)
        return "starved: look for open gates, a blinded filter, a plugged or leaking hose";
    if (port->verdict == PORT_UNSURE) return "the ± does not decide: read again, more points";
    if (port->carries == SPEED_LOW)
        return "enough air, but too slow to carry dust: the duct is too wide for this flow";
    return "enough";
}

static void judge(struct work *w, struct airflow_port *port, double area, double diameter) {
    const struct bw_port *plate = plate_of(w, port->at);
    if (plate != NULL && bw_known(plate->flow)) {
        port->minimum = bw_exactly(plate->flow.v);
        port->basis = BASIS_PLATE;
    } else {
        bool given = bw_known(w->in->minimum);
        port->minimum = bw_exactly(given ? w->in->minimum.v : PRACTICE);
        port->basis = given ? BASIS_GIVEN : BASIS_PRACTICE;
    }
    port->velocity = bw_about(port->flow.v / area, port->flow.sd / area);
    port->minimum_velocity = bw_exactly(port->minimum.v / area);
    double chance = chance_below(port->flow, port->minimum.v);
    port->short_chance = bw_exactly(chance);
    port->verdict = chance > SURE ? PORT_STARVED : chance < 1 - SURE ? PORT_ENOUGH : PORT_UNSURE;
    if (port->basis == BASIS_PRACTICE && diameter < PRACTICE_PORT && chance >= 1 - SURE)
        port->verdict = PORT_SMALL;
    double slow = chance_below(port->velocity, w->in->transport.v);
    port->carries = slow > SURE ? SPEED_LOW : slow < 1 - SURE ? SPEED_FINE : SPEED_UNSURE;
    port->text = advice(port);
}

// --- an uncertainty budget ---------------------------------------------------------------------

struct budget {
    struct work *w;
    const char *at;
    double square;
};

static void add(struct budget *b, const char *what, double share) {
    if (!(share > 0)) return;
    b->w->shares[b->w->out.budget.n++] = (struct airflow_share){b->at, what, bw_exactly(share)};
    b->square += share * share;
}

static double relative(struct bw_quantity q, double otherwise) {
    return bw_sd_known(q) ? q.sd / q.v : otherwise;
}

#define MOST_SHARES 12

// --- the quick method --------------------------------------------------------------------------

static bool coefficient_of(struct work *w, const struct airflow_tap *tap, double *c, double *sd,
                           struct bw_err *err) {
    if (bw_known(tap->coefficient)) {
        *c = tap->coefficient.v;
        *sd = relative(tap->coefficient, 0.03);
        return true;
    }
    const struct bw_hood *hood;
    if (!bw_hood_find(w->arena, tap->entry == NULL ? "flanged" : tap->entry, &hood, err)) {
        bw_err_within(err, "entry");
        return false;
    }
    *c = 1 / sqrt(1 + hood->loss.v);
    *sd = tap->entry == NULL ? 0.12 : 0.08;
    return true;
}

static const char *drift(double ratio, double sd) {
    if (fabs(ratio - 1) < 1.64 * sd) return "no change that the readings can show";
    if (ratio < 1)
        return "less suction than then: the trouble lies behind the tap - a blinded filter, gates "
               "open elsewhere, a plugged main, a leak - or the hose before the tap came off";
    return "more suction than then: either more air, because something was shut elsewhere, or the "
           "hood before the tap is blocked. Look into it, locked out, before trusting the flow";
}

static bool tap(struct work *w, const struct airflow_tap *tap_, struct bw_err *err) {
    struct bw_quantity diameter;
    double c, c_sd;
    if (!diameter_of(w, tap_->at, tap_->diameter, &diameter, err) ||
        !coefficient_of(w, tap_, &c, &c_sd, err))
        return false;
    double area = M_PI / 4 * diameter.v * diameter.v;
    struct budget b = {w, tap_->at, 0};
    add(&b, "hood coefficient", c_sd);
    add(&b, "reading the suction", relative(tap_->pressure, 0.03) / 2);
    add(&b, "diameter", 2 * relative(diameter, 0.01));
    add(&b, "air density", relative(w->density, 0.005) / 2);
    double flow = c * area * sqrt(2 * tap_->pressure.v / w->density.v);
    struct airflow_port *port = &w->ports[w->out.ports.n++];
    *port = (struct airflow_port){.at = tap_->at,
                                  .method = "suction at a tap",
                                  .when = WHEN_NOW,
                                  .flow = bw_about(flow, flow * sqrt(b.square))};
    judge(w, port, area, diameter.v);
    if (tap_->entry == NULL && !bw_known(tap_->coefficient))
        note(w, say(w,
                    "%s: no hood coefficient given, taken as a flanged entry, ± 12 %%. One "
                    "traverse at this port gives the true one.",
                    tap_->at));
    if (!bw_known(tap_->was)) return true;
    // Coefficient, area and tap are the same then and now: only the two readings count.
    double ratio = sqrt(tap_->pressure.v / tap_->was.v);
    double sd = ratio / 2 * hypot(relative(tap_->pressure, 0.03), relative(tap_->was, 0.03));
    w->changes[w->out.changes.n++] = (struct airflow_change){
        tap_->at, drift(ratio, sd), bw_exactly(flow / ratio), port->flow, bw_about(ratio, sd)};
    return true;
}

// --- traverses ---------------------------------------------------------------------------------

struct shape {
    double area, diameter;  // the smaller side where it is rectangular
    double sd;              // of the area, relative
    bool round;
};

static bool shape_of(struct work *w, const struct airflow_section *section, struct shape *out,
                     struct bw_err *err) {
    if (bw_known(section->width)) {
        *out = (struct shape){
            section->width.v * section->height.v, fmin(section->width.v, section->height.v),
            hypot(relative(section->width, 0.005), relative(section->height, 0.005)), false};
        return true;
    }
    struct bw_quantity diameter;
    if (!diameter_of(w, section->at, section->diameter, &diameter, err)) return false;
    *out = (struct shape){M_PI / 4 * diameter.v * diameter.v, diameter.v,
                          2 * relative(diameter, 0.005), true};
    return true;
}

static void marks(struct work *w, struct airflow_card *card, const char *which, double side,
                  int rule) {
    double fractions[TRAVERSE_MOST];
    bool round = which[0] == 'p';  // points of a diameter; else lines or depths of a side
    int n = traverse_usual(round, side);
    if (!traverse_points(rule, round, n, fractions)) return;
    struct airflow_mark *items = card->depths.items;
    for (int i = 0; i < n; i++)
        items[card->depths.n++] =
            (struct airflow_mark){say(w, "%s %d", which, i + 1), bw_exactly(fractions[i] * side)};
}

static void card(struct work *w, const struct airflow_section *section, const struct shape *shape) {
    struct airflow_card *made = &w->cards[w->out.cards.n++];
    *made = (struct airflow_card){.at = section->at,
                                  .depths = {array(w, 24, sizeof(struct airflow_mark)), 0}};
    if (w->failed) return;
    if (section->rule == RULE_FACE) {
        made->text = "divide the open face into equal fields, one reading in the middle of each, "
                     "at least nine, instrument square to the face";
        return;
    }
    if (shape->round) {
        made->text = "two holes a quarter turn apart, with a straight run of 7 to 8 diameters "
                     "before and 2 to 3 behind if there is one. One row of readings through each "
                     "hole; mark these depths on the tube, from the inside of the wall";
        marks(w, made, "point", shape->diameter, section->rule);
        return;
    }
    made->text = "one hole for each line across, the depths marked on the tube from the inside of "
                 "the wall. One row of readings through each hole";
    marks(w, made, "line", section->height.v, section->rule);
    marks(w, made, "depth", section->width.v, section->rule);
}

static void traverse_budget(struct work *w, struct budget *b, const struct airflow_section *section,
                            const struct traverse *t, const struct shape *shape) {
    static const double SCALE[] = {[BY_PITOT] = 0.005, [BY_VANE] = 0.02, [BY_HOT_WIRE] = 0.03};
    double density = relative(w->density, 0.005);
    int n = t->rows * t->columns;
    add(b, "area", shape->sd);
    add(b, "instrument scale", SCALE[section->instrument]);
    if (section->instrument == BY_PITOT) {
        add(b, "pitot coefficient", 0.005);
        add(b, "pitot in turbulence and not quite straight", 0.0054);
        add(b, "air density", density / 2);
    }
    if (section->instrument == BY_HOT_WIRE) add(b, "air density", density);
    add(b, "rule of averaging",
        section->rule == RULE_FACE   ? 0.03
        : section->rule == RULE_AREA ? 0.01
                                     : 0.005);
    if (section->rule == RULE_FACE)
        add(b, "factor at a face",
            bw_known(section->factor) ? relative(section->factor, 0.03) : 0.10);
    add(b, "slow swings of the flow", 0.003);
    add(b, t->rows > 1 ? "rows that differ" : "one row alone", t->rows > 1 ? t->row_spread : 0.05);
    add(b, "readings made up", 0.2 * sqrt(t->missing + t->wild) / n);
    if (t->low_share > 0.25) add(b, "a section too uneven to read", 0.05);
}

static bool section(struct work *w, const struct airflow_section *section_, struct bw_err *err) {
    struct shape shape;
    struct traverse t;
    if (!shape_of(w, section_, &shape, err)) return false;
    if (section_->readings == NULL) {
        card(w, section_, &shape);
        return true;
    }
    if (!traverse_read(section_, w->density.v, &t, err)) {
        bw_err_within(err, "readings");
        return false;
    }
    struct budget b = {w, section_->at, 0};
    traverse_budget(w, &b, section_, &t, &shape);
    double factor = bw_known(section_->factor) ? section_->factor.v : 1;
    double flow = t.mean * shape.area * factor;
    struct airflow_port *port = &w->ports[w->out.ports.n++];
    *port = (struct airflow_port){.at = section_->at,
                                  .method = say(w, "%d readings", t.rows * t.columns),
                                  .when = section_->when,
                                  .flow = bw_about(flow, flow * sqrt(b.square))};
    judge(w, port, shape.area, shape.diameter);
    if (t.missing > 0)
        note(w, say(w, "%s: %d reading%s missing, made from the neighbours.", section_->at,
                    t.missing, t.missing == 1 ? "" : "s"));
    if (t.wild > 0)
        note(w, say(w,
                    "%s: %d wild reading%s left out: under 0.4 or over 2.5 times the median, or "
                    "the tube the wrong way round.",
                    section_->at, t.wild, t.wild == 1 ? "" : "s"));
    if (t.low_share > 0.25)
        note(w, say(w,
                    "%s: more than a quarter of the readings lie under a tenth of the highest "
                    "pressure. Read where the duct has run straight for longer.",
                    section_->at));
    if (section_->instrument == BY_PITOT && t.mean < 5)
        note(w, say(w, "%s: under 5 m/s a pitot tube is too coarse; take a vane or hot wire.",
                    section_->at));
    return true;
}

// --- the whole ---------------------------------------------------------------------------------

static void before_and_now(struct work *w) {
    for (size_t i = 0; i < w->out.ports.n; i++) {
        for (size_t k = 0; k < w->out.ports.n; k++) {
            const struct airflow_port *a = &w->ports[i], *b = &w->ports[k];
            if (a->when != WHEN_BEFORE || b->when != WHEN_NOW || strcasecmp(a->at, b->at) != 0)
                continue;
            double ratio = b->flow.v / a->flow.v;
            double sd = ratio * hypot(a->flow.sd / a->flow.v, b->flow.sd / b->flow.v);
            w->changes[w->out.changes.n++] = (struct airflow_change){
                a->at,
                fabs(ratio - 1) < 1.64 * sd ? "no change that the readings can show"
                : ratio > 1                 ? "really better"
                                            : "really worse",
                a->flow, b->flow, bw_about(ratio, sd)};
            break;
        }
    }
}

// The port that lost most since its good day, if one did beyond doubt.
static const char *enough(struct work *w, size_t n) {
    const struct airflow_change *worst = NULL;
    for (size_t i = 0; i < w->out.changes.n; i++) {
        const struct airflow_change *c = &w->changes[i];
        if (c->ratio.v + 1.64 * c->ratio.sd > 1) continue;
        if (worst == NULL || c->ratio.v < worst->ratio.v) worst = c;
    }
    const char *all =
        n == 1 ? "The port has enough air" : say(w, "All %zu ports have enough air", n);
    if (worst == NULL) return say(w, "%s.", all);
    return say(w, "%s, but %s has lost %.0f %% since its good day.", all, worst->at,
               100 * (1 - worst->ratio.v));
}

static void totals(struct work *w) {
    double sum = 0, square = 0, least = 0;
    size_t n = 0, starved = 0, unsure = 0;
    const char *worst = NULL;
    double worst_share = (double)INFINITY;
    for (size_t i = 0; i < w->out.ports.n; i++) {
        const struct airflow_port *port = &w->ports[i];
        if (port->when != WHEN_NOW) continue;
        n++;
        sum += port->flow.v;
        square += port->flow.sd * port->flow.sd;
        least += port->minimum.v;
        starved += port->verdict == PORT_STARVED;
        unsure += port->verdict == PORT_UNSURE || port->verdict == PORT_SMALL;
        if (port->flow.v / port->minimum.v >= worst_share) continue;
        worst_share = port->flow.v / port->minimum.v;
        worst = port->at;
    }
    w->out.total = n == 0 ? BW_UNKNOWN : bw_about(sum, sqrt(square));
    w->out.total_minimum = n == 0 ? BW_UNKNOWN : bw_exactly(least);
    if (n == 0)
        w->out.answer = "Nothing was read yet: drill and read by the card.";
    else if (starved > 0 && n == 1)
        w->out.answer =
            say(w, "%s is starved, at %.0f %% of what it needs.", worst, 100 * worst_share);
    else if (starved > 0)
        w->out.answer = say(w,
                            "%zu of %zu ports starved; the worst is %s, at %.0f %% of what it "
                            "needs.",
                            starved, n, worst, 100 * worst_share);
    else if (unsure > 0)
        w->out.answer = say(w, "Not decided at %zu of %zu ports.", unsure, n);
    else
        w->out.answer = enough(w, n);
}

static bool run(struct bw_run *run_, const void *in_, void *out_, struct bw_err *err) {
    const struct airflow_input *in = in_;
    struct work w = {.arena = run_->arena, .in = in};
    size_t n = in->taps.n + in->sections.n;
    w.out.ports.items = w.ports = array(&w, n, sizeof *w.ports);
    w.out.changes.items = w.changes = array(&w, 2 * n, sizeof *w.changes);
    w.out.budget.items = w.shares = array(&w, MOST_SHARES * n, sizeof *w.shares);
    w.out.cards.items = w.cards = array(&w, n, sizeof *w.cards);
    w.out.notes.items = w.notes = array(&w, 4 * n, sizeof *w.notes);
    if (w.failed) return bw_fail_memory(err);
    struct bw_moist_air air;
    double pressure =
        bw_known(in->pressure) ? in->pressure.v : bw_air_standard_pressure(in->altitude.v);
    struct bw_moist_given given = {in->temperature.v, in->humidity.v, BW_NAN, BW_NAN};
    if (!bw_air_of(given, pressure, &air, err)) return false;
    double warmth = bw_sd_known(in->temperature) ? in->temperature.sd : 1;  // K
    w.density = bw_about(air.density, air.density * hypot(0.005, warmth / air.temperature));
    const struct bw_machine *machine = in->machine.content;
    w.out.machine = machine == NULL ? NULL : machine->name;
    w.out.density = w.density;
    for (size_t i = 0; i < in->taps.n; i++) {
        if (tap(&w, (const struct airflow_tap *)in->taps.items + i, err)) continue;
        bw_err_within_index(err, "taps", i);
        return false;
    }
    for (size_t i = 0; i < in->sections.n; i++) {
        if (section(&w, (const struct airflow_section *)in->sections.items + i, err)) continue;
        bw_err_within_index(err, "sections", i);
        return false;
    }
    before_and_now(&w);
    totals(&w);
    if (w.failed) return bw_fail_memory(err);
    *(struct airflow_output *)out_ = w.out;
    return true;
}

// --- views -------------------------------------------------------------------------------------

static const char *const VERDICT[] = {"enough", "STARVED", "unsure", "small port"};
static const char *const BASIS[] = {"plate", "given", "rule"};
static const char *const CARRIES[] = {"carries", "SETTLES", "unsure"};

static const char *titled(struct bw_text *text, const char *word, enum bw_dim dim) {
    const char *title = bw_arena_format(text->arena, "%s, %s", word, bw_text_unit(text, dim));
    return title == NULL ? "?" : title;
}

static void port_table(const struct airflow_output *out, struct bw_text *text) {
    const char *titles[] = {"port",
                            titled(text, "flow", BW_DIM_FLOW),
                            "least",
                            "by",
                            titled(text, "speed", BW_DIM_SPEED),
                            "dust",
                            "verdict",
                            NULL};
    bw_text_table(text, "ldrldll", titles);
    for (size_t i = 0; i < out->ports.n; i++) {
        const struct airflow_port *port = (const struct airflow_port *)out->ports.items + i;
        bw_text_cell(text, "%s%s", port->at, port->when == WHEN_BEFORE ? " (before)" : "");
        bw_text_cell(text, "%s", bw_text_value(text, port->flow, BW_DIM_FLOW));
        bw_text_cell(text, "%.0f", bw_dim_from_si(BW_DIM_FLOW, text->units, port->minimum.v));
        bw_text_cell(text, "%s", BASIS[port->basis]);
        bw_text_cell(text, "%s", bw_text_value(text, port->velocity, BW_DIM_SPEED));
        bw_text_cell(text, "%s", CARRIES[port->carries]);
        bw_text_cell(text, "%s", VERDICT[port->verdict]);
    }
    bw_text_table_end(text);
    bool rule = false;
    for (size_t i = 0; i < out->ports.n; i++)
        rule = rule || ((const struct airflow_port *)out->ports.items + i)->basis == BASIS_PRACTICE;
    if (rule) bw_text_gap(text);
    if (rule)
        bw_text_para(text, "rule: 1100 cfm at every port of a wide-belt machine, common practice "
                           "without a source.");
}

static void port_lines(const struct airflow_output *out, struct bw_text *text) {
    bw_text_gap(text);
    for (size_t i = 0; i < out->ports.n; i++) {
        const struct airflow_port *port = (const struct airflow_port *)out->ports.items + i;
        if (port->when == WHEN_BEFORE) continue;
        bw_text_item(text, "- ", "%s: %s. Its least flow means %s there.", port->at, port->text,
                     bw_text_quantity(text, port->minimum_velocity, BW_DIM_SPEED));
    }
    bw_text_gap(text);
    bw_text_para(text, "Together %s, needed %s. Air density %s.",
                 bw_text_quantity(text, out->total, BW_DIM_FLOW),
                 bw_text_quantity(text, out->total_minimum, BW_DIM_FLOW),
                 bw_text_quantity(text, out->density, BW_DIM_DENSITY));
}

static void change_lines(const struct airflow_output *out, struct bw_text *text) {
    if (out->changes.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Then and now");
    for (size_t i = 0; i < out->changes.n; i++) {
        const struct airflow_change *c = (const struct airflow_change *)out->changes.items + i;
        bw_text_item(text, "- ", "%s: flow %s of what it was; %s.", c->at,
                     bw_text_quantity(text, c->ratio, BW_DIM_RATIO), c->verdict);
    }
}

static void card_lines(const struct airflow_output *out, struct bw_text *text) {
    for (size_t i = 0; i < out->cards.n; i++) {
        const struct airflow_card *made = (const struct airflow_card *)out->cards.items + i;
        bw_text_gap(text);
        bw_text_heading(text, "Card for %s", made->at);
        bw_text_para(text, "%s.", made->text);
        const char *titles[] = {"point", titled(text, "from the wall", BW_DIM_LENGTH), "reading 1",
                                "reading 2", NULL};
        bw_text_table(text, "ldll", titles);
        for (size_t k = 0; k < made->depths.n; k++) {
            const struct airflow_mark *mark = (const struct airflow_mark *)made->depths.items + k;
            bw_text_cell(text, "%s", mark->text);
            double depth = bw_dim_from_si(BW_DIM_LENGTH, text->units, mark->depth.v);
            bw_text_cell(text, "%.*f", text->units == BW_UNITS_US ? 2 : 1, depth);
            bw_text_cell(text, "_________");
            bw_text_cell(text, "_________");
        }
        bw_text_table_end(text);
    }
}

static void view(const void *out_, struct bw_text *text) {
    const struct airflow_output *out = out_;
    bw_text_para(text, "%s%s%s", out->machine == NULL ? "" : out->machine,
                 out->machine == NULL ? "" : ": ", out->answer);
    if (out->ports.n > 0) {
        bw_text_gap(text);
        port_table(out, text);
        port_lines(out, text);
    }
    change_lines(out, text);
    if (out->budget.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "Where the ± comes from");
        const char *titles[] = {"port", "from", "% of flow", NULL};
        bw_text_table(text, "lld", titles);
        for (size_t i = 0; i < out->budget.n; i++) {
            const struct airflow_share *s = (const struct airflow_share *)out->budget.items + i;
            bw_text_cell(text, "%s", s->at);
            bw_text_cell(text, "%s", s->what);
            bw_text_cell(text, "%.1f", 100 * s->share.v);
        }
        bw_text_table_end(text);
    }
    card_lines(out, text);
    if (out->notes.n > 0) bw_text_gap(text);
    for (size_t i = 0; i < out->notes.n; i++)
        bw_text_item(text, "- ", "%s", ((const struct airflow_note *)out->notes.items + i)->text);
    bw_text_gap(text);
    bw_text_caution(text, "no hole is drilled into a dust duct while it runs, nor without the "
                          "owner's hot-work rule: a hot chip sets dust alight, and the collector "
                          "with it. Belts stopped and locked out before a hose comes off a port.");
}

static void findings(const void *out_, struct bw_findings *list) {
    const struct airflow_output *out = out_;
    for (size_t i = 0; i < out->ports.n; i++) {
        const struct airflow_port *port = (const struct airflow_port *)out->ports.items + i;
        if (port->when != WHEN_NOW) continue;
        if (port->verdict == PORT_STARVED || port->verdict == PORT_ENOUGH)
            bw_findings_add(list, (struct bw_finding){.kind = port->verdict == PORT_STARVED
                                                                  ? "starved-port"
                                                                  : "port-enough",
                                                      .about = port->at,
                                                      .v = port->flow.v,
                                                      .sd = port->flow.sd,
                                                      .dim = BW_DIM_FLOW});
        if (port->carries == SPEED_LOW)
            bw_findings_add(list, (struct bw_finding){.kind = "low-transport-velocity",
                                                      .about = port->at,
                                                      .v = port->velocity.v,
                                                      .sd = port->velocity.sd,
                                                      .dim = BW_DIM_SPEED});
    }
}

const struct bw_study bw_study_airflow = {
    .name = "airflow",
    .summary = "air at the dust ports: from suction at a tap or a traverse to enough or starved",
    .about =
        "The quick method first: the static suction at a tap close behind the hood, the hood's "
        "coefficient, and the same tap on the day it was good. A traverse with pitot tube, vane or "
        "hot wire is offered, not demanded; a section without readings gives the card to drill and "
        "read by.\n\n"
        "Each port is held against its least flow: the machine's plate first, else common "
        "practice (1100 cfm, no source), always with the velocity that means at this port. Below "
        "6 in the port is too small for that rule, which is not the same as starved. The ± comes "
        "with its budget.",
    .example = "beltwright airflow examples/three-head.yaml --tap \"1.9 inH2O at head 2 was 3.1 "
               "inH2O coefficient 0.8\"",
    .in = &airflow_input_record,
    .out = &airflow_output_record,
    .shape = 1,
    .run = run,
    .text = view,
    .findings = findings,
};
