// recording.c - whether a recording can be used at all, said before anything is read from it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every limit here is common practice, no source.
#include "study/listen/part.h"

#include <float.h>
#include <math.h>

#define CLIPPED 1e-4      // share of samples cut at the top that spoils a spectrum
#define HUM 0.5           // share of the power
#define QUIET_DB -60.0    // under full scale
#define SHORT_S 2.0       // unusable
#define NARROW_HZ 2000.0  // a bearing's blows ring above

static void remark(struct listen_ear *ear, const char *text) {
    struct bw_list *list = &ear->verdict->remarks;
    struct listen_remark *items = list->items;
    if (items == NULL)
        list->items = items = bw_arena_array(ear->run->arena, LISTEN_MOST_REMARKS, sizeof *items);
    if (items != NULL && text != NULL && list->n < LISTEN_MOST_REMARKS)
        items[list->n++].text = text;
}

static void spoil(struct listen_ear *ear, int use) {
    if (ear->verdict->use < use) ear->verdict->use = use;
}

// Share of samples in runs of three or more at the very highest or lowest value.
static double clipped_share(const struct bw_record_of *r) {
    float low = FLT_MAX, high = -FLT_MAX;
    for (size_t i = 0; i < r->n; i++) {
        low = fminf(low, r->samples[i * r->stride]);
        high = fmaxf(high, r->samples[i * r->stride]);
    }
    float near = 1e-4f * (high - low);
    size_t clipped = 0, run = 0;
    int side = 0;
    for (size_t i = 0; i < r->n; i++) {
        float v = r->samples[i * r->stride];
        int now = v >= high - near ? 1 : v <= low + near ? -1 : 0;
        run = now != 0 && now == side ? run + 1 : now != 0;
        side = now;
        if (run == 3) clipped += 3;
        if (run > 3) clipped++;
    }
    return (double)clipped / (double)r->n;
}

// Samples that stand still at one value, a dropout: longest run in seconds.
static double longest_still(const struct bw_record_of *r) {
    size_t longest = 0, run = 0;
    for (size_t i = 1; i < r->n; i++) {
        bool same = r->samples[i * r->stride] == r->samples[(i - 1) * r->stride];
        run = same ? run + 1 : 0;
        if (run > longest) longest = run;
    }
    return (double)longest / r->rate_hz;
}

static double root_mean_square(const struct bw_record_of *r) {
    double sum = 0, mean = 0;
    for (size_t i = 0; i < r->n; i++) mean += (double)r->samples[i * r->stride];
    mean /= (double)r->n;
    for (size_t i = 0; i < r->n; i++) {
        double v = (double)r->samples[i * r->stride] - mean;
        sum += v * v;
    }
    return sqrt(sum / (double)r->n);
}

static bool choose(struct listen_ear *ear, struct bw_err *err) {
    const struct bw_sound *sound = ear->sound;
    size_t channel = (size_t)ear->input->channel;
    if (channel > sound->channels) {
        bw_fail(err, BW_INPUT, "the recording has no channel %zu; it has %zu", channel,
                sound->channels);
        bw_err_within(err, "channel");
        return false;
    }
    double rate = sound->rate_hz > 0 ? sound->rate_hz : ear->input->rate.v;
    if (!(rate > 0)) {
        bw_fail(err, BW_INPUT, "the numbers have no column of times");
        bw_err_mend(err, "say how many samples a second they are: --rate \"12 kHz\"; or add a "
                         "column named time_s");
        bw_err_within(err, "rate");
        return false;
    }
    ear->record = (struct bw_record_of){.samples = sound->samples + channel - 1,
                                        .n = sound->frames,
                                        .stride = sound->channels,
                                        .rate_hz = rate};
    return true;
}

