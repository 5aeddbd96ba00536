// join.c - see join.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/join.h"

#include "study/source/record.h"
#include "study/source/source.h"

#include <string.h>

#define NARROW_FROM 4  // harmonics: a scallop and plain surface between

static const struct bw_record *mark_record(void) {
    return bw_field_find(&source_input_record, "marks")->of;
}

static bool asks(const struct marks_answer *set) {
    return bw_known(set->pitch) && set->origin != ORIGIN_CAMERA;
}

static struct source_mark reading(const struct marks_answer *set, struct bw_quantity feed,
                                  int way) {
    struct source_mark mark;
    bw_record_clear(mark_record(), &mark);
    mark.pitch = set->pitch;
    mark.pitch.way = way;
    mark.feed = feed;
    if (set->harmonics == 1) mark.look = LOOK_SMOOTH;
    if (set->harmonics >= NARROW_FROM) mark.look = LOOK_NARROW;
    return mark;
}

static bool take_sources(struct bw_run *run, const struct source_answer *answer,
                         struct marks_answer *set) {
    const struct source_candidate *candidates = answer->candidates.items;
    struct marks_source *sources =
        bw_arena_array(run->arena, answer->candidates.n + 1, sizeof *sources);
    if (sources == NULL) return false;
    for (size_t i = 0; i < answer->candidates.n; i++)
        sources[i] = (struct marks_source){candidates[i].id, candidates[i].name,
                                           candidates[i].order, candidates[i].probability};
    set->sources = (struct bw_list){sources, answer->candidates.n};
    return true;
}

// Asks for the surest sets together; where nothing explains them all, for fewer of them: the least
// sure may be no marks of this machine. `n` becomes how many were answered.
static bool ask_source(struct bw_run *run, struct source_input *input, size_t *n,
                       struct source_output *answer, struct bw_err *err) {
    for (; *n > 0; (*n)--) {
        input->marks.n = *n;
        if (bw_study_source.run(run, input, answer, err)) return true;
        if (err->code != BW_FAILED) return false;
        bw_err_clear(err);
    }
    return true;
}

static void say_unasked(struct marks_output *out, size_t left) {
    if (left == 0) return;
    struct marks_sentence *notes = out->notes.items;
    notes[out->notes.n++].text =
        "nothing in the machine file explains all sets together: the least sure were left aside, "
        "or the feed is not the one the panel was sanded at";
}

bool marks_join(struct bw_run *run, const struct marks_input *in, int way, struct marks_output *out,
                struct bw_err *err) {
    struct marks_answer *sets = out->mark_sets.items;
    struct source_input *input = bw_arena_get(run->arena, sizeof *input);
    struct source_output *answer = bw_arena_get(run->arena, sizeof *answer);
    struct source_mark *marks = bw_arena_array(run->arena, out->mark_sets.n + 1, sizeof *marks);
    if (input == NULL || answer == NULL || marks == NULL) return bw_fail_memory(err);
    bw_record_clear(&source_input_record, input);
    input->machine = in->machine;
    size_t n = 0;
    for (size_t i = 0; i < out->mark_sets.n; i++)
        if (asks(&sets[i])) marks[n++] = reading(&sets[i], in->feed, way);
    if (n == 0) return true;
    input->marks = (struct bw_list){marks, n};
    size_t answered = n;
    if (!ask_source(run, input, &answered, answer, err)) return false;
    say_unasked(out, n - answered);
    if (answered == 0) return true;
    const struct source_answer *answers = answer->marks.items;
    n = 0;
    for (size_t i = 0; i < out->mark_sets.n && n < answered; i++)
        if (asks(&sets[i]) && !take_sources(run, &answers[n++], &sets[i]))
            return bw_fail_memory(err);
    out->source = answer;
    return true;
}
