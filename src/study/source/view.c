// view.c - the study `source` as people read it, as a chart, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/record.h"
#include "study/source/source.h"

#include <math.h>
#include <string.h>

static const struct source_answer *answer_at(const struct source_output *out, size_t i) {
    return (const struct source_answer *)out->marks.items + i;
}

static void candidate_rows(const struct source_answer *answer, struct bw_text *text) {
    const char *titles[] = {"could be", "chance", NULL, "then"};
    titles[2] = bw_arena_format(text->arena, "expected, %s", bw_text_unit(text, BW_DIM_LENGTH));
    if (titles[2] == NULL) return;
    bw_text_table(text, "lldl", titles);
    for (size_t i = 0; i < answer->candidates.n; i++) {
        const struct source_candidate *c =
            (const struct source_candidate *)answer->candidates.items + i;
        bw_text_cell(text, "%s", c->name);
        bw_text_cell(text, "%s", bw_text_odds(text, c->probability.v));
        bw_text_cell(text, "%s",
                     bw_known(c->pitch) ? bw_text_value(text, c->pitch, BW_DIM_LENGTH) : "");
        bw_text_cell(text, "%s%s%s", c->fault == NULL ? "" : c->fault,
                     c->order.v == 1 || c->fault == NULL ? "" : ", ",
                     c->order.v == 1     ? ""
                     : c->order.v == 0.5 ? "every second turn"
                     : c->fault == NULL  ? ""
                                         : bw_arena_format(text->arena, "%.0f a turn", c->order.v));
    }
    bw_text_table_end(text);
}

static void mark_section(const struct source_output *out, const struct source_answer *answer,
                         struct bw_text *text) {
    const char *at = bw_known(answer->feed)
                         ? bw_arena_format(text->arena, " at %s",
                                           bw_text_quantity(text, answer->feed, BW_DIM_FEED))
                         : "";
    bw_text_gap(text);
    bw_text_heading(text, "Mark %ld: %s%s", answer->mark,
                    bw_text_quantity(text, answer->pitch, BW_DIM_LENGTH), at == NULL ? "" : at);
    if (out->marks.n > 1) bw_text_para(text, "%s", answer->verdict);
    candidate_rows(answer, text);
    double timed = answer->timed.v;
    if (timed > 0.03 && timed < 0.97)
        bw_text_para(text,
                     "Follows the feed (turns in time): %s; keeps its pitch (tied to travel): %s.",
                     bw_text_odds(text, timed), bw_text_odds(text, 1 - timed));
    bw_text_para(text, "Something not in the machine file: %s.",
                 bw_text_odds(text, answer->unlisted.v));
}

// The number an experiment would give, in its own dimension; "" where it gives none.
static const char *outcome(const struct source_prediction *p, struct bw_text *text) {
    if (bw_known(p->pitch)) return bw_text_quantity(text, p->pitch, BW_DIM_LENGTH);
    if (bw_known(p->rate)) return bw_text_quantity(text, p->rate, BW_DIM_RATE);
    if (bw_known(p->length)) return bw_text_quantity(text, p->length, BW_DIM_LENGTH);
    return bw_known(p->speed) ? bw_text_quantity(text, p->speed, BW_DIM_FEED) : "";
}

// A feed as one sets it: to a tenth of the unit on the dial.
static const char *feed_setting(struct bw_text *text, struct bw_quantity feed) {
    double shown = bw_dim_from_si(BW_DIM_FEED, text->units, feed.v);
    feed.v = bw_dim_to_si(BW_DIM_FEED, text->units, round(shown * 10) / 10);
    return bw_text_quantity(text, feed, BW_DIM_FEED);
}

// Outcomes in words: who shares one is named together.
static void by_outcome(const struct source_experiment *x, struct bw_text *text) {
    const struct source_prediction *items = x->predictions.items;
    for (size_t i = 0; i < x->predictions.n; i++) {
        bool said = false;
        for (size_t k = 0; k < i; k++)
            said = said || strcmp(items[k].outcome, items[i].outcome) == 0;
        if (said) continue;
        struct bw_buffer names = {0};
        for (size_t k = i; k < x->predictions.n; k++)
            if (strcmp(items[k].outcome, items[i].outcome) == 0)
                bw_buffer_format(&names, "%s%s", k > i ? "; " : "", items[k].name);
        if (!names.failed) bw_text_item(text, "   - ", "%s: %s", items[i].outcome, names.data);
        bw_buffer_free(&names);
    }
}