static void judge_level(struct listen_ear *ear) {
    struct listen_recording *v = ear->verdict;
    struct bw_arena *arena = ear->run->arena;
    if (ear->sound->about.format != BW_SOUND_CSV) {
        v->level = bw_exactly(20 * log10(root_mean_square(&ear->record) + 1e-12));
        if (v->level.v < QUIET_DB) {
            spoil(ear, LISTEN_LIMITED);
            remark(ear, bw_arena_format(arena,
                                        "Very quiet, %.0f dB under full scale: hold the "
                                        "microphone closer, on the cabinet beside the bearing.",
                                        -v->level.v));
        }
    }
    v->clipped = bw_exactly(clipped_share(&ear->record));
    if (v->clipped.v > CLIPPED) {
        spoil(ear, LISTEN_LIMITED);
        remark(ear, bw_arena_format(arena,
                                    "Cut at the top (%.2g %% of the samples): speeds hold, "
                                    "bearings and levels may not. Turn the level down or step "
                                    "back, and record again.",
                                    100 * v->clipped.v));
    }
}

bool listen_check_recording(struct listen_ear *ear, struct bw_err *err) {
    struct listen_recording *v = ear->verdict;
    struct bw_arena *arena = ear->run->arena;
    if (!choose(ear, err)) return false;
    double seconds = (double)ear->record.n / ear->record.rate_hz;
    v->use = LISTEN_USABLE;
    v->length = bw_exactly(seconds);
    v->rate = bw_exactly(ear->record.rate_hz);
    v->channel = ear->input->channel;
    v->slowest = bw_exactly(LISTEN_TURNS / seconds);
    v->top = v->level = v->hum = BW_UNKNOWN;
    judge_level(ear);
    if (seconds < SHORT_S) {
        spoil(ear, LISTEN_UNUSABLE);
        remark(ear, bw_arena_format(arena, "Only %.2g s long: record a minute.", seconds));
    }
    double still = longest_still(&ear->record);
    if (still > 0.02) {
        spoil(ear, LISTEN_LIMITED);
        remark(ear, bw_arena_format(arena,
                                    "It stands still for %.2g s: the recorder dropped out, or cut "
                                    "out what it took for silence.",
                                    still));
    }
    if ((ear->sound->about.flags & BW_SOUND_CUT) != 0)
        remark(ear, bw_arena_format(arena, "Only its first %.0f s were read.", seconds));
    return true;
}

// Power of mains hum: lines at multiples of the mains frequency, against the whole.
static double hum_share(const struct listen_ear *ear, double mains) {
    const struct bw_spectra *s = &ear->spectra;
    double all = 0, hum = 0;
    for (size_t c = 0; c < s->n_cells; c++) all += s->level[c] * s->cell_hz;
    for (int k = 1; k <= 6; k++) {
        size_t i = (size_t)lround(k * mains / s->lines.step_hz);
        if (i + 1 >= s->lines.n) break;
        if ((double)s->lines.ratio[i] < bw_lines_threshold(s->segments)) continue;
        hum += (double)s->power[i];
    }
    return all > 0 ? fmin(1, hum / all) : 0;
}

// The mains frequency: as said, or the one of 50 and 60 Hz whose second multiple stands out.
static void find_mains(struct listen_ear *ear) {
    const struct bw_lines *lines = &ear->spectra.lines;
    if (bw_known(ear->input->mains)) ear->mains = ear->input->mains.v;
    if (!isnan(ear->mains)) return;
    double at_50 = bw_lines_at(lines, 100), at_60 = bw_lines_at(lines, 120);
    if (fmax(at_50, at_60) > bw_lines_threshold(lines->segments))
        ear->mains = at_50 > at_60 ? 50 : 60;
}

bool listen_judge_recording(struct listen_ear *ear, struct bw_err *err) {
    struct listen_recording *v = ear->verdict;
    struct bw_arena *arena = ear->run->arena;
    find_mains(ear);
    v->top = bw_exactly(ear->spectra.top_hz);
    v->hum = bw_exactly(isnan(ear->mains) ? 0 : hum_share(ear, ear->mains));
    if (v->hum.v > HUM) {
        spoil(ear, LISTEN_LIMITED);
        remark(ear, bw_arena_format(arena,
                                    "%.0f %% of it is mains hum: keep the cable and the recorder "
                                    "away from motor and drive.",
                                    100 * v->hum.v));
    }
    if (v->top.v < NARROW_HZ) {
        spoil(ear, LISTEN_LIMITED);
        remark(ear, bw_arena_format(arena,
                                    "No sound above %.0f Hz: speeds can be told, bearings hardly. "
                                    "Record without the telephone's speech setting.",
                                    v->top.v));
    }
    return !bw_arena_failed(arena) || bw_fail_memory(err);
}
