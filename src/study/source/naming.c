// naming.c - see naming.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/naming.h"

#include "base/number.h"

#include <string.h>
#include <strings.h>

static const struct {
    const char *word;
    enum bw_part part;
} WORDS[] = {
    {"splice", BW_PART_SPLICE},       {"belt splice", BW_PART_SPLICE},
    {"joint", BW_PART_SPLICE},        {"belt joint", BW_PART_SPLICE},
    {"drum", BW_PART_DRUM},           {"contact drum", BW_PART_DRUM},
    {"motor", BW_PART_MOTOR},         {"drive belt", BW_PART_DRIVE_BELT},
    {"brush", BW_PART_BRUSH},         {"oscillation", BW_PART_OSCILLATION},
    {"mains", BW_PART_MAINS},         {"feed belt joint", BW_PART_FEED_BELT},
    {"feed belt", BW_PART_FEED_BELT}, {"planer", BW_PART_PLANER},
};

// Cuts " of head N" off; returns N, or 0 where it is not there.
static long head_of(const char *words, size_t *length) {
    static const char OF[] = " of head ";
    size_t whole = strlen(words);
    *length = whole;
    for (size_t i = 0; i + sizeof OF - 1 < whole; i++) {
        if (strncasecmp(words + i, OF, sizeof OF - 1) != 0) continue;
        struct bw_err ignored = {0};
        long head;
        const char *digits = words + i + sizeof OF - 1;
        if (!bw_count(digits, strlen(digits), 1, BW_MAX_HEADS, &head, &ignored)) return -1;
        *length = i;
        return head;
    }
    return 0;
}

bool source_is_named(const struct bw_source *source, const char *words) {
    if (strcasecmp(source->id, words) == 0 || strcasecmp(source->name, words) == 0) return true;
    size_t length;
    long head = head_of(words, &length);
    if (head < 0 || (head > 0 && source->head + 1 != head)) return false;
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (WORDS[i].part == source->part && strlen(WORDS[i].word) == length &&
            strncasecmp(words, WORDS[i].word, length) == 0)
            return true;
    // A roll by the name the file gives it: "tension roll" fits "tension roll of head 2".
    size_t name_length;
    (void)head_of(source->name, &name_length);
    return source->part == BW_PART_ROLLER && name_length == length &&
           strncasecmp(source->name, words, length) == 0;
}

bool source_name_unknown(struct bw_arena *arena, const struct bw_model *model, const char *words,
                         struct bw_err *err) {
    struct bw_buffer names = {0};
    for (int i = 0; i < model->n_sources; i++) {
        const struct bw_source *source = &model->sources[i];
        if (source->part == BW_PART_BEARING || source->part >= BW_PART_UNLISTED_TIMED ||
            source->part == BW_PART_BEAT)
            continue;
        bw_buffer_format(&names, "%s%s", names.length > 0 ? ", " : "", source->name);
    }
    const char *list =
        names.failed || names.data == NULL ? "" : bw_arena_text(arena, names.data, names.length);
    bw_buffer_free(&names);
    (void)bw_fail(err, BW_NOT_FOUND, "no such part in this machine file");
    bw_err_value(err, words);
    bw_err_mend(err, "name one of: %s", list == NULL ? "" : list);
    return false;
}
