// lint.c - knowledge looked over as its author would wish it had been.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/lint.h"

#include "base/utf8.h"
#include "reason/hear.h"
#include "reason/knowledge_document.h"

#include <math.h>
#include <string.h>

#define TELLS 0.15     // a link that far above the leak can move a belief
#define CURES 0.5      // a remedy that good ends a cause more often than not
#define ALIKE 1e-9     // chances as written have two or three digits
#define MOST_SHARED 3  // symptoms one word may point to before it says nothing

struct lint {
    const struct bw_knowledge *k;
    struct bw_complaints *to;
};

static void say(const struct lint *l, bool error, const struct bw_origin *at, const char *key,
                const char *text) {
    const struct bw_node *node = key == NULL ? at->node : bw_node_item(at->node, key, 0);
    bw_complain(l->to, &(struct bw_complaint){.error = error,
                                              .file = at->file,
                                              .line = node->line,
                                              .column = node->column,
                                              .text = text == NULL ? "?" : text});
}

static double link(const struct bw_knowledge *k, size_t check, size_t cause) {
    return k->link[check * k->causes + cause];
}
static double cure(const struct bw_knowledge *k, size_t remedy, size_t cause) {
    return k->cure[remedy * k->causes + cause];
}
static bool tells(const struct bw_knowledge *k, size_t check, size_t cause) {
    return fabs(link(k, check, cause) - k->check[check].leak.v) > TELLS;
}

// ---- causes ----

static void cause_is_reached(const struct lint *l, size_t c) {
    const struct bw_knowledge *k = l->k;
    bool symptom = false, check = false, cured = false;
    for (size_t f = 0; f < k->checks; f++) {
        bool is_symptom = k->check[f].kind == BW_SYMPTOM;
        symptom = symptom || (is_symptom && link(k, f, c) > 0);
        check = check || (!is_symptom && tells(k, f, c));
    }
    for (size_t r = 0; r < k->remedies; r++)
        cured = cured || (k->remedy[r].kind == BW_CURE && cure(k, r, c) >= CURES);
    const char *id = k->cause[c].id;
    struct bw_arena *arena = l->to->arena;
    if (!symptom)
        say(l, true, &k->cause_at[c], NULL,
            bw_arena_format(arena,
                            "no symptom leads to \"%s\"; give it under a symptom, or drop it", id));
    if (!check)
        say(l, false, &k->cause_at[c], NULL,
            bw_arena_format(arena,
                            "nothing but symptoms tells of \"%s\"; add a question, a look or "
                            "a trial",
                            id));
    if (!cured)
        say(l, true, &k->cause_at[c], NULL,
            bw_arena_format(arena, "no cure ends \"%s\" (chance 0.5 or more); add one", id));
}

static bool same_column(const struct bw_knowledge *k, size_t a, size_t b) {
    for (size_t f = 0; f < k->checks; f++)
        if (fabs(link(k, f, a) - link(k, f, b)) > ALIKE) return false;
    return true;
}
static bool same_cures(const struct bw_knowledge *k, size_t a, size_t b) {
    for (size_t r = 0; r < k->remedies; r++)
        if (fabs(cure(k, r, a) - cure(k, r, b)) > ALIKE) return false;
    return true;
}

static void causes_differ(const struct lint *l, size_t c) {
    const struct bw_knowledge *k = l->k;
    for (size_t b = 0; b < c; b++) {
        if (!same_column(k, b, c)) continue;
        bool cures = same_cures(k, b, c);
        say(l, !cures, &k->cause_at[c], NULL,
            bw_arena_format(l->to->arena,
                            cures ? "\"%s\" and \"%s\" answer every check alike and have the same "
                                    "cures; make them one"
                                  : "\"%s\" and \"%s\" answer every check alike; add a check that "
                                    "tells them apart, or make them one",
                            k->cause[c].id, k->cause[b].id));
    }
}

static void shares(const struct lint *l) {
    static const char *const WORDS[] = {"belt", "machine", "setup", "wood", "shop"};
    const struct bw_knowledge *k = l->k;
    double sum = 0, group[5] = {0};
    size_t last[5] = {0};
    for (size_t c = 0; c < k->causes; c++) {
        sum += k->cause[c].weight.v;
        group[k->cause[c].group] += k->cause[c].weight.v;
        last[k->cause[c].group] = c;
    }
    for (int g = 0; g < 5; g++) {
        double share = group[g] / sum;
        bool belt = g == BW_GROUP_BELT;
        double least = belt ? BW_BELT_SHARE_MIN : BW_GROUP_SHARE_MIN;
        double most = belt ? BW_BELT_SHARE_MAX : BW_GROUP_SHARE_MAX;
        if (share >= least && share <= most) continue;
        say(l, false, &k->cause_at[last[g]], "weight",
            bw_arena_format(l->to->arena,
                            "the group %s has %.0f %% of all weight; %.0f to %.0f %% is usual%s",
                            WORDS[g], 100 * share, 100 * least, 100 * most,
                            belt ? " (common practice: belts are 15-20 % of calls)" : ""));
    }
}

// ---- checks ----

