// reading.c - thickness readings as typed: places, panels, lanes, and the times of strokes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/thickness/part.h"

#include "base/number.h"
#include "machine/machine.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#define USUAL_LENGTH 0.8  // m, where nothing is given
#define USUAL_WIDTH 0.5

// --- small helpers -------------------------------------------------------------------------------

const char *say(struct work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->run->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

void note(struct work *w, const char *text) {
    if (w->out.notes.n < MOST_NOTES) w->notes[w->out.notes.n++].text = text;
}

void *items(struct work *w, size_t n, size_t size) {
    void *made = bw_arena_array(w->run->arena, n + 1, size);
    if (made == NULL) w->failed = true;
    return made;
}

void *blank_items(struct work *w, const char *list, size_t n) {
    const struct bw_record *record = bw_field_find(&thickness_output_record, list)->of;
    char *made = items(w, n, record->size);
    for (size_t i = 0; made != NULL && i < n + 1; i++)
        bw_record_clear(record, made + i * record->size);
    return made;
}

// A careful hand may be twice as good as the gauge is said to be, not better.
struct bw_doubt doubt_of(const struct work *w) {
    return (struct bw_doubt){DOUBT, w->in->gauge.v / 2};
}

double panel_length(const struct thickness_input *in) {
    return bw_known(in->panel_length) ? in->panel_length.v : USUAL_LENGTH;
}

double panel_width(const struct thickness_input *in) {
    return bw_known(in->panel_width) ? in->panel_width.v : USUAL_WIDTH;
}

// --- places --------------------------------------------------------------------------------------

struct word {
    const char *name;
    int across, along;  // 2: says nothing
};
static const struct word WORDS[] = {
    {"left", -1, 2}, {"centre", 0, 2}, {"center", 0, 2}, {"right", 1, 2}, {"front", 2, -1},
    {"lead", 2, -1}, {"middle", 2, 0}, {"back", 2, 1},   {"trail", 2, 1},
};
static const char SIDES[] = "LCR", ENDS[] = "FMB";

static bool one_word(const char *word, size_t length, struct place *out) {
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++) {
        if (strlen(WORDS[i].name) != length || strncasecmp(word, WORDS[i].name, length) != 0)
            continue;
        int *at = WORDS[i].across != 2 ? &out->across : &out->along;
        if (*at != 2) return false;  // said twice
        *at = WORDS[i].across != 2 ? WORDS[i].across : WORDS[i].along;
        return true;
    }
    return false;
}

static char upper(char c) { return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c; }

bool place_read(const char *text, struct place *out) {
    struct place place = {2, 2};
    if (strlen(text) == 2) {
        const char *side = strchr(SIDES, upper(text[0])), *end = strchr(ENDS, upper(text[1]));
        if (side == NULL || end == NULL) return false;
        *out = (struct place){(int)(side - SIDES) - 1, (int)(end - ENDS) - 1};
        return true;
    }
    for (const char *at = text; *at != '\0';) {
        size_t gap = strspn(at, " -");
        size_t length = strcspn(at + gap, " -");
        if (length > 0 && !one_word(at + gap, length, &place)) return false;
        at += gap + length;
    }
    if (place.across == 2 || place.along == 2) return false;
    *out = place;
    return true;
}

const char *point_place(struct work *w, const struct point *point) {
    const struct thickness_reading *r = point->reading;
    struct place place;
    if (r->place != NULL && place_read(r->place, &place))
        return say(w, "%c%c", SIDES[place.across + 1], ENDS[place.along + 1]);
    if (!bw_known(r->across)) return "-";
    return say(w, "%.0f mm across, %.0f mm along", r->across.v * 1e3, r->along.v * 1e3);
}

// --- times ---------------------------------------------------------------------------------------

bool times_read(const char *text, struct times *out) {
    struct times times = {.n = 0};
    double factor = 0;
    for (const char *at = text; *at != '\0';) {
        at += strspn(at, " ,;");
        size_t length = strcspn(at, " ,;");
        if (length == 0) break;
        double value;
        struct bw_err err = {0};
        if (factor != 0) return false;  // something after the unit
        if (bw_number(at, length, &value, &err)) {
            if (!(value > 0) || times.n == MOST_TIMES) return false;
            times.seconds[times.n++] = value;
        } else {
            double offset;
            err = (struct bw_err){0};
            if (!bw_unit_read(at, length, BW_DIM_TIME, &factor, &offset, &err)) return false;
        }
        at += length;
    }
    if (times.n < 2 || factor == 0) return false;
    for (size_t i = 0; i < times.n; i++) times.seconds[i] *= factor;
    *out = times;
    return true;
}

