// view.c - the study `marks` as people read it, as pictures, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/marks.h"

#include "machine/machine.h"
#include "study/source/record.h"
#include "study/source/source.h"

#include <math.h>
#include <string.h>

static const struct marks_answer *set_at(const struct marks_output *out, size_t i) {
    return (const struct marks_answer *)out->mark_sets.items + i;
}

// --- text --------------------------------------------------------------------------------------

static void sentences(struct bw_text *text, const struct bw_list *list, const char *mark) {
    const struct marks_sentence *items = list->items;
    for (size_t i = 0; i < list->n; i++) bw_text_item(text, mark, "%s.", items[i].text);
}

static const char *pitch_text(struct bw_text *text, struct bw_quantity pitch,
                              struct bw_quantity px) {
    if (bw_known(pitch)) return bw_text_quantity(text, pitch, BW_DIM_LENGTH);
    const char *s =
        bw_arena_format(text->arena, "%s pixels", bw_text_quantity(text, px, BW_DIM_NUMBER));
    return s == NULL ? "?" : s;
}

// One in so many, as far as anybody cares.
static const char *chance_text(double chance) {
    return chance < 1e-6   ? "less than one in a million"
           : chance < 1e-4 ? "less than one in ten thousand"
           : chance < 1e-3 ? "less than one in a thousand"
                           : "less than one in a hundred";
}

static void third_row(struct bw_text *text, const struct marks_answer *set) {
    const struct marks_third *third = set->thirds.items;
    if (set->thirds.n != 3) return;
    bw_text_para(text, "By thirds: %s, %s, %s: %s.",
                 pitch_text(text, third[0].pitch, third[0].pitch_px),
                 pitch_text(text, third[1].pitch, third[1].pitch_px),
                 pitch_text(text, third[2].pitch, third[2].pitch_px), set->steadiness);
}

static void set_section(struct bw_text *text, const struct marks_answer *set, size_t number) {
    bw_text_gap(text);
    bw_text_heading(text, "Marks %zu: every %s%s", number,
                    pitch_text(text, set->pitch, set->pitch_px),
                    set->origin == ORIGIN_CAMERA ? " - the camera's, not the panel's" : "");
    const char *shape = set->harmonics == 1  ? "waves that swell and fade"
                        : set->harmonics < 4 ? "waves, somewhat pointed"
                                             : "narrow marks with plain surface between";
    bw_text_para(text, "%s; they lean %s from square to the feed; contrast %s.", shape,
                 bw_text_quantity(text, set->direction_deg, BW_DIM_ANGLE),
                 bw_text_quantity(text, set->contrast, BW_DIM_RATIO));
    third_row(text, set);
    bw_text_para(text, "Chance that bare wood shows as much anywhere in such a picture: %s.",
                 chance_text(set->false_alarm.v));
    if (set->origin == ORIGIN_PANEL)
        bw_text_para(text, "They turned along with the panel in the second shot: real.");
    sentences(text, &set->signs, "- ");
}

// Panels run crooked, so the sets are compared with each other.
static void slants(struct bw_text *text, const struct marks_output *out) {
    for (size_t i = 1; i < out->mark_sets.n; i++) {
        struct bw_quantity a = set_at(out, 0)->direction_deg, b = set_at(out, i)->direction_deg;
        struct bw_quantity lean = bw_about(b.v - a.v, hypot(a.sd, b.sd));
        bool differs = fabs(lean.v) > 2 * lean.sd;
        bw_text_para(text, "Marks %zu against marks 1: they lean %s from each other%s.", i + 1,
                     bw_text_quantity(text, lean, BW_DIM_ANGLE),
                     differs ? ": not the same kind of part" : ", no difference that shows");
    }
}

static void picture_line(struct bw_text *text, const struct marks_output *out) {
    bw_text_para(text, "Picture: %s. Feed along %s (%s).", out->verdict, out->feed_along,
                 out->feed_by);
    sentences(text, &out->mends, "- ");
    if (bw_known(out->pixel))
        bw_text_para(text, "Scale: a pixel is %s, by %s.",
                     bw_text_quantity(text, out->pixel, BW_DIM_DEPTH), out->scale_by);
}

// A board of known pitch: what its photo says of the scale.
static void scale_check(struct bw_text *text, const struct marks_output *out) {
    if (!bw_known(out->board_dpi)) return;
    bw_text_gap(text);
    bw_text_heading(text, "The scale, tried on a board of known pitch");
    const char *off = bw_text_quantity(text, out->scale_off, BW_DIM_RATIO);
    const char *how = out->scale_off.v < 0 ? "short" : "long";
    const char *much =
        bw_text_quantity(text, bw_about(fabs(out->scale_off.v), out->scale_off.sd), BW_DIM_RATIO);
    if (bw_known(out->scale_off) && out->scale_holds == BW_YES)
        bw_text_item(text, "- ", "it reads %s too long, within its own ±: it is good as it is",
                     off);
    else if (bw_known(out->scale_off))
        bw_text_item(text, "- ",
                     "it reads %s too %s, more than its own ± allows: give --scale-off \"%s\" "
                     "with photos whose scale is taken the same way, or find what is wrong with it",
                     much, how, off);
    bw_text_item(text, "- ",
                 "photos from the same distance need no scale of their own: --dpi \"%s\"",
                 bw_text_quantity(text, out->board_dpi, BW_DIM_NUMBER));
}

