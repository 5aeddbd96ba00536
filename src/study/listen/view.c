// view.c - the study `listen` as people read it, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/listen/part.h"

#include <math.h>

static void recording(const struct listen_recording *r, const char *title, struct bw_text *text) {
    static const char *const USES[] = {"usable", "of limited use", "cannot be used"};
    bw_text_para(text, "%s: %s; %s, sound up to %s%s%s.", title, USES[r->use < 0 ? 0 : r->use],
                 bw_text_quantity(text, r->length, BW_DIM_TIME),
                 bw_text_quantity(text, bw_exactly(round(r->top.v / 10) * 10), BW_DIM_RATE),
                 bw_known(r->level) ? ", " : "",
                 bw_known(r->level)
                     ? bw_arena_format(text->arena, "%.0f dB under full scale", -r->level.v)
                     : "");
    const struct listen_remark *remarks = r->remarks.items;
    for (size_t i = 0; i < r->remarks.n; i++) bw_text_item(text, "- ", "%s", remarks[i].text);
}

static void speeds(const struct listen_output *out, struct bw_text *text) {
    const struct listen_speed *s = out->speeds.items;
    if (out->speeds.n == 0) return;
    bw_text_heading(text, "What turns");
    bw_text_table(text, "lddrr",
                  (const char *const[]){"part", "heard, Hz", "expected, Hz", "off", "lines"});
    for (size_t i = 0; i < out->speeds.n; i++) {
        double off = 100 * (s[i].rate.v / s[i].stated.v - 1);
        bw_text_cell(text, "%s%s", s[i].name == NULL ? "" : s[i].name,
                     s[i].decided == 1 ? "" : " ?");
        bw_text_cell(text, "%s", bw_text_value(text, s[i].rate, BW_DIM_RATE));
        bw_text_cell(text, "%s",
                     bw_known(s[i].stated) ? bw_text_value(text, s[i].stated, BW_DIM_RATE) : "");
        if (bw_known(s[i].stated))
            bw_text_cell(text, "%+.1f %%", off);
        else
            bw_text_cell(text, "%s", "");
        bw_text_cell(text, "%ld", s[i].lines);
    }
    bw_text_table_end(text);
}

static void belts(const struct listen_output *out, struct bw_text *text) {
    const struct listen_belt *b = out->belts.items;
    for (size_t i = 0; i < out->belts.n; i++)
        bw_text_item(text, "- ", "%s: %s%s%s.", b[i].name == NULL ? "belt" : b[i].name,
                     bw_text_quantity(text, b[i].found, BW_DIM_SPEED),
                     bw_known(b[i].stated) ? ", by the file " : "",
                     bw_known(b[i].stated) ? bw_text_quantity(text, b[i].stated, BW_DIM_SPEED)
                                           : "");
}

static void give_on(const struct listen_output *out, struct bw_text *text) {
    const struct listen_speed *s = out->speeds.items;
    size_t n = 0;
    for (size_t i = 0; i < out->speeds.n; i++) n += s[i].phrase != NULL;
    if (n == 0) return;
    bw_text_gap(text);
    bw_text_para(text, "To name the part behind a mark, give these to the command source:");
    for (size_t i = 0; i < out->speeds.n; i++)
        if (s[i].phrase != NULL) bw_text_item(text, "  ", "--rate \"%s\"", s[i].phrase);
}

static void bearings(const struct listen_output *out, struct bw_text *text) {
    const struct listen_bearing *b = out->bearings.items;
    if (out->bearings.n == 0) return;
    bw_text_heading(text, "Bearings");
    for (size_t i = 0; i < out->bearings.n; i++) {
        bw_text_item(text, "- ", "%s: %s.", b[i].name == NULL ? "bearing" : b[i].name,
                     b[i].verdict == NULL ? "?" : b[i].verdict);
        if (b[i].evidence != NULL) bw_text_item(text, "  ", "%s", b[i].evidence);
    }
    bw_text_gap(text);
    bw_text_table(text, "lrrrrrr",
                  (const char *const[]){"chance of", "cage", "ball", "outer", "inner", "none",
                                        "cannot tell"});
    for (size_t i = 0; i < out->bearings.n; i++) {
        const struct bw_quantity chances[] = {b[i].cage,  b[i].element, b[i].outer,
                                              b[i].inner, b[i].none,    b[i].unknown};
        bw_text_cell(text, "%s", b[i].name == NULL ? "" : b[i].name);
        for (size_t k = 0; k < sizeof chances / sizeof *chances; k++) {
            if (chances[k].v < 0.005)
                bw_text_cell(text, "%s", "-");
            else
                bw_text_cell(text, "%.0f %%", 100 * fmin(chances[k].v, 0.99));
        }
    }
    bw_text_table_end(text);
}