// --- points --------------------------------------------------------------------------------------

static double machine_width(const struct work *w) {
    const struct bw_machine *machine = w->in->machine.content;
    if (bw_known(w->in->machine_width)) return w->in->machine_width.v;
    return machine == NULL ? (double)NAN : machine->width.v;
}

// How far right of the machine's middle the panel's middle ran.
static double middle_of(const struct work *w, const struct thickness_reading *r) {
    if (bw_known(r->middle)) return r->middle.v;
    if (r->lane == LANE_CENTRE) return 0;
    double wide = machine_width(w), room = (wide - panel_width(w->in)) / 2;
    if (!(room > 0)) return 0;
    return r->lane == LANE_LEFT ? -room : room;
}

static void locate(const struct work *w, struct point *point) {
    const struct thickness_reading *r = point->reading;
    double length = panel_length(w->in), width = panel_width(w->in), inset = w->in->inset.v;
    struct place place = {0, 0};
    if (r->place != NULL) (void)place_read(r->place, &place);
    point->own_across = place.across * (width / 2 - inset);
    point->own_along = length / 2 + place.along * (length / 2 - inset);
    if (bw_known(r->across)) {
        point->own_across = r->across.v - width / 2;
        point->own_along = r->along.v;
    }
    bool turned = r->turned == RAN_TURNED;
    point->across = middle_of(w, r) + (turned ? -point->own_across : point->own_across);
    point->along = turned ? length - point->own_along : point->own_along;
}

static size_t panel_of(struct work *w, const char *name) {
    for (size_t i = 0; i < w->n_panels; i++)
        if (strcmp(w->panels[i], name) == 0) return i;
    if (w->n_panels < MOST_PANELS) w->panels[w->n_panels] = name;
    return w->n_panels++;
}

static size_t run_of(struct work *w, long run) {
    for (size_t i = 0; i < w->n_runs; i++)
        if (w->runs[i] == run) return i;
    if (w->n_runs < MOST_PANELS) w->runs[w->n_runs] = run;
    return w->n_runs++;
}

static void point_read(struct work *w, const struct thickness_reading *r) {
    struct point *point = &w->points[w->n++];
    *point = (struct point){.reading = r, .value = r->value.v};
    locate(w, point);
    if (w->n_panels <= MOST_PANELS) point->panel = panel_of(w, r->panel);
    if (w->n_runs <= MOST_PANELS) point->run = run_of(w, r->run);
}

static void what_was_assumed(struct work *w) {
    bool lanes = false, named = false;
    for (size_t i = 0; i < w->n; i++) {
        lanes |=
            w->points[i].reading->lane != LANE_CENTRE && !bw_known(w->points[i].reading->middle);
        named |= w->points[i].reading->place != NULL;
    }
    if (lanes && !(machine_width(w) > panel_width(w->in)))
        note(w, "Panels ran left or right, but the machine's width is not known: all are taken as "
                "run in the middle. Give --machine or --machine-width.");
    if (named && (!bw_known(w->in->panel_length) || !bw_known(w->in->panel_width)))
        note(w, say(w,
                    "Panels taken as %.0f x %.0f mm; give --panel-length and --panel-width, on "
                    "which taper and adjusters hang.",
                    panel_length(w->in) * 1e3, panel_width(w->in) * 1e3));
}

bool points_read(struct work *w, struct bw_err *err) {
    const struct bw_list *typed = &w->in->readings;
    const struct bw_list *file = w->in->file.content;
    size_t n = typed->n + (file == NULL ? 0 : file->n);
    w->points = items(w, n, sizeof *w->points);
    w->panels = items(w, MOST_PANELS, sizeof *w->panels);
    w->runs = items(w, MOST_PANELS, sizeof *w->runs);
    if (w->failed) return bw_fail_memory(err);
    for (size_t i = 0; i < typed->n; i++)
        point_read(w, (const struct thickness_reading *)typed->items + i);
    for (size_t i = 0; file != NULL && i < file->n; i++)
        point_read(w, (const struct thickness_reading *)file->items + i);
    if (w->n_panels > MOST_PANELS || w->n_runs > MOST_PANELS) {
        bw_fail(err, BW_LIMIT, "more than %d panels or runs in one study", MOST_PANELS);
        bw_err_mend(err, "take them in parts; a dozen panels tell as much as is to be known");
        return false;
    }
    what_was_assumed(w);
    return true;
}
