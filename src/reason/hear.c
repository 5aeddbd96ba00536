// hear.c - phrases of the knowledge found in a sentence.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/hear.h"

#include "base/utf8.h"

#include <string.h>

#define MOST_WORDS 200    // of a sentence; a long complaint has forty
#define WORD_BYTES 32     // longer words are cut; none in the trade is
#define PHRASE_WORDS 8    // of a phrase in the knowledge
#define NEGATION_REACH 3  // words between "no" and what it denies

struct word {
    char stem[WORD_BYTES];
    bool starts_clause, denies;
};
struct words {
    struct word item[MOST_WORDS];
    size_t n;
};

// One phrase found at a place of the sentence.
struct match {
    size_t start, length;  // words of the sentence it covers; length 0: none
    bool yes;
};

static bool is_one_of(const char *word, const char *const *list) {
    for (; *list != NULL; list++)
        if (strcmp(word, *list) == 0) return true;
    return false;
}

static bool fills(const char *word) {
    static const char *const FILL[] = {
        "a",     "an",     "the",     "my",   "our",    "your",  "this", "that",    "these",
        "those", "is",     "are",     "was",  "were",   "be",    "been", "it",      "its",
        "we",    "i",      "you",     "they", "he",     "get",   "gets", "getting", "got",
        "have",  "has",    "had",     "very", "really", "quite", "just", "there",   "to",
        "keep",  "keeps",  "keeping", "do",   "does",   "did",   "s",    "ve",      "re",
        "m",     "always", "bit",     NULL};
    return is_one_of(word, FILL);
}

// Words that stand in every complaint.
static bool says_nothing(const char *stem) {
    static const char *const COMMON[] = {
        "panel", "belt", "machin", "head", "drum", "mark", "wood",  "door",   "sand", "part",
        "grit",  "sid",  "piec",   "new",  "day",  "feed", "place", "surfac", NULL};
    return is_one_of(stem, COMMON);
}

static bool denies(const char *word) {
    static const char *const NO[] = {"no",     "not",  "without", "never", "none", "dont",
                                     "doesnt", "isnt", "arent",   "didnt", "cant", NULL};
    return is_one_of(word, NO);
}

static bool ends_with(const char *word, size_t n, const char *end, size_t least) {
    size_t length = strlen(end);
    return n >= least && n > length && memcmp(word + n - length, end, length) == 0;
}

// "creases", "creasing", "creased" and "crease" are one word. Not a grammar: both sides are cut
// alike, that is enough.
static void cut_to_stem(char *word) {
    size_t n = strlen(word);
    if (ends_with(word, n, "ing", 6))
        n -= 3;
    else if (ends_with(word, n, "ed", 5) || ends_with(word, n, "es", 5))
        n -= 2;
    else if (ends_with(word, n, "s", 4) && word[n - 2] != 's')
        n -= 1;
    if (n > 4 && word[n - 1] == 'e') n--;
    if (n > 4 && word[n - 1] == word[n - 2]) n--;  // "clogged", "clog"
    word[n] = '\0';
}

static void add_word(struct words *words, const char *text, size_t length, bool *clause) {
    char word[WORD_BYTES];
    size_t n = 0;
    for (size_t i = 0; i < length && n + 1 < sizeof word; i++)
        if (text[i] != '\'') word[n++] = bw_folded(text[i]);
    word[n] = '\0';
    if (strcmp(word, "but") == 0) *clause = true;
    if (n == 0 || fills(word) || words->n == MOST_WORDS) return;
    struct word *to = &words->item[words->n++];
    *to = (struct word){.starts_clause = *clause, .denies = denies(word)};
    cut_to_stem(word);
    memcpy(to->stem, word, sizeof word);
    *clause = false;
}

// Letters, digits and all beyond ASCII make words; an apostrophe may stand inside.
static bool makes_word(char c) {
    return bw_is_letter(c) || bw_is_digit(c) || c == '\'' || (c & 0x80) != 0;
}

static void split(const char *text, struct words *out) {
    bool clause = true;
    out->n = 0;
    while (*text != '\0') {
        size_t length = 0;
        while (makes_word(text[length])) length++;
        if (length > 0) add_word(out, text, length, &clause);
        text += length;
        if (*text == '\0') return;
        if (strchr(",.;:!?\n", *text) != NULL) clause = true;
        text++;
    }
}

static bool same(const char *a, const char *b) {
    if (strcmp(a, b) == 0) return true;
    size_t n = strlen(a), m = strlen(b);
    return n >= 6 && m >= 6 && a[0] == b[0] && bw_text_distance(a, b) <= 1;
}