static void experiment(const struct source_experiment *x, size_t number, struct bw_text *text) {
    const char *mark = bw_arena_format(text->arena, "%zu. ", number);
    const char *feed =
        bw_known(x->feed) ? bw_arena_format(text->arena, " (%s)", feed_setting(text, x->feed)) : "";
    if (mark == NULL || feed == NULL) return;
    bw_text_gap(text);
    bw_text_item(text, mark, "%c%s%s. About %.0f min; the best guess is then right: %s.",
                 x->title[0] - 'a' + 'A', x->title + 1, feed, x->minutes.v / 60,
                 bw_text_odds(text, x->right.v));
    bw_text_item(text, "   ", "How: %s.", x->how);
    const struct source_prediction *items = x->predictions.items;
    bool words = x->predictions.n > 0;
    for (size_t i = 0; i < x->predictions.n; i++)
        words = words && *outcome(&items[i], text) == '\0';
    if (words) by_outcome(x, text);
    for (size_t i = 0; !words && i < x->predictions.n; i++) {
        const char *number_read = outcome(&items[i], text), *seen = items[i].outcome;
        bool both = *number_read != '\0' && seen != NULL;
        bw_text_item(text, "   - ", "%s%s%s if it is: %s", seen == NULL ? "" : seen,
                     both ? ", " : "", number_read, items[i].name);
    }
    bw_text_caution(text, "%s", x->caution);
}

static void experiments(const struct source_output *out, struct bw_text *text) {
    if (out->experiments.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "What would settle it");
    for (size_t i = 0; i < out->experiments.n; i++)
        experiment((const struct source_experiment *)out->experiments.items + i, i + 1, text);
}

static void proof(const struct source_output *out, struct bw_text *text) {
    if (out->decided == 0 || out->proof == NULL) return;
    bw_text_gap(text);
    bw_text_heading(text, "To be sure of it");
    bw_text_item(text, "- ", "%c%s.", out->proof[0] - 'a' + 'A', out->proof + 1);
    bw_text_caution(text, "%s", out->proof_caution);
}

static void speeds(const struct source_output *out, struct bw_text *text) {
    if (out->speeds.n + out->suspicions.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "What the readings say of the speeds");
    for (size_t i = 0; i < out->speeds.n; i++) {
        const struct source_speed *speed = (const struct source_speed *)out->speeds.items + i;
        enum bw_dim dim = strncmp(speed->name, "feed", 4) == 0 ? BW_DIM_FEED : BW_DIM_SPEED;
        if (bw_known(speed->stated))
            bw_text_item(text, "- ", "%s: stated %s, more likely %s", speed->name,
                         bw_text_quantity(text, speed->stated, dim),
                         bw_text_quantity(text, speed->found, dim));
        else
            bw_text_item(text, "- ", "%s: %s", speed->name,
                         bw_text_quantity(text, speed->found, dim));
    }
    for (size_t i = 0; i < out->suspicions.n; i++) {
        const struct source_head_share *s =
            (const struct source_head_share *)out->suspicions.items + i;
        bw_text_item(text, "- ", "suspect: %s (%s)", s->name, bw_text_odds(text, s->probability.v));
    }
}

static void tonight(const struct source_output *out, struct bw_text *text) {
    if (out->stop_gaps.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "For tonight, no cure");
    for (size_t i = 0; i < out->stop_gaps.n; i++) {
        const struct source_stop_gap *gap =
            (const struct source_stop_gap *)out->stop_gaps.items + i;
        bw_text_item(text, "- ",
                     "%s: %s leaves at most about %.0f %% of the height. Costs %s. May stand "
                     "%s.",
                     gap->title, feed_setting(text, gap->feed), 100 * gap->left.v, gap->costs,
                     gap->stands);
    }
}