static void photo_card(struct bw_text *text, const struct marks_output *out) {
    bw_text_gap(text);
    bw_text_heading(text, "Photo card");
    bw_text_para(text, "Panel ______  feed ____________  heads in cut ____________  last head "
                       "______  lane ______  grit ______");
    const struct marks_sentence *steps = out->card.items;
    for (size_t i = 0; i < out->card.n; i++) {
        const char *mark = bw_arena_format(text->arena, "%zu. ", i + 1);
        bw_text_item(text, mark == NULL ? "- " : mark, "%s.", steps[i].text);
    }
    bw_text_caution(text,
                    "the panel is photographed beside the machine; no hand or phone goes into "
                    "it, and its doors stay shut while anything turns");
}

void marks_text(const void *out_, struct bw_text *text) {
    const struct marks_output *out = out_;
    bw_text_para(text, "%s", out->answer);
    if (out->card.n > 0) {
        photo_card(text, out);
        return;
    }
    bw_text_gap(text);
    picture_line(text, out);
    for (size_t i = 0; i < out->mark_sets.n; i++) set_section(text, set_at(out, i), i + 1);
    if (out->mark_sets.n > 1) {
        bw_text_gap(text);
        slants(text, out);
    }
    scale_check(text, out);
    if (out->source != NULL) {
        bw_text_gap(text);
        bw_text_heading(text, "The part");
        source_text(out->source, text);
    }
    if (out->notes.n + out->next.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Next");
    sentences(text, &out->notes, "- ");
    sentences(text, &out->next, "- ");
}

// --- pictures ----------------------------------------------------------------------------------

#define RASTER_SIDE 1000
#define LINES_MOST 60

static bool raster(struct bw_plots *plots, struct bw_plot *plot,
                   const struct marks_drawing *drawing, double pixel) {
    const struct bw_picture *picture = drawing->frame.picture;
    size_t longer = picture->width > picture->height ? picture->width : picture->height;
    size_t step = (longer + RASTER_SIDE - 1) / RASTER_SIDE;
    struct bw_raster grey = {.width = picture->width / step,
                             .height = picture->height / step,
                             .x_max = (double)picture->width * pixel,
                             .y_max = (double)picture->height * pixel};
    uint8_t *codes = bw_arena_array(plots->arena, grey.width * grey.height, 1);
    if (codes == NULL) return false;
    for (size_t y = 0; y < grey.height; y++)
        for (size_t x = 0; x < grey.width; x++) {
            size_t at = y * step * picture->width + x * step;
            codes[y * grey.width + x] =
                picture->bits == 8 ? ((const uint8_t *)picture->codes)[at]
                                   : (uint8_t)(((const uint16_t *)picture->codes)[at] >> 8);
        }
    grey.codes = codes;
    bw_plot_raster(plots, plot, grey);
    return true;
}

// Where in a period the marks are brightest, 0 to 1: all harmonics together.
static double crest(const struct bw_wave *wave) {
    double best = 0, most = -HUGE_VAL;
    for (int i = 0; i < 256; i++) {
        double sum = 0, x = i / 256.0;
        for (int k = 1; k <= wave->harmonics; k++)
            sum += wave->amplitude[k - 1] * cos(2 * M_PI * k * x + wave->phase[k - 1]);
        if (sum <= most) continue;
        most = sum;
        best = x;
    }
    return best;
}

struct ends {  // of one mark, on the plot
    double x[2], y[2];
};

static struct ends mark_at(const struct marks_drawing *d, const struct bw_wave *wave, double turns,
                           double pixel) {
    struct ends ends;
    for (int end = 0; end < 2; end++) {
        double v = (end - 0.5) * d->found.v_size;
        double u = (turns - wave->g * v) / wave->f + d->found.u_size / 2;
        v += d->found.v_size / 2;
        struct marks_point p = marks_frame_place(&d->frame, d->down ? v : u, d->down ? u : v);
        ends.x[end] = p.x * pixel;
        ends.y[end] = ((double)d->frame.picture->height - p.y) * pixel;
    }
    return ends;
}

// All marks of a set as one line that is lifted between them.
static void lines(struct bw_plots *plots, struct bw_plot *plot, const struct marks_drawing *drawing,
                  size_t number, double pixel) {
    static const char *const STYLES[] = {"main", "second", "warn", "measured"};
    const struct bw_wave *wave = &drawing->found.sets[number].wave;
    double half = wave->f * drawing->found.u_size / 2, first = crest(wave);
    double every = ceil(2 * half / LINES_MOST);
    double x[3 * LINES_MOST + 6], y[3 * LINES_MOST + 6];
    size_t n = 0;
    for (double i = ceil((-half - first) / every) * every; first + i < half; i += every) {
        struct ends ends = mark_at(drawing, wave, first + i, pixel);
        for (int end = 0; end < 2; end++, n++) {
            x[n] = ends.x[end];
            y[n] = ends.y[end];
        }
        x[n] = y[n] = BW_NAN;
        n++;
    }
    const char *name = bw_arena_format(plots->arena, "marks %zu%s", number + 1,
                                       every > 1 ? ", not all drawn" : "");
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE,
                                      .name = name == NULL ? "" : name,
                                      .style = STYLES[number % 4],
                                      .x = x,
                                      .y = y,
                                      .n = n});
}