static bool stands_at(const struct words *text, size_t at, const struct words *phrase) {
    if (phrase->n == 0 || at + phrase->n > text->n) return false;
    for (size_t i = 0; i < phrase->n; i++)
        if (!same(text->item[at + i].stem, phrase->item[i].stem)) return false;
    return true;
}

static bool is_denied(const struct words *text, size_t at) {
    for (size_t back = 0; back < NEGATION_REACH && at > back; back++) {
        if (text->item[at - back].starts_clause) return false;
        if (text->item[at - back - 1].denies) return true;
    }
    return false;
}

bool bw_hear_is_common(const char *phrase) {
    struct words words;
    split(phrase, &words);
    return words.n == 0 || (words.n == 1 && says_nothing(words.item[0].stem));
}

// Looks for a longer match than `best` among the phrases that mean `yes`.
static struct match longer(struct match best, const struct bw_list *phrases, bool yes,
                           const struct words *text, const bool *taken) {
    const struct bw_known_name *name = phrases->items;
    for (size_t i = 0; i < phrases->n; i++) {
        struct words phrase;
        split(name[i].name, &phrase);
        if (phrase.n <= best.length || phrase.n > PHRASE_WORDS) continue;
        for (size_t at = 0; at < text->n; at++) {
            if (!stands_at(text, at, &phrase)) continue;
            bool free = true;
            for (size_t k = 0; k < phrase.n; k++) free = free && !taken[at + k];
            if (!free) continue;
            best = (struct match){
                .start = at, .length = phrase.n, .yes = is_denied(text, at) ? !yes : yes};
            break;
        }
    }
    return best;
}

// The longest phrase of a check in the text; length 0: none.
static struct match longest(const struct bw_known_check *check, const struct words *text,
                            const bool *taken) {
    struct match best = {.length = 0};
    best = longer(best, &check->words, true, text, taken);
    return longer(best, &check->words_no, false, text, taken);
}

struct listener {
    const struct bw_network *network;
    struct words text;
    bool taken[MOST_WORDS];
    struct bw_heard *heard;  // [checks], length 0: not heard
};

static bool listens(const struct listener *l, size_t f, bool symptoms) {
    const struct bw_known_check *check = &l->network->knowledge->check[f];
    return (check->kind == BW_SYMPTOM) == symptoms && check->words.n + check->words_no.n > 0 &&
           l->network->check_open[f] && l->heard[f].length == 0;
}

// Hears the longest match that is left, for every check that has those words. False: none is left.
static bool hear_next(struct listener *l, bool symptoms, struct match *found) {
    const struct bw_knowledge *k = l->network->knowledge;
    struct match best = {.length = 0};
    for (size_t f = 0; f < k->checks; f++) {
        if (!listens(l, f, symptoms)) continue;
        struct match m = longest(&k->check[f], &l->text, l->taken);
        if (m.length > best.length) best = m;
    }
    if (best.length == 0) return false;
    struct bw_heard *first = NULL;
    for (size_t f = 0; f < k->checks; f++) {
        if (!listens(l, f, symptoms)) continue;
        struct match m = longest(&k->check[f], &l->text, l->taken);
        if (m.length != best.length || m.start != best.start) continue;
        l->heard[f] = (struct bw_heard){f, best.yes, symptoms && first != NULL, best.length};
        if (first == NULL)
            first = &l->heard[f];
        else
            first->unclear = symptoms;
    }
    *found = best;
    return true;
}

// Facts and symptoms are heard apart: "raised line" is a line, and it is raised.
static void hear_all(struct listener *l, bool symptoms) {
    struct match found;
    memset(l->taken, 0, sizeof l->taken);
    while (hear_next(l, symptoms, &found))
        for (size_t i = 0; i < found.length; i++) l->taken[found.start + i] = true;
}

bool bw_hear(const struct bw_network *network, const char *text, struct bw_arena *arena,
             struct bw_hearing *out, struct bw_err *err) {
    const struct bw_knowledge *k = network->knowledge;
    struct listener *l = bw_arena_get(arena, sizeof *l);
    struct bw_heard *heard = bw_arena_array(arena, k->checks, sizeof *heard);
    if (l == NULL || heard == NULL) return bw_fail_memory(err);
    l->network = network;
    l->heard = heard;
    split(text, &l->text);
    hear_all(l, true);
    hear_all(l, false);
    size_t n = 0;
    for (size_t f = 0; f < k->checks; f++)
        if (heard[f].length > 0) heard[n++] = heard[f];
    *out = (struct bw_hearing){heard, n};
    return true;
}
