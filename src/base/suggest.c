// suggest.c - see suggest.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/suggest.h"

#include "base/utf8.h"

#include <string.h>

#define MOST_LISTED 20u

void bw_words_add(struct bw_words *words, const char *word) {
    if (words->n < BW_MAX_SUGGEST_WORDS) words->word[words->n++] = word;
}

const char *bw_words_nearest(const struct bw_words *words, const char *said) {
    size_t best = strlen(said) / 3 + 1;
    const char *nearest = NULL;
    if (strlen(said) > BW_MAX_ERROR_FIELD) return NULL;  // nothing anybody mistyped
    for (size_t i = 0; i < words->n; i++) {
        size_t distance = bw_text_distance(words->word[i], said);
        if (distance >= best) continue;
        best = distance;
        nearest = words->word[i];
    }
    return nearest;
}

void bw_words_mend(const struct bw_words *words, const char *said, const char *lead,
                   struct bw_err *err) {
    const char *nearest = bw_words_nearest(words, said);
    if (nearest != NULL) {
        bw_err_mend(err, "did you mean %s?", nearest);
        return;
    }
    char list[BW_MAX_ERROR_TEXT] = "";
    size_t used = 0, i = 0;
    for (; i < words->n && i < MOST_LISTED; i++) {
        size_t length = strlen(words->word[i]);
        if (used + length + 40 > sizeof list) break;
        int n =
            snprintf(list + used, sizeof list - used, "%s%s", i == 0 ? "" : ", ", words->word[i]);
        used += (size_t)n;
    }
    if (i < words->n)
        bw_err_mend(err, "%s: %s and %zu more", lead, list, words->n - i);
    else
        bw_err_mend(err, "%s: %s", lead, list);
}