static void overlay(const struct marks_output *out, struct bw_plots *plots) {
    const struct marks_drawing *drawing = out->drawing;
    bool scaled = bw_known(drawing->frame.pixel) && !drawing->frame.warped;
    struct bw_plot *plot = bw_plot_new(plots, "overlay", "The marks on the picture");
    plot->alternative = out->mark_sets.n > 0
                            ? "The picture with a line along every mark that was found."
                            : "The picture; no marks were found in it.";
    plot->x_dim = plot->y_dim = scaled ? BW_DIM_LENGTH : BW_DIM_NUMBER;
    plot->x_title = scaled ? "across the picture" : "across the picture, pixels";
    plot->y_title = scaled ? "up the picture" : "up the picture, pixels";
    double pixel = scaled ? drawing->frame.pixel.v : 1;
    if (!raster(plots, plot, drawing, pixel)) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < out->mark_sets.n; i++) lines(plots, plot, drawing, i, pixel);
}

static void spectrum(const struct marks_output *out, struct bw_plots *plots) {
    const struct marks_drawing *d = out->drawing;
    bool scaled = bw_known(d->frame.pixel);
    double pixel = scaled ? d->frame.pixel.v : 1;
    struct bw_plot *plot = bw_plot_new(plots, "spectrum", "How far each pitch stands out");
    plot->alternative = "Power over the wood's own floor against pitch; each set of marks is named "
                        "at its peak.";
    plot->x_title = scaled ? "pitch" : "pitch, pixels";
    plot->x_dim = scaled ? BW_DIM_LENGTH : BW_DIM_NUMBER;
    plot->y_title = "power over floor";
    plot->y_dim = BW_DIM_NUMBER;
    plot->x_log = plot->y_log = true;
    double *pitch = bw_arena_array(plots->arena, d->found.n_curve + 1, sizeof *pitch);
    double *power = bw_arena_array(plots->arena, d->found.n_curve + 1, sizeof *power);
    if (pitch == NULL || power == NULL) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < d->found.n_curve; i++) {  // longest pitch last
        size_t from = d->found.n_curve - 1 - i;
        pitch[i] = pixel / d->found.curve_f[from];
        power[i] = fmax(0.3, d->found.curve[from]);
    }
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE,
                                      .name = "",
                                      .style = "main",
                                      .x = pitch,
                                      .y = power,
                                      .n = d->found.n_curve});
    for (size_t i = 0; i < out->mark_sets.n; i++) {
        const struct bw_comb *comb = &d->found.sets[i].comb;
        for (int k = 1; k <= comb->harmonics; k++) {
            if (comb->ratio[k - 1] < 6) continue;
            const char *word = k == 1 ? bw_arena_format(plots->arena, "%zu", i + 1)
                                      : bw_arena_format(plots->arena, "%zu, %d-fold", i + 1, k);
            if (word != NULL)
                bw_plot_note(plots, plot, pixel / (k * comb->f), comb->ratio[k - 1], word);
        }
    }
}

void marks_plots(const void *out_, struct bw_plots *plots) {
    const struct marks_output *out = out_;
    if (out->drawing == NULL) return;  // the card
    overlay(out, plots);
    spectrum(out, plots);
    if (out->source != NULL) source_plots(out->source, plots);
}

// --- findings ----------------------------------------------------------------------------------

void marks_findings(const void *out_, struct bw_findings *findings) {
    const struct marks_output *out = out_;
    if (out->source != NULL) {  // it numbers the panel's own marks, and says their pitch
        source_findings(out->source, findings);
        return;
    }
    size_t number = 0;
    for (size_t i = 0; i < out->mark_sets.n; i++) {
        const struct marks_answer *set = set_at(out, i);
        if (set->origin == ORIGIN_CAMERA) continue;
        number++;
        if (!bw_known(set->pitch)) continue;
        const char *about = bw_arena_format(findings->arena, "mark %zu", number);
        if (about == NULL) {
            findings->failed = true;
            return;
        }
        bw_findings_add(findings, (struct bw_finding){"mark-pitch", about, set->pitch.v,
                                                      set->pitch.sd, BW_DIM_LENGTH, NULL});
    }
}
