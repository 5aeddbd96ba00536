// call.c - written-out calls, and answers as they are typed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/call.h"

#include "base/number.h"
#include "base/utf8.h"

#include <string.h>

static const struct bw_field FACT_FIELDS[] = {
    {BW_AT(struct bw_call_fact, check), .kind = BW_TEXT, .lead = "", .required = true,
     .help = "id of a check"},
    {BW_AT(struct bw_call_fact, is), .kind = BW_TEXT, .lead = "is", .required = true,
     .help = "yes, no, less or a reading"},
    {BW_AT(struct bw_call_fact, on), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS, .lead = "on",
     .help = "the head it shows on"},
    BW_END_FIELDS,
};
static const struct bw_record FACT = {.name = "fact",
                                      .help = "what is so at that machine",
                                      .fields = FACT_FIELDS,
                                      .size = sizeof(struct bw_call_fact)};
static const struct bw_field REMEDY_FIELDS[] = {
    {BW_AT(struct bw_known_name, name), .kind = BW_TEXT, .lead = "", .required = true,
     .help = "id of a remedy"},
    BW_END_FIELDS,
};
static const struct bw_record REMEDY_NAME = {.name = "remedy name",
                                             .help = "a remedy",
                                             .fields = REMEDY_FIELDS,
                                             .size = sizeof(struct bw_known_name)};
static const struct bw_field CALL_FIELDS[] = {
    {BW_AT(struct bw_call, title), .kind = BW_TEXT, .required = true, .help = "a few words"},
    {BW_AT(struct bw_call, story), .kind = BW_TEXT, .help = "what happened, for the reader"},
    {BW_AT(struct bw_call, machine), .kind = BW_TEXT,
     .help = "machine file, looked for beside the call"},
    {BW_AT(struct bw_call, says), .kind = BW_TEXT, .required = true,
     .help = "the caller's first sentence"},
    {BW_AT(struct bw_call, also_says), .kind = BW_TEXT, .help = "what he says when asked for more"},
    {BW_AT(struct bw_call, facts), .kind = BW_LIST, .of = &FACT, .help = "answers by check"},
    {BW_AT(struct bw_call, cause), .kind = BW_TEXT, .required = true, .help = "id of the cause"},
    {BW_AT(struct bw_call, cured_by), .kind = BW_LIST, .of = &REMEDY_NAME,
     .help = "remedies that end it"},
    BW_END_FIELDS,
};
const struct bw_record bw_call_record = {.name = "call",
                                         .help = "a call written out",
                                         .fields = CALL_FIELDS,
                                         .size = sizeof(struct bw_call)};
const struct bw_file_kind bw_call_file = {
    .name = "call", .shape = BW_CALL_SHAPE, .record = &bw_call_record};

static bool unknown(struct bw_err *err, const char *what, const char *id, const char *field) {
    bw_fail(err, BW_INPUT, "there is no %s of that id", what);
    bw_err_value(err, id);
    bw_err_within(err, field);
    return false;
}

bool bw_call_check(const struct bw_call *call, const struct bw_knowledge *knowledge,
                   struct bw_err *err) {
    const struct bw_call_fact *fact = call->facts.items;
    const struct bw_known_name *remedy = call->cured_by.items;
    if (bw_cause_find(knowledge, call->cause) == BW_NO_INDEX)
        return unknown(err, "cause", call->cause, "cause");
    for (size_t i = 0; i < call->cured_by.n; i++)
        if (bw_remedy_find(knowledge, remedy[i].name) == BW_NO_INDEX)
            return unknown(err, "remedy", remedy[i].name, "cured_by");
    for (size_t i = 0; i < call->facts.n; i++) {
        struct bw_said said;
        size_t check = bw_check_find(knowledge, fact[i].check);
        if (check == BW_NO_INDEX) return unknown(err, "check", fact[i].check, "facts");
        if (bw_said_read(knowledge, check, fact[i].is, &said, err)) continue;
        bw_err_within_index(err, "facts", i);
        return false;
    }
    return true;
}

static const char *fact_line(const struct bw_call *call, const char *check,
                             struct bw_arena *arena) {
    const struct bw_call_fact *fact = call->facts.items;
    for (size_t i = 0; i < call->facts.n; i++) {
        if (strcmp(fact[i].check, check) != 0) continue;
        if (fact[i].on == BW_NO_COUNT) return fact[i].is;
        const char *line = bw_arena_format(arena, "%s, head %ld", fact[i].is, fact[i].on);
        return line == NULL ? "?" : line;
    }
    return "?";
}

static bool ends_it(const struct bw_call *call, const struct bw_knowledge *k, size_t remedy) {
    const struct bw_known_name *name = call->cured_by.items;
    for (size_t i = 0; i < call->cured_by.n && remedy != BW_NO_INDEX; i++)
        if (strcmp(name[i].name, k->remedy[remedy].id) == 0) return true;
    return false;
}