static void check_matters(const struct lint *l, size_t f) {
    const struct bw_knowledge *k = l->k;
    bool any = false, differs = false;
    for (size_t c = 0; c < k->causes; c++) {
        any = any || tells(k, f, c);
        differs = differs || fabs(link(k, f, c) - link(k, f, 0)) > ALIKE;
    }
    if (!differs || !any)
        say(l, false, &k->check_at[f], "given",
            bw_arena_format(l->to->arena,
                            differs ? "\"%s\" can't matter: no link is more than 0.15 from its leak"
                                    : "\"%s\" can't matter: every cause answers it alike",
                            k->check[f].id));
}

// Asked only after a symptom, but no cause it tells of brings such a symptom.
static void check_is_reached(const struct lint *l, size_t f) {
    const struct bw_knowledge *k = l->k;
    if (k->always[f]) return;
    for (size_t s = 0; s < k->checks; s++) {
        if (!k->when[f * k->checks + s]) continue;
        for (size_t c = 0; c < k->causes; c++)
            if (link(k, s, c) > 0 && tells(k, f, c)) return;
    }
    say(l, false, &k->check_at[f], "when",
        bw_arena_format(
            l->to->arena,
            "\"%s\" is asked after symptoms that none of its causes brings; change when "
            "or given",
            k->check[f].id));
}

static bool has_word(const char *text, const char *word) {
    size_t n = strlen(word);
    for (; text != NULL && *text != '\0'; text++) {
        size_t i = 0;
        while (i < n && bw_folded(text[i]) == word[i]) i++;
        if (i == n) return true;
    }
    return false;
}

// What can hurt although no door is opened; the words are the field's own.
static const char *hazard_in(const char *text) {
    static const char *const HAZARDS[] = {"open a duct", "clean-out", "spark",
                                          "smoulder",    "live part", "electrician",
                                          "solvent",     "ladder",    NULL};
    for (size_t i = 0; HAZARDS[i] != NULL; i++)
        if (has_word(text, HAZARDS[i])) return HAZARDS[i];
    return NULL;
}

static void check_cautions(const struct lint *l, size_t f) {
    const struct bw_known_check *check = &l->k->check[f];
    const char *hazard = hazard_in(check->how);
    if (hazard == NULL || check->caution != NULL || check->alarm != NULL) return;
    say(l, false, &l->k->check_at[f], "how",
        bw_arena_format(l->to->arena, "\"%s\" speaks of \"%s\" without a caution beside it",
                        check->id, hazard));
}

static void words_say_something(const struct lint *l, size_t f, const char *key,
                                const struct bw_list *list) {
    const struct bw_known_name *words = list->items;
    for (size_t i = 0; i < list->n; i++)
        if (bw_hear_is_common(words[i].name))
            say(l, false, &l->k->check_at[f], key,
                bw_arena_format(l->to->arena, "\"%s\" is in every complaint; say more",
                                words[i].name));
}

static void check_words(const struct lint *l, size_t f) {
    const struct bw_known_check *check = &l->k->check[f];
    const struct bw_known_name *mine = check->words.items;
    words_say_something(l, f, "words", &check->words);
    words_say_something(l, f, "words_no", &check->words_no);
    if (check->kind == BW_SYMPTOM && check->words.n == 0)
        say(l, false, &l->k->check_at[f], NULL,
            bw_arena_format(l->to->arena,
                            "symptom \"%s\" has no words a caller would use; add words",
                            check->id));
    for (size_t i = 0; check->kind == BW_SYMPTOM && i < check->words.n; i++) {
        size_t shared = 0;
        for (size_t s = 0; s < l->k->checks; s++) {
            const struct bw_known_name *words = l->k->check[s].words.items;
            if (l->k->check[s].kind != BW_SYMPTOM) continue;
            for (size_t w = 0; w < l->k->check[s].words.n; w++)
                shared += strcmp(words[w].name, mine[i].name) == 0;
        }
        if (shared > MOST_SHARED)
            say(l, false, &l->k->check_at[f], "words",
                bw_arena_format(l->to->arena, "\"%s\" points to %zu symptoms, so it tells nothing",
                                mine[i].name, shared));
    }
}

// ---- remedies ----

static void remedy_is_said(const struct lint *l, size_t r) {
    const struct bw_known_remedy *remedy = &l->k->remedy[r];
    struct bw_arena *arena = l->to->arena;
    if (remedy->who == BW_ELECTRICIAN && !has_word(remedy->caution, "electrician"))
        say(l, false, &l->k->remedy_at[r], "caution",
            bw_arena_format(arena, "\"%s\" is an electrician's work; its caution should say so",
                            remedy->id));
    if (remedy->lock == BW_YES && !has_word(remedy->caution, "lock out") &&
        !has_word(remedy->caution, "locked out") && remedy->who == BW_OWNER)
        say(l, false, &l->k->remedy_at[r], "caution",
            bw_arena_format(arena, "\"%s\" is done locked out; its caution should say so",
                            remedy->id));
}

void bw_knowledge_lint(const struct bw_knowledge *knowledge, struct bw_complaints *complaints) {
    const struct lint l = {knowledge, complaints};
    shares(&l);
    for (size_t c = 0; c < knowledge->causes; c++) {
        cause_is_reached(&l, c);
        causes_differ(&l, c);
    }
    for (size_t f = 0; f < knowledge->checks; f++) {
        check_matters(&l, f);
        check_is_reached(&l, f);
        check_cautions(&l, f);
        check_words(&l, f);
    }
    for (size_t r = 0; r < knowledge->remedies; r++) remedy_is_said(&l, r);
}