void source_text(const void *out_, struct bw_text *text) {
    const struct source_output *out = out_;
    bw_text_para(text, "%s", out->answer);
    for (size_t i = 0; i < out->marks.n; i++) mark_section(out, answer_at(out, i), text);
    experiments(out, text);
    proof(out, text);
    tonight(out, text);
    speeds(out, text);
    if (out->assumptions.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Taken for granted, and what is not known");
    for (size_t i = 0; i < out->assumptions.n; i++)
        bw_text_item(text, "- ", "%s.",
                     ((const struct source_line *)out->assumptions.items + i)->text);
}

// --- chart -----------------------------------------------------------------------------------

static void range(const struct source_output *out, double *low, double *high) {
    *low = HUGE_VAL;
    *high = 0;
    for (size_t i = 0; i < out->marks.n; i++) {
        double feed = answer_at(out, i)->feed.v;
        if (isnan(feed)) continue;
        *low = fmin(*low, 0.5 * feed);
        *high = fmax(*high, 1.4 * feed);
    }
}

void source_plots(const void *out_, struct bw_plots *plots) {
    const struct source_output *out = out_;
    double low, high;
    range(out, &low, &high);
    if (high <= 0) return;
    struct bw_plot *plot =
        bw_plot_new(plots, "pitch-against-feed", "Pitch of the marks against feed");
    plot->alternative =
        "Lines are the parts that could leave the marks: rising where the pitch follows the "
        "feed, level where it does not. Dots are the marks measured.";
    plot->x_title = "feed";
    plot->y_title = "pitch";
    plot->x_dim = BW_DIM_FEED;
    plot->y_dim = BW_DIM_LENGTH;
    plot->x_min = low;
    plot->x_max = high;
    for (size_t i = 0; i < out->chart.n; i++) {
        const struct source_chart *line = (const struct source_chart *)out->chart.items + i;
        double x[2] = {low, high}, y[2];
        for (int k = 0; k < 2; k++) y[k] = line->slope.v * (line->kind == 0 ? x[k] : 1);
        bool likely = line->probability.v >= 0.01;
        const char *style = !likely ? "muted" : i == 0 ? "main" : "second";
        bw_plot_series(
            plots, plot,
            (struct bw_series){
                .kind = BW_MARK_LINE, .name = line->name, .style = style, .x = x, .y = y, .n = 2});
    }
    for (size_t i = 0; i < out->marks.n; i++) {
        const struct source_answer *answer = answer_at(out, i);
        if (!bw_known(answer->feed)) continue;
        double sd = bw_sd_known(answer->pitch) ? answer->pitch.sd : 0.015 * answer->pitch.v;
        const char *name = bw_arena_format(plots->arena, "mark %ld", answer->mark);
        bw_plot_series(plots, plot,
                       (struct bw_series){.kind = BW_MARK_DOTS,
                                          .name = name == NULL ? "mark" : name,
                                          .style = "measured",
                                          .x = &answer->feed.v,
                                          .y = &answer->pitch.v,
                                          .sd = &sd,
                                          .n = 1});
    }
}

// --- findings --------------------------------------------------------------------------------

void source_findings(const void *out_, struct bw_findings *findings) {
    const struct source_output *out = out_;
    for (size_t i = 0; i < out->marks.n; i++) {
        const struct source_answer *answer = answer_at(out, i);
        const char *about = bw_arena_format(findings->arena, "mark %ld", answer->mark);
        bw_findings_add(findings, (struct bw_finding){"mark-pitch", about, answer->pitch.v,
                                                      answer->pitch.sd, BW_DIM_LENGTH, NULL});
        bw_findings_add(findings, (struct bw_finding){"mark-timed", about, answer->timed.v, NAN,
                                                      BW_DIM_RATIO, NULL});
        bw_findings_add(findings, (struct bw_finding){"mark-unlisted", about, answer->unlisted.v,
                                                      NAN, BW_DIM_RATIO, NULL});
        for (size_t k = 0; k < answer->candidates.n; k++) {
            const struct source_candidate *c =
                (const struct source_candidate *)answer->candidates.items + k;
            bw_findings_add(findings, (struct bw_finding){"mark-source", c->id, c->probability.v,
                                                          NAN, BW_DIM_RATIO, NULL});
        }
    }
}