// The first of the symptoms to choose from that is a fact of the call.
static const char *choice_line(const struct bw_call *call, const struct bw_interview *i,
                               struct bw_arena *arena) {
    const char *line = NULL;
    for (size_t s = 0; s < i->n_symptoms; s++) {
        const char *is = fact_line(call, i->c.network->knowledge->check[i->symptoms[s]].id, arena);
        if (is[0] != 'y') continue;
        line = line == NULL ? bw_arena_format(arena, "%zu", s + 1)
                            : bw_arena_format(arena, "%s %zu", line, s + 1);
    }
    return line == NULL ? "?" : line;
}

const char *bw_call_line(const struct bw_call *call, const struct bw_interview *i,
                         struct bw_arena *arena) {
    const struct bw_knowledge *k = i->c.network->knowledge;
    switch (i->stage) {
    case BW_STAGE_COMPLAINT: return call->says;
    case BW_STAGE_WHICH: return choice_line(call, i, arena);
    case BW_STAGE_MORE: return call->also_says == NULL || i->n_marks > 2 ? "" : call->also_says;
    default: break;
    }
    const struct bw_next *next = bw_interview_next(i);
    if (next->kind == BW_NEXT_CHECK) return fact_line(call, k->check[next->which].id, arena);
    if (next->kind == BW_NEXT_SPECIALIST) return "y";
    return ends_it(call, k, next->which) || ends_it(call, k, next->second) ? "y" : "n";
}

// ---- answers as typed ----

static const struct {
    const char *text;
    enum bw_answer_word word;
} WORDS[] = {
    {"y", BW_SAID_YES},
    {"yes", BW_SAID_YES},
    {"yeah", BW_SAID_YES},
    {"yep", BW_SAID_YES},
    {"true", BW_SAID_YES},
    {"n", BW_SAID_NO},
    {"no", BW_SAID_NO},
    {"nope", BW_SAID_NO},
    {"false", BW_SAID_NO},
    {"?", BW_SAID_UNKNOWN},
    {"skip", BW_SAID_UNKNOWN},
    {"dk", BW_SAID_UNKNOWN},
    {"don't know", BW_SAID_UNKNOWN},
    {"dont know", BW_SAID_UNKNOWN},
    {"unknown", BW_SAID_UNKNOWN},
    {"later", BW_SAID_UNKNOWN},
    {"not sure", BW_SAID_UNKNOWN},
    {"less", BW_SAID_PARTLY},
    {"partly", BW_SAID_PARTLY},
    {"rather", BW_SAID_PARTLY},
    {"better", BW_SAID_PARTLY},
    {"a little", BW_SAID_PARTLY},
};

// Bytes of `word` at the beginning of the text as a word of its own, case aside; 0: other text.
static size_t begins(const char *text, const char *word) {
    size_t n = 0;
    for (; word[n] != '\0'; n++)
        if (bw_folded(text[n]) != word[n]) return 0;
    bool whole = !bw_is_letter(text[n]) && !(bw_is_letter(text[0]) && bw_is_digit(text[n]));
    return whole ? n : 0;
}

// ", head 2", " 2" or nothing.
static bool read_head(const char *text, size_t *head, struct bw_err *err) {
    text += strspn(text, " ,.:;-");
    size_t n = begins(text, "on");
    text += n;
    text += strspn(text, " ");
    n = begins(text, "head");
    text += n;
    text += strspn(text, " ");
    size_t length = strcspn(text, " .");
    long number;
    *head = 0;
    if (length == 0) return true;
    if (!bw_is_digit(*text)) return true;  // "yes, the left one": words nobody needs
    if (!bw_count(text, length, 1, BW_MAX_HEADS, &number, err)) return false;
    *head = (size_t)number;
    return true;
}

static bool read_reading(const struct bw_limit *limit, const char *text, struct bw_said *out,
                         struct bw_err *err) {
    struct bw_quantity q;
    if (!bw_quantity_read(text, strlen(text), limit->dim, NULL, &q, err)) return false;
    // "30" for a humidity is 30 %.
    bool percent = limit->dim == BW_DIM_RATIO && q.v > 1 && strchr(text, '%') == NULL;
    if (percent) {
        q.v /= 100;
        q.sd /= 100;
    }
    *out = (struct bw_said){.word = bw_known(q) ? BW_SAID_READING : BW_SAID_UNKNOWN, .reading = q};
    return true;
}

bool bw_said_read(const struct bw_knowledge *knowledge, size_t check, const char *text,
                  struct bw_said *out, struct bw_err *err) {
    text += strspn(text, " \t");
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++) {
        size_t length = begins(text, WORDS[i].text);
        struct bw_said said = {.word = WORDS[i].word, .reading = BW_UNKNOWN};
        if (length == 0) continue;
        if (!read_head(text + length, &said.head, err)) return false;
        *out = said;
        return true;
    }
    bool number = check != BW_NO_INDEX && knowledge->limit[check].given;
    if (number) return read_reading(&knowledge->limit[check], text, out, err);
    bw_fail(err, BW_INPUT, "that is no answer to this");
    bw_err_value(err, text);
    bw_err_mend(err, "y, n, ? if you don't know; help says what else");
    return false;
}