// What to do about the worst of them, with its caution.
static void advice(const struct listen_output *out, struct bw_text *text) {
    const struct listen_bearing *b = out->bearings.items;
    bool damaged = false, open = false;
    for (size_t i = 0; i < out->bearings.n; i++) {
        damaged |= b[i].part >= 0 && b[i].part < LISTEN_NONE;
        open |= b[i].part == LISTEN_UNKNOWN;
    }
    if (!damaged && !open) return;
    bw_text_gap(text);
    if (damaged)
        bw_text_para(text, "Next: record again at the bearing's housing, doors shut; if it says "
                           "the same, turn the shaft by hand, feel for roughness and play, and "
                           "change the bearing.");
    else
        bw_text_para(text, "Next: record a minute at the bearing's housing, doors shut, nothing "
                           "in cut; compare with the same bearing of another head.");
    bw_text_caution(text, "lock out power and air, release the belt, wait until all stands still "
                          "before a hand goes in; a hot bearing in dust can start a fire");
}

static void lines(const struct listen_output *out, struct bw_text *text) {
    const struct listen_line *l = out->lines.items;
    size_t n = out->lines.n < 10 ? out->lines.n : 10;
    if (n == 0) return;
    bw_text_heading(text, "The tones that stand out most");
    bw_text_table(text, "drdl", (const char *const[]){"Hz", "dB over noise", "order", "source"});
    for (size_t i = 0; i < n; i++) {
        bw_text_cell(text, "%.2f", l[i].frequency.v);
        bw_text_cell(text, "%.0f", l[i].over.v);
        if (bw_known(l[i].order))
            bw_text_cell(text, "%.3f", l[i].order.v);
        else
            bw_text_cell(text, "%s", "");
        bw_text_cell(text, "%s", l[i].source == NULL ? "" : l[i].source);
    }
    bw_text_table_end(text);
}

static void changes(const struct listen_output *out, struct bw_text *text) {
    const struct listen_change *c = out->changes.items;
    if (out->changes.n == 0) return;
    bw_text_heading(text, "Against the second recording");
    bw_text_table(text, "lrl", (const char *const[]){"what", "dB", "verdict"});
    for (size_t i = 0; i < out->changes.n; i++) {
        bw_text_cell(text, "%s", c[i].name == NULL ? "" : c[i].name);
        if (bw_known(c[i].change))
            bw_text_cell(text, "%+.1f", c[i].change.v);
        else
            bw_text_cell(text, "%s", "");
        bw_text_cell(text, "%s", c[i].verdict == NULL ? "" : c[i].verdict);
    }
    bw_text_table_end(text);
    bw_text_para(text, "Only recordings made at the same place with the same device and setting "
                       "can be compared; under 6 dB is no change.");
}

void listen_text(const void *out_, struct bw_text *text) {
    const struct listen_output *out = out_;
    bw_text_para(text, "%s", out->answer == NULL ? "" : out->answer);
    bw_text_gap(text);
    if (out->recording != NULL) recording(out->recording, "Recording", text);
    if (out->other != NULL) recording(out->other, "Second recording", text);
    speeds(out, text);
    belts(out, text);
    give_on(out, text);
    bearings(out, text);
    advice(out, text);
    changes(out, text);
    lines(out, text);
    const struct listen_remark *remarks = out->remarks.items;
    if (out->remarks.n > 0) bw_text_heading(text, "To keep in mind");
    for (size_t i = 0; i < out->remarks.n; i++) bw_text_item(text, "- ", "%s", remarks[i].text);
}

static void add(struct bw_findings *findings, const char *kind, const char *about,
                struct bw_quantity q, enum bw_dim dim) {
    bw_findings_add(findings, (struct bw_finding){
                                  .kind = kind, .about = about, .v = q.v, .sd = q.sd, .dim = dim});
}

void listen_findings(const void *out_, struct bw_findings *findings) {
    const struct listen_output *out = out_;
    const struct listen_speed *s = out->speeds.items;
    const struct listen_belt *belts_ = out->belts.items;
    const struct listen_bearing *b = out->bearings.items;
    for (size_t i = 0; i < out->speeds.n; i++)
        if (s[i].phrase != NULL) add(findings, "rate-heard", s[i].id, s[i].rate, BW_DIM_RATE);
    for (size_t i = 0; i < out->belts.n; i++)
        add(findings, "belt-speed", belts_[i].name, belts_[i].found, BW_DIM_SPEED);
    for (size_t i = 0; i < out->bearings.n; i++) {
        const char *about = b[i].id != NULL ? b[i].id : b[i].name;
        add(findings, "bearing-cage", about, b[i].cage, BW_DIM_RATIO);
        add(findings, "bearing-element", about, b[i].element, BW_DIM_RATIO);
        add(findings, "bearing-outer-race", about, b[i].outer, BW_DIM_RATIO);
        add(findings, "bearing-inner-race", about, b[i].inner, BW_DIM_RATIO);
        add(findings, "bearing-sound", about, b[i].none, BW_DIM_RATIO);
        add(findings, "bearing-cannot-tell", about, b[i].unknown, BW_DIM_RATIO);
    }
}
